"""Homes in the order in which a budget should reach them: stopped ones by risk, then the best set."""

from __future__ import annotations

import random
from datetime import UTC, date, datetime
from decimal import Decimal
from itertools import product

import pytest

from service.advice.domain.budget_ranking import BUDGET_POUNDS_MAX, Place, SchemeHome, cost_pounds, rank_homes
from service.advice.domain.upgrade_money import YearlyMoney
from service.advice.domain.upgrade_payback import Terms, payback
from service.advice.domain.upgrade_quotes import Cost
from service.advice.domain.upgrade_verdict import Weighed
from service.advice.domain.upgrade_works import Upgrade
from service.common.errors import Rejected
from service.common.working import Step
from service.figures.domain.book import FigureBook
from service.figures.domain.shipped import shipped_figures

BOOK = FigureBook(shipped_figures())
TODAY = date(2026, 11, 25)
TERMS = Terms(BOOK.at("charging_point_life", TODAY), BOOK.at("discount_rate", TODAY))
AT = datetime(2026, 11, 25, tzinfo=UTC)
NO_STEP = Step("", {}, "", "", "")


def work(
    pounds: int, yearly_pounds: int | None, avoided_wh: int = 0, kind: Upgrade = Upgrade.POINT_TETHERED
) -> Weighed:
    up = None if yearly_pounds is None else yearly_pounds * 100 * 1_000_000
    yearly = YearlyMoney(up, up, 0, 0, 0, avoided_wh, 0, 2_000_000, ())
    pay = payback(pounds * 100, yearly, TERMS)
    return Weighed(kind, Cost(pounds * 100, True, False, NO_STEP), yearly, pay, pay.words if pay else "not known")


def home(name: str, *works: Weighed, stopped: bool = False, risk: int = 0, why: str = "") -> SchemeHome:
    clearance = "do_not_use" if stopped else "fit_to_use"
    return SchemeHome(name, name, clearance, stopped, risk, works, why, AT)


def order(homes: list[SchemeHome], pounds: int) -> list[tuple[str, str, bool]]:
    return [(row.home.reference, row.place.value, row.is_paid_for) for row in rank_homes(homes, pounds).rows]


def test_a_stopped_home_comes_before_one_that_saves_a_fortune() -> None:
    homes = [home("rich", work(1_000, 900)), home("stopped", work(1_000, 0), stopped=True)]
    assert order(homes, 1_000) == [("stopped", "safety", True), ("rich", "not_reached", False)]


def test_stopped_homes_stand_by_risk_and_a_cheaper_one_is_still_reached() -> None:
    homes = [
        home("low", work(300, 0), stopped=True, risk=40),
        home("high", work(900, 0), stopped=True, risk=90),
        home("mid", work(500, 0), stopped=True, risk=60),
    ]
    assert order(homes, 1_300) == [("high", "safety", True), ("mid", "safety", False), ("low", "safety", True)]


def test_a_stopped_home_is_never_meant_to_get_a_socket_on_its_old_circuit() -> None:
    works = (work(100, 0, kind=Upgrade.EV_MARKED_SOCKET), work(450, 0, kind=Upgrade.DEDICATED_CIRCUIT))
    (row,) = rank_homes([home("stopped", *works, stopped=True)], 1_000).rows
    assert row.work.work is Upgrade.DEDICATED_CIRCUIT


def test_a_stopped_home_without_a_known_cost_still_comes_first() -> None:
    homes = [home("a", work(100, 90)), home("z", stopped=True), home("y", stopped=True, why="no car")]
    assert [row[:2] for row in order(homes, 100)] == [("y", "safety"), ("z", "safety"), ("a", "chosen")]


def test_a_stopped_home_is_listed_first_also_while_it_is_not_reckoned() -> None:
    waiting = SchemeHome("s", "s", "do_not_use", True, 5, None, "", None)
    assert order([home("a", work(100, 90)), waiting], 500)[0] == ("s", "safety", False)


