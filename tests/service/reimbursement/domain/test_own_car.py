"""Business miles in an own car: two rates, a threshold of the tax year, and a year that adds up in any order."""

from collections.abc import Callable
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.figures.domain.book import FigureBook, FigureNotKnown
from service.figures.domain.shipped import shipped_figures
from service.reimbursement.domain.frozen import year_before
from service.reimbursement.domain.lines import LineKind
from service.reimbursement.domain.months import Month, tax_year_from
from service.reimbursement.domain.own_car import YearBefore, own_car_lines
from service.reimbursement.domain.reckoning import reckon
from tests.factories.claims import BOOK, OTHER_CAR, claim, figure, plain_allowance, trip

YEAR_25, YEAR_26 = date(2025, 4, 6), date(2026, 4, 6)
ALLOWANCE = "HMRC, approved mileage allowance payments; 2026/27 as announced 21 May 2026, via two notes"
RATES = {YEAR_25: (Decimal(45), Decimal(25)), YEAR_26: (Decimal(55), Decimal(25))}


def total(miles: str, year: date, before: YearBefore | None = None) -> int:
    day = year + timedelta(days=30)
    trips = [trip(day, miles)]
    lines, _ = own_car_lines(trips, before or YearBefore(), BOOK, year_from_on=year, on=day)
    return sum(line.pence for line in lines)


@pytest.mark.reference
@pytest.mark.parametrize(
    ("miles", "year", "expected_pence"),
    [
        ("12000", YEAR_25, 500_000),
        ("12000", YEAR_26, 600_000),
        ("10000", YEAR_25, 450_000),
        ("10000", YEAR_26, 550_000),
        ("10001", YEAR_25, 450_025),
        ("10001", YEAR_26, 550_025),
    ],
)
def test_a_years_miles_come_to_what_the_published_rates_give(
    reference: Callable[..., None], miles: str, year: date, expected_pence: int
) -> None:
    reference(source=ALLOWANCE, expected=expected_pence, got=total(miles, year))


def test_a_trip_that_straddles_the_threshold_is_split_and_says_so() -> None:
    before = YearBefore(elsewhere=Decimal(6000), claimed=Decimal("3990.5"), first=Decimal("3990.5"))
    (line,), _ = own_car_lines(
        [trip(date(2026, 5, 1), "20")], before, BOOK, year_from_on=YEAR_26, on=date(2026, 5, 1)
    )
    assert [(part.miles, part.rate_pence) for part in line.parts] == [
        (Fraction(19, 2), 55),
        (Fraction(21, 2), 25),
    ]
    assert line.text == "9.5 miles x 55 p + 10.5 miles x 25 p"
    assert line.exact_pence == Fraction(785)
    assert line.working[3].inputs == {
        "business miles of 2026/27 counted before": "9990.5",
        "miles of this trip": "20",
    }


def test_the_counter_is_of_the_tax_year_and_not_of_the_car() -> None:
    trips = [trip(date(2025, 5, 1), "1500", car=car, trip_id=f"{day}{car}") for day, car in enumerate([OTHER_CAR] * 8)]
    lines, _ = own_car_lines(trips, YearBefore(), BOOK, year_from_on=YEAR_25, on=YEAR_25)
    assert sum(line.pence for line in lines) == 450_000 + 2_000 * 25


def test_the_6th_of_april_starts_anew() -> None:
    before = YearBefore(claimed=Decimal(10_000), first=Decimal(10_000), exact_pence=Fraction(450_000), pence=450_000)
    inputs = claim(
        "2026-04", [trip(date(2026, 4, 5), "10"), trip(date(2026, 4, 6), "10")], years={YEAR_25: before}
    )
    found = reckon(inputs)
    assert [(line["on_date"], line["text"], line["pence"]) for line in found.lines] == [
        ("2026-04-05", "10 miles x 25 p", 250),
        ("2026-04-06", "10 miles x 55 p", 550),
    ]
    assert found.total_pence == 800
    assert {figure.from_on for figure in found.figures} == {date(2011, 4, 6), date(2026, 4, 6)}


