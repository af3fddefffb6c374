"""The verdict in one line: safety before money, what pays back, what closes a shortfall, or stay."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from service.advice.domain.upgrade_quotes import QuoteDetails
from service.advice.domain.upgrade_verdict import (
    Answer,
    Money,
    best_of,
    best_replacement,
    verdict,
    weigh,
)
from service.advice.domain.upgrade_week import WeekFigures
from service.advice.domain.upgrade_works import POINTS, Upgrade, Variant
from service.figures.domain.book import FigureBook
from service.figures.domain.shipped import shipped_figures

TODAY = date(2026, 11, 25)
MONEY = Money.of(FigureBook(shipped_figures()), TODAY)
NP_PER_POUND_A_WEEK = 100 * 1_000_000_000


def week(pounds: str, short_wh: int = 0, unpriced_wh: int = 0) -> WeekFigures:
    cost_np = int(Decimal(pounds) * NP_PER_POUND_A_WEEK)
    return WeekFigures(cost_np, unpriced_wh, 40_000, 36_000, short_wh, short_wh, int(short_wh > 0), 5)


def weighed(now: WeekFigures, socket: WeekFigures, point: WeekFigures, *quotes: QuoteDetails):
    weeks = {Variant.NOW: now, Variant.SOCKET: socket, Variant.POINT: point}
    return weigh(tuple(Upgrade), weeks, quotes, MONEY)


def quote(work: Upgrade, pounds: int) -> QuoteDetails:
    return QuoteDetails(work, pounds * 100, TODAY)


def test_a_point_that_saves_four_pounds_a_week_pays_back_and_the_assumed_cost_is_said() -> None:
    found = weighed(week("9"), week("9"), week("5"))
    said = verdict(found, week("9"), MONEY.terms, is_stopped=False)
    assert said.answer is Answer.PAYS_BACK and said.best in POINTS
    assert "pays back in" in said.words and "assumed cost" in said.words


def test_of_two_points_that_charge_alike_the_cheaper_is_named() -> None:
    quotes = (quote(Upgrade.POINT_TETHERED, 1_000), quote(Upgrade.POINT_UNTETHERED, 900))
    found = weighed(week("9"), week("9"), week("5"), *quotes)
    said = verdict(found, week("9"), MONEY.terms, is_stopped=False)
    assert said.best is Upgrade.POINT_UNTETHERED
    assert "assumed" not in said.words


def test_what_saves_too_little_says_stay() -> None:
    found = weighed(week("9"), week("9"), week("8.80"))
    said = verdict(found, week("9"), MONEY.terms, is_stopped=False)
    assert (said.answer, said.best) == (Answer.STAY, None)
    assert "no work pays back within 10 years" in said.words


def test_what_does_not_pay_back_but_closes_a_shortfall_is_named_with_what_it_costs() -> None:
    now = week("9", short_wh=100)
    said = verdict(weighed(now, now, week("9")), now, MONEY.terms, is_stopped=False)
    assert said.answer is Answer.CLOSES_SHORTFALL
    assert "5.2 kWh of shortfall a year" in said.words and "more than it saves" in said.words


def test_safety_comes_first_however_much_a_work_saves() -> None:
    found = weighed(week("9"), week("5"), week("9"))
    said = verdict(found, week("9"), MONEY.terms, is_stopped=True)
    assert said.answer is Answer.SAFETY_FIRST
    assert said.words.startswith("Safety first: charging here is stopped")


def test_a_marked_socket_on_the_old_circuit_never_replaces_a_stopped_one() -> None:
    found = weighed(week("9"), week("9"), week("9"))
    assert best_of(found).work is Upgrade.EV_MARKED_SOCKET  # it loses least
    assert best_replacement(found).work is Upgrade.DEDICATED_CIRCUIT


def test_a_missing_price_is_not_known_and_is_never_a_stay() -> None:
    found = weighed(week("9", unpriced_wh=5), week("9"), week("5"))
    said = verdict(found, week("9"), MONEY.terms, is_stopped=False)
    assert (said.answer, said.best) == (Answer.NOT_KNOWN, None)
    assert all(each.pay is None and each.words.startswith("not known") for each in found)


def test_a_work_whose_week_could_not_be_planned_is_left_out() -> None:
    found = weigh(tuple(Upgrade), {Variant.NOW: week("9"), Variant.POINT: week("5")}, (), MONEY)
    assert Upgrade.DEDICATED_CIRCUIT not in [each.work for each in found]


def test_no_verdict_says_that_something_may_be_used() -> None:
    now = week("9", short_wh=100)
    for is_stopped in (True, False):
        for point in ("9", "5"):
            words = verdict(weighed(now, now, week(point)), now, MONEY.terms, is_stopped=is_stopped).words.lower()
            assert not any(word in words for word in ("may be used", "safe to", "fit to use", "certif"))


def test_the_cost_of_the_work_that_is_named_is_the_one_said_to_be_assumed() -> None:
    now = week("9", short_wh=100)
    cheap = quote(Upgrade.EV_MARKED_SOCKET, 1)
    said = verdict(weighed(now, now, week("9"), cheap), now, MONEY.terms, is_stopped=False)
    assert said.answer is Answer.CLOSES_SHORTFALL and said.best in POINTS
    assert "assumed cost" in said.words