def test_the_others_stand_by_payback_then_shortfall() -> None:
    homes = [home("slow", work(900, 150)), home("quick", work(900, 300)), home("short", work(900, 0, avoided_wh=9))]
    assert [row[0] for row in order(homes, 10_000)] == ["quick", "slow", "short"]


def test_a_home_whose_clearance_is_not_known_is_told_to_be_checked_first() -> None:
    unknown = SchemeHome("u", "u", "not_known", False, 0, (work(900, 300),), "", AT)
    (row,) = rank_homes([unknown], 1_000).rows
    assert row.place is Place.CHOSEN and "a check of what is there comes first" in row.why


def test_shortfall_is_bought_before_savings() -> None:
    homes = [home("saves", work(900, 300)), home("short", work(900, 0, avoided_wh=9))]
    assert order(homes, 900) == [("short", "chosen", True), ("saves", "not_reached", False)]


def test_every_home_has_a_place_and_a_reason() -> None:
    homes = [
        home("gains nothing", work(900, 10)),
        home("unknown", work(900, None)),
        home("asks nothing", why="There is no car in this home"),
        SchemeHome("waits", "waits", "not_known", False, 0, None, "", None),
    ]
    ranking = rank_homes(homes, 5_000)
    assert [(row.home.reference, row.place) for row in ranking.rows] == [
        ("asks nothing", Place.NO_GAIN), ("gains nothing", Place.NO_GAIN), ("unknown", Place.NOT_KNOWN),
        ("waits", Place.NOT_RECKONED),
    ]
    assert all(row.why for row in ranking.rows)
    assert ranking.spent_pounds == 0
    assert [row.rank for row in ranking.rows] == [1, 2, 3, 4]


def test_costs_are_rounded_up_to_pounds_so_that_no_budget_is_short_of_pence() -> None:
    odd = Weighed(Upgrade.POINT_TETHERED, Cost(100_001, True, False, NO_STEP), work(1, 1).yearly, None, "")
    assert cost_pounds(odd) == 1_001


@pytest.mark.parametrize("pounds", [-1, BUDGET_POUNDS_MAX + 1])
def test_a_budget_out_of_range_is_refused(pounds: int) -> None:
    with pytest.raises(Rejected):
        rank_homes([], pounds)


def test_what_is_left_after_safety_buys_the_best_of_all_sets() -> None:
    seed = 99
    print(f"seed {seed}")
    dice = random.Random(seed)
    for _ in range(40):
        homes = [
            home(
                str(place),
                *(
                    work(dice.randint(1, 9) * 100, dice.randint(0, 200), dice.choice([0, 0, 7, 9]), kind)
                    for kind in dice.sample(list(Upgrade), dice.randint(0, 3))
                ),
                stopped=dice.random() < 0.25,
                risk=dice.randint(40, 100),
            )
            for place in range(6)
        ]
        pounds = dice.randint(0, 25) * 100
        ranking = rank_homes(homes, pounds)
        safety = sum(cost_pounds(row.work) for row in ranking.rows if row.place is Place.SAFETY and row.is_paid_for)
        bought = [row.work for row in ranking.rows if row.place is Place.CHOSEN]
        best = max(
            (sum(each.yearly.avoided_wh for each in done), sum(each.pay.worth_pence for each in done))
            for chosen in product(*((None, *each.weighed) for each in homes if not each.is_stopped))
            for done in [[each for each in chosen if each is not None]]
            if sum(map(cost_pounds, done)) <= pounds - safety
        )
        assert (
            sum(each.yearly.avoided_wh for each in bought), sum(each.pay.worth_pence for each in bought)
        ) == best
        assert ranking.spent_pounds == safety + sum(map(cost_pounds, bought)) <= pounds


def test_the_totals_are_those_of_what_is_paid_for() -> None:
    ranking = rank_homes([home("a", work(900, 300, 50)), home("b", work(900, 0), stopped=True)], 1_800)
    assert (ranking.spent_pounds, ranking.avoided_wh) == (1_800, 50)
    factor = Decimal(ranking.worth_pence + 180_000) / 30_000
    assert abs(factor - Decimal("8.31660532")) < Decimal("1e-4")
