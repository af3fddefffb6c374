"""Whether works pay back within their life, and how firm that is."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from service.advice.domain.finance import net_present_value
from service.advice.domain.upgrade_money import YearlyMoney
from service.advice.domain.upgrade_payback import Terms, payback
from service.figures.domain.book import Figure

LIFE = Figure("charging_point_life", "", date(2025, 1, 1), None, Decimal(10), "years", "assumed", "own choice")
RATE = Figure("discount_rate", "", date(2003, 4, 1), None, Decimal("3.5"), "percent a year", "from_memory", "a book")
TERMS = Terms(LIFE, RATE)
RUN = "two financial packages run"


def saving(pounds: str | None, battery_wh: int = 2_000_000) -> YearlyMoney:
    up = None if pounds is None else int(Decimal(pounds) * 100 * 1_000_000)
    return YearlyMoney(up, up, 0, 0, 0, 0, None, battery_wh, ())


@pytest.mark.reference
@pytest.mark.parametrize(
    ("name", "expected", "tolerance"), [("simple", 5.5556, 5e-5), ("discounted", 6.28529, 5e-6), ("worth", 49699, 0)]
)
def test_a_thousand_pounds_saving_a_hundred_and_eighty(name, expected, tolerance, reference) -> None:
    pay = payback(100_000, saving("180"), TERMS)
    got = {"simple": pay.simple_years, "discounted": pay.discounted_years, "worth": pay.worth_pence}[name]
    reference(source=RUN, expected=expected, got=float(got), tolerance=tolerance)
    assert pay.pays_back
    assert pay.words == "pays back in 5.6 years, 6.3 years with later money counted for less"
    assert [round(rate, 6) for rate in pay.rates] == [Decimal("0.124148")]


@pytest.mark.parametrize(
    ("pounds", "words"),
    [
        ("0", "never pays back: it saves nothing"),
        ("-30", "never pays back: it saves nothing"),
        ("30", "never pays back: what it saves is less than the interest on its cost"),
        ("100", "does not pay back within its life of 10 years: it would take 12.5 years"),
        ("36", "does not pay back within its life of 10 years: it would take more"),
    ],
)
def test_what_does_not_pay_back_is_said_plainly_and_no_year_is_below_nought(pounds: str, words: str) -> None:
    pay = payback(100_000, saving(pounds), TERMS)
    assert not pay.pays_back and pay.worth_pence < 0
    assert pay.words.startswith(words)
    assert all(years is None or years >= 0 for years in (pay.simple_years, pay.discounted_years))


def test_at_the_most_that_it_may_cost_it_just_pays_back_and_a_penny_more_does_not() -> None:
    yearly = saving("180")
    most = payback(100_000, yearly, TERMS).most_pence
    assert payback(most, yearly, TERMS).pays_back
    over = net_present_value(TERMS.share, [Decimal(-most - 1), *[Decimal(18_000)] * 10])
    assert over < 0


def test_at_the_least_energy_the_saving_just_pays_for_the_cost() -> None:
    pay = payback(100_000, saving("180"), TERMS)
    assert pay.least_wh < 2_000_000
    scaled = Decimal(18_000) * pay.least_wh / 2_000_000
    worth = net_present_value(TERMS.share, [Decimal(-100_000), *[scaled] * 10])
    assert 0 <= worth < 5  # a most rounded down to a penny asks for a little more than the exact energy
    assert payback(100_000, saving("0"), TERMS).least_wh is None


def test_what_costs_nothing_and_saves_something_pays_back_at_once() -> None:
    pay = payback(0, saving("1"), TERMS)
    assert pay.pays_back and pay.simple_years == 0


def test_a_year_that_is_not_known_gives_no_payback() -> None:
    assert payback(100_000, saving(None), TERMS) is None