def test_half_pennies_are_carried_and_not_lost() -> None:
    trips = [trip(date(2026, 5, day), "0.1") for day in range(1, 5)]
    lines, _ = own_car_lines(trips, YearBefore(), BOOK, year_from_on=YEAR_26, on=YEAR_26)
    # 5.5 p each, 22 p in all: rounded one by one it would be 24 p.
    assert [line.pence for line in lines] == [6, 5, 6, 5]


def test_miles_of_a_refused_claim_move_to_the_next() -> None:
    """The claims sent before were 9,000 and 2,000 miles; the first was refused after the second was sent."""
    stands = YearBefore(claimed=Decimal(2000), first=Decimal(1000), exact_pence=Fraction(80_000), pence=80_000)
    lines, _ = own_car_lines(
        [trip(date(2026, 6, 1), "100")], stands, BOOK, year_from_on=YEAR_26, on=date(2026, 6, 1)
    )
    assert [(line.kind, line.pence) for line in lines] == [
        (LineKind.MILEAGE_ALLOWANCE, 5_500),
        (LineKind.ADJUSTMENT, 1000 * 30),
    ]
    assert "1000 miles of 2026/27 that were claimed earlier move from the rate above to the first rate" in lines[1].text
    assert 80_000 + sum(line.pence for line in lines) == 2_100 * 55


def test_miles_elsewhere_stated_too_late_are_taken_back() -> None:
    paid = YearBefore(
        elsewhere=Decimal(9_500), claimed=Decimal(1000), first=Decimal(1000), exact_pence=Fraction(55_000), pence=55_000
    )
    lines, _ = own_car_lines([trip(date(2026, 6, 1), "10")], paid, BOOK, year_from_on=YEAR_26, on=date(2026, 6, 1))
    assert [line.pence for line in lines] == [250, -500 * 30]


def test_a_rate_that_nobody_knows_is_not_guessed() -> None:
    with pytest.raises(FigureNotKnown):
        own_car_lines(
            [trip(date(2010, 5, 1), "10")], YearBefore(), BOOK, year_from_on=date(2010, 4, 6), on=date(2010, 5, 1)
        )


MILES = st.decimals(min_value="0.1", max_value="1500", places=1)
DAYS = st.integers(min_value=0, max_value=729)


@settings(max_examples=150, deadline=None)
@given(
    entered=st.lists(st.tuples(DAYS, MILES), min_size=1, max_size=40),
    elsewhere=st.decimals(min_value="0", max_value="12000", places=1),
    order=st.randoms(use_true_random=False),
)
def test_whatever_order_claims_come_in_a_tax_year_comes_to_the_same(
    entered: list[tuple[int, Decimal]], elsewhere: Decimal, order: Any
) -> None:
    trips = [
        trip(YEAR_25 + timedelta(days=day), str(miles), trip_id=f"{place:03d}")
        for place, (day, miles) in enumerate(entered)
    ]
    order.shuffle(trips)
    months: dict[Month, list[Any]] = {}
    for each in trips:
        months.setdefault(Month.of(each.on_date), []).append(each)
    sent: list[dict[str, Any]] = []
    for month, of_month in months.items():
        years = {
            year: year_before(sent, year, elsewhere if year == YEAR_25 else Decimal(0)) for year in (YEAR_25, YEAR_26)
        }
        sent.append(reckon(claim(str(month), of_month, years=years)).to_json())
    for year, (first, above) in RATES.items():
        paid = sum(
            line["pence"]
            for reckoning in sent
            for line in reckoning["lines"]
            if line["tax_year_from_on"] == year.isoformat()
        )
        miles = sum((each.miles for each in trips if tax_year_from(each.on_date) == year), Decimal(0))
        start = elsewhere if year == YEAR_25 else Decimal(0)
        threshold = Decimal(10_000)
        exact = plain_allowance(start + miles, first, above, threshold)
        exact -= plain_allowance(start, first, above, threshold)
        assert paid == int((exact + Fraction(1, 2)) // 1)
    assert all(len(reckoning["blockers"]) == 0 for reckoning in sent)


def test_an_operators_rate_takes_over_on_its_day() -> None:
    book = FigureBook([*shipped_figures(), figure("mileage_allowance_first", "60", date(2027, 4, 6))])
    trips = [trip(date(2027, 4, 5), "10"), trip(date(2027, 4, 6), "10")]
    assert [line["pence"] for line in reckon(claim("2027-04", trips, book=book)).lines] == [550, 600]
