"""Business miles in a company car: the rate in force, apportioned by where the energy came from, never guessed."""

from collections.abc import Callable
from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest

from service.figures.domain.book import FigureBook
from service.figures.domain.shipped import shipped_figures
from service.reimbursement.domain.advisory import MonthEnergy, RateStanding, standing_of
from service.reimbursement.domain.kinds import HeldAs
from service.reimbursement.domain.purse import half_down
from service.reimbursement.domain.reckoning import Reckoning, reckon
from tests.factories.claims import BOOK, CAR, claim, figure, trip

GUIDANCE = "HMRC, advisory fuel rates guidance as captured 22 Aug 2025"
SPLIT = "accountants quoting HMRC, September 2025: miles apportioned by where the energy came from; the sum derived"
SIX_TO_FOUR = MonthEnergy(home_wh=60_000, public_wh=40_000)


def reckoned(on: date, miles: str, energy: MonthEnergy | None, **more: object) -> Reckoning:
    known = {CAR: energy} if energy else {}
    return reckon(claim(f"{on:%Y-%m}", [trip(on, miles)], held=HeldAs.COMPANY_CAR, energy=known, **more))


@pytest.mark.reference
@pytest.mark.parametrize(
    ("on", "expected_pence"),
    [(date(2025, 9, 15), 1_040), (date(2026, 3, 15), 1_020)],
)
def test_mixed_charging_is_apportioned(reference: Callable[..., None], on: date, expected_pence: int) -> None:
    found = reckoned(on, "100", SIX_TO_FOUR)
    reference(source=SPLIT, expected=expected_pence, got=found.total_pence)
    (line,) = found.lines
    assert [part["miles"] for part in line["parts"]] == ["60", "40"]
    assert line["working"][0]["result"] == "60 % home, 40 % public"


@pytest.mark.reference
@pytest.mark.parametrize(
    ("cost", "expected"),
    [("7.53", 8), ("7.31", 7), ("14.2", 14), ("7.5", 7), ("8.5", 8)],
)
def test_published_rates_are_rounded_to_whole_pence_with_a_half_down(
    reference: Callable[..., None], cost: str, expected: int
) -> None:
    source = "HMRC calculation tables via accountants, Dec 2024 and Sep 2025; a half down via motoring press, Dec 2025"
    reference(source=source, expected=expected, got=half_down(Fraction(cost)))


@pytest.mark.reference
@pytest.mark.parametrize(
    ("paid", "on", "expected"),
    [
        (7, date(2025, 9, 30), RateStanding.WITHIN),  # at or below the 8 p in force, and inside the month too
        (7, date(2025, 10, 2), RateStanding.WITHIN),  # below the rate, so still free of tax: not the concession
        (8, date(2025, 12, 15), RateStanding.PREVIOUS_RATE),
        (8, date(2026, 1, 2), RateStanding.ABOVE),
        (9, date(2025, 12, 15), RateStanding.ABOVE),
    ],
)
def test_the_rate_before_is_accepted_for_a_month_after_a_change(
    reference: Callable[..., None], paid: int, on: date, expected: RateStanding
) -> None:
    reference(source=GUIDANCE, expected=expected, got=standing_of(Fraction(paid), on, BOOK)[0])


def test_the_excess_over_what_is_accepted_is_told() -> None:
    assert standing_of(Fraction(19, 2), date(2026, 2, 1), BOOK) == (RateStanding.ABOVE, Fraction(5, 2))


def test_what_is_paid_never_stands_above_the_rate_of_the_day() -> None:
    for on in (date(2025, 8, 31), date(2025, 9, 1), date(2025, 12, 1), date(2026, 8, 31)):
        (line,) = reckoned(on, "10", MonthEnergy(home_wh=1)).lines
        (part,) = line["parts"]
        assert standing_of(Fraction(part["rate_pence"]), on, BOOK) == (RateStanding.WITHIN, 0)


def test_a_claim_across_a_change_of_the_rate_uses_each_days_rate() -> None:
    book = FigureBook([*shipped_figures(), figure("advisory_electric_home", "9", date(2026, 6, 16))])
    trips = [trip(date(2026, 6, 15), "33.3"), trip(date(2026, 6, 16), "33.3")]
    inputs = claim(
        "2026-06", trips, held=HeldAs.COMPANY_CAR, energy={CAR: MonthEnergy(home_wh=5)}, book=book
    )
    found = reckon(inputs)
    # 233.1 p and 299.7 p: 532.8 p in all, rounded once.
    assert [line["pence"] for line in found.lines] == [233, 300]
    assert found.total_pence == 533


def test_before_there_were_two_rates_the_single_rate_is_for_all_energy() -> None:
    assert reckoned(date(2025, 8, 31), "100", SIX_TO_FOUR).total_pence == 700


def test_energy_from_work_earns_nothing() -> None:
    found = reckoned(date(2026, 3, 15), "100", MonthEnergy(home_wh=50, work_wh=50))
    assert found.total_pence == 350
    assert "what was charged at work is paid by the employer already" in found.lines[0]["working"][0]["rule"]


def test_without_known_charging_the_share_must_be_stated() -> None:
    found = reckoned(date(2026, 3, 15), "100", None)
    assert (found.is_ready, found.lines, found.total_pence) == (False, (), 0)
    assert [each.what for each in found.blockers] == ["where the car was charged is not known"]
    stated = reckoned(date(2026, 3, 15), "100", None, home_percents={CAR: Decimal(60)})
    assert stated.total_pence == 1_020
    assert "stated, not measured" in stated.lines[0]["working"][0]["source"]


def test_what_was_recorded_goes_before_what_is_stated() -> None:
    found = reckoned(date(2026, 3, 15), "100", SIX_TO_FOUR, home_percents={CAR: Decimal(100)})
    assert found.total_pence == 1_020


def test_no_rate_is_known_from_september_2026_so_the_trip_cannot_be_claimed() -> None:
    found = reckoned(date(2026, 9, 1), "100", MonthEnergy(home_wh=1))
    assert not found.is_ready
    (blocker,) = found.blockers
    assert blocker.what == "a figure is not known"
    assert blocker.rule == "no advisory electric home is known for 2026-09-01: the operator must record it first"
    book = FigureBook([*shipped_figures(), figure("advisory_electric_home", "8", date(2026, 9, 1))])
    assert reckoned(date(2026, 9, 1), "100", MonthEnergy(home_wh=1), book=book).total_pence == 800
    assert not reckoned(date(2026, 9, 1), "100", SIX_TO_FOUR, book=book).is_ready
