"""What a change at home is worth a year: by hand, on whole plans, and never with money for what has no price."""

from dataclasses import replace

import pytest

from service.common.errors import NotFound
from service.common.working import Step
from service.planning.domain.house_load import HouseLoad, headroom
from service.planning.domain.path_kernel import price_tables
from service.planning.domain.supply_flow import SupplyCar, share_supply
from service.planning.domain.week import plan_household
from service.planning.domain.worth import (
    Outcome,
    Worth,
    at_current,
    one_hour_more_at_home,
    outcome_of,
    with_ceiling,
    with_vehicle,
    worth_between,
    worth_of,
)
from tests.factories.charging_weeks import car, trip, two_band_prices, week_of


def solve(week):
    return outcome_of(plan_household(week))


def test_a_year_is_fifty_two_such_weeks():
    assert worth_between(Outcome(5_000_000, 30), Outcome(2_000_500, 10)) == Worth(155_974, 1040)
    assert worth_between(Outcome(2_000_000, 0), Outcome(5_000_000, 0)) == Worth(-156_000, 0)


def test_a_price_that_is_not_known_never_becomes_money():
    priced, unpriced = Outcome(5_000_000, 0), Outcome(2_000_000, 0, unpriced_wh=1)
    assert worth_between(priced, unpriced).saved_up is None
    assert worth_between(unpriced, priced).saved_up is None
    week = week_of(car(trips=(trip(0, "07:00", "18:00", 24_000),)), prices=two_band_prices(known=0))
    assert worth_of(solve, week, with_vehicle(week, "car", lambda each: at_current(each, 32))).saved_up is None


def test_more_current_moves_what_did_not_fit_into_the_cheap_hours():
    # 16 kWh by 07:00: at 10 A four cheap hours give 9.2 kWh and 6.8 kWh cost 20 p more; at 32 A all fit
    week = week_of(car(trips=(trip(0, "07:00", "18:00", 32_000),)))
    worth = worth_of(solve, week, with_vehicle(week, "car", lambda each: at_current(each, 32)))
    assert worth == Worth(saved_up=52 * 6_800 * 20 * 1_000, closed_wh=0)


def test_more_current_takes_its_own_efficiency_and_loses_more_by_a_late_start():
    changed = at_current(car(start_loss_wh=383), 32, efficiency_permille=900)
    assert (changed.cap_wh, changed.efficiency_permille, changed.start_loss_wh) == (3_680, 900, 1_226)
    assert at_current(car(), 10) == car()


def test_one_hour_more_at_home_closes_a_shortfall():
    # back at 18:00 and off at 21:00: six half-hours of 1.15 kWh for 20 kWh; with an hour more 2.3 kWh are closed
    trips = (trip(0, "00:00", "18:00", 16_000), trip(0, "21:00", "23:59", 20_000))
    week = week_of(car(trips=trips))
    worth = worth_of(solve, week, with_vehicle(week, "car", one_hour_more_at_home))
    assert worth.closed_wh == 52 * 2_300
    assert worth.saved_up is not None and worth.saved_up < 0  # what is charged at home now has to be paid for


def test_nobody_is_back_before_having_left():
    short = trip(0, "07:00", "07:30", 100)
    assert one_hour_more_at_home(car(trips=(short,))).trips == (replace(short, returns_at=short.leaves_at),)


def test_a_higher_ceiling_lets_cheap_hours_carry_further():
    prices = two_band_prices()
    trips = (trip(0, "07:00", "08:00", 30_000), trip(0, "20:00", "21:00", 6_000))
    week = week_of(car(trips=trips, ceiling_permille=850, start_charge_wh=32_000), prices=prices)
    worth = worth_of(solve, week, with_vehicle(week, "car", lambda each: with_ceiling(each, 1000)))
    assert worth.saved_up is not None and worth.saved_up > 0
    assert worth.closed_wh == 0


def test_a_bigger_fuse_is_worth_what_the_cars_no_longer_pay_for_giving_way():
    tables = price_tables([10_000_000, 30_000_000])
    cars = [SupplyCar(ordinal, [3_000], [9_000], [[(0, 2, 3_680)]]) for ordinal in range(2)]
    load = HouseLoad((1_000, 1_000), Step("", {}, "", "", ""))

    def solve_at(fuse_a):
        plan = share_supply(tables, cars, headroom(load, fuse_a).headroom_wh)
        return Outcome(plan.cost_np, plan.unmet_wh)

    # 60 A leaves 5,020 Wh in the cheap half-hour, 80 A 6,860 Wh: 980 Wh move from 30 p to 10 p
    assert worth_of(solve_at, 60, 80) == Worth(52 * 980 * 20 * 1_000, 0)


def test_a_vehicle_of_another_home_is_not_found():
    with pytest.raises(NotFound):
        with_vehicle(week_of(car()), "another", one_hour_more_at_home)
