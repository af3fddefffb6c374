"""What a year of such weeks brings: exact, told apart by where it comes from, never made of a missing price."""

from __future__ import annotations

import random
from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from service.advice.domain.finance import simple_payback
from service.advice.domain.upgrade_money import yearly_money
from service.advice.domain.upgrade_week import WeekFigures
from service.figures.domain.book import Figure

NP_PER_WH = 1_000_000  # 1e-9 p a Wh for each penny a kWh
PUBLIC = Figure("public_charging_price", "", date(2025, 9, 1), None, Decimal(51), "pence per kWh", "published", "s")
EXAMPLE = "arithmetic: 0.84 and 0.90 into the battery, 2,000 kWh a year, 26.11 p"


def week(wall_wh: int, battery_wh: int, pence: str = "0", **more: int) -> WeekFigures:
    cost_np = int(wall_wh * NP_PER_WH * Decimal(pence))
    return replace(WeekFigures(cost_np, 0, wall_wh, battery_wh, 0, 0, 0, 5), **more)


BATTERY_WH = round(2_000_000 / 52)
LEAD = week(round(BATTERY_WH / 0.84), BATTERY_WH, "26.11")
POINT = week(round(BATTERY_WH / 0.90), BATTERY_WH, "26.11")


@pytest.mark.reference
def test_the_loss_alone_saves_what_the_example_says(reference) -> None:
    money = yearly_money(LEAD, POINT, PUBLIC)
    reference(source=EXAMPLE, expected=41.44, got=money.losses_up / 1e8, tolerance=0.02)
    assert money.losses_up == money.saved_up == money.total_up
    assert money.hours_up == money.more_up == 0
    assert abs(money.left_up) < 1_000_000  # the weeks' whole Wh differ by less than one


@pytest.mark.reference
def test_the_loss_alone_takes_24_years_to_repay_a_thousand_pounds(reference) -> None:
    yearly = Decimal(yearly_money(LEAD, POINT, PUBLIC).total_up) / 1_000_000
    reference(source=EXAMPLE, expected=24, got=float(simple_payback(100_000, yearly)), tolerance=0.2)


def test_the_sources_of_money_and_what_is_left_add_up_to_what_lies_between_the_weeks() -> None:
    seed = 52
    print(f"seed {seed}")
    dice = random.Random(seed)
    for _ in range(500):
        now, then = (
            WeekFigures(
                dice.randint(-10**12, 10**13), 0, dice.randint(1, 10**5), dice.randint(1, 10**5), 0,
                dice.choice([0, dice.randint(0, 10**4)]), 0, 1,
            )
            for _ in range(2)
        )
        money = yearly_money(now, then, None)
        exact = Decimal(52 * (now.cost_np - then.cost_np)) / 1000
        assert money.losses_up + money.hours_up + money.more_up == money.saved_up
        assert abs(money.saved_up + money.left_up - exact) <= Decimal("0.5")


def test_the_same_energy_in_cheaper_half_hours_is_all_hours() -> None:
    money = yearly_money(week(10_000, 8_400, "30"), week(10_000, 8_400, "10"), None)
    assert (money.losses_up, money.hours_up, money.more_up) == (0, 52 * 200 * 1_000_000, 0)


def test_more_charged_at_home_costs_and_what_was_short_is_no_longer_bought_in_public() -> None:
    now = week(10_000, 8_400, "20", short_wh=5_000, short_battery_wh=4_200)
    money = yearly_money(now, week(15_000, 12_600, "20"), PUBLIC)
    assert (money.losses_up, money.hours_up, money.left_up) == (0, 0, 0)
    assert money.more_up == -52 * 100 * 1_000_000
    assert money.avoided_wh == 52 * 4_200
    assert money.public_up == round(52 * 4.2 * 51 * 1_000_000)
    assert money.total_up == money.more_up + money.public_up


def test_a_missing_price_never_becomes_money() -> None:
    unpriced = replace(POINT, unpriced_wh=100)
    for now, then in ((LEAD, unpriced), (unpriced, POINT)):
        money = yearly_money(now, then, PUBLIC)
        assert money.saved_up is None and money.total_up is None and money.losses_up is None
        assert money.steps[0].result == "not known"


def test_without_a_price_in_public_what_was_short_counts_for_nothing_and_that_is_said() -> None:
    money = yearly_money(replace(LEAD, short_battery_wh=1_000), POINT, None)
    assert (money.avoided_wh, money.public_up) == (52_000, None)
    assert money.total_up == money.saved_up
    assert money.steps[-1].result == "not counted"


def test_a_week_without_any_charging_divides_by_nothing() -> None:
    nothing = week(0, 0)
    assert yearly_money(nothing, nothing, PUBLIC).saved_up == 0
    for now, then in ((nothing, POINT), (LEAD, nothing)):
        money = yearly_money(now, then, PUBLIC)
        assert money.saved_up == 0 and money.left_up != 0


def test_a_week_that_ends_with_fuller_batteries_has_lost_nothing() -> None:
    # 2 kWh more in the battery for the same journeys: paid for once, and there for the next week.
    money = yearly_money(week(10_000, 8_400, "20"), week(12_000, 10_400, "20"), PUBLIC)
    assert money.saved_up == money.losses_up > 0
    assert (money.hours_up, money.more_up) == (0, 0)
    assert money.left_up < 0
