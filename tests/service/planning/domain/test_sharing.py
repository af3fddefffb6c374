"""Several cars of one home: turns, what an outlet of another is worth, and that nothing is used twice."""

from dataclasses import replace

import numpy as np
import pytest

from service.planning.domain.household_week import Control, HouseholdWeek, OutletOption, week_prices
from service.planning.domain.plans import Cause
from service.planning.domain.sharing import solve_household
from service.planning.domain.week import plan_household
from tests.factories.charging_weeks import FIRST_SLOT, car, trip, two_band_prices, week_of
from tests.prove.random_weeks import random_week

SWAPS = tuple(FIRST_SLOT + 38 + 48 * day for day in range(7))
NOONS = tuple(FIRST_SLOT + 24 + 48 * day for day in range(7))
FAR_AWAY = FIRST_SLOT + 10_000


def shared_week(*vehicles, **habits) -> HouseholdWeek:
    return replace(week_of(*vehicles), **{"swap_slots": SWAPS, "noon_slots": NOONS, **habits})


def cost_np(solution) -> int:
    prices = two_band_prices().price_up
    return sum(prices[s] * e for car in solution.cars for s, e in zip(car.slots, car.energies_wh, strict=True))


def test_a_second_outlet_lets_both_charge_in_the_cheap_hours_of_one_night():
    trips = (trip(0, "07:00", "18:00", 25_000),)
    first = car(vehicle_id="first", trips=trips)
    second = car(vehicle_id="second", ordinal=1, trips=trips)
    one_outlet = solve_household(shared_week(first, second))
    other = OutletOption("drive", 1150, FAR_AWAY)
    two_outlets = solve_household(shared_week(replace(first, others=(other,)), second))
    assert sum(sum(each.unmet_wh) for each in one_outlet.cars) == 9_000
    assert sum(sum(each.unmet_wh) for each in two_outlets.cars) == 0
    assert set(two_outlets.cars[0].outlet_ids) == {"drive"}
    assert set(two_outlets.cars[1].outlet_ids) == {"outlet"}


def test_the_outlet_of_a_block_is_told_where_a_car_goes_from_one_to_the_other():
    long_evidence = OutletOption("drive", 1150, FAR_AWAY)
    trips = tuple(trip(day, "07:00", "18:00", 9_000) for day in range(7))
    vehicle = car(trips=trips, usable_until_slot=FIRST_SLOT + 86, others=(long_evidence,))
    plan = plan_household(shared_week(vehicle)).vehicles[0]
    assert plan.shortfalls == ()
    assert {block.outlet_id for block in plan.blocks if block.first_slot >= FIRST_SLOT + 86} == {"drive"}
    # of equal outlets the usual one or the other will do while both may be used, but no block lies in both
    assert all(block.end_slot <= FIRST_SLOT + 86 or block.outlet_id == "drive" for block in plan.blocks)


def test_where_one_run_a_night_is_set_shared_cars_have_one_run_a_night():
    trips = tuple(trip(day, "07:00", "18:00", 6_000) for day in range(7))
    cars = [car(vehicle_id=str(n), ordinal=n, trips=trips, control=Control.ONE_RUN) for n in range(2)]
    for plan in plan_household(shared_week(*cars)).vehicles:
        nights = [np.searchsorted(NOONS, block.first_slot, "right") for block in plan.blocks]
        assert len(nights) == len(set(nights)) > 0


def test_more_swaps_and_more_outlets_are_never_worse():
    trips = tuple(trip(day, "06:00", "18:00", 8_000) for day in range(7))
    cars = [car(vehicle_id=str(n), ordinal=n, trips=trips) for n in range(2)]
    rare = solve_household(shared_week(*cars))
    often = solve_household(shared_week(*cars, swap_slots=tuple(sorted([*SWAPS, *(slot + 10 for slot in SWAPS)]))))
    unmet = [sum(sum(each.unmet_wh) for each in one.cars) for one in (rare, often)]
    assert (unmet[1], cost_np(often)) <= (unmet[0], cost_np(rare))


def test_a_night_early_and_above_the_ceiling_is_better_than_short_because_the_other_car_has_the_outlet():
    # both leave on Wednesday with 33 kWh needed, ceiling 80 % of 40: one must be full a night before
    far = (trip(2, "07:00", "18:00", 31_000),)
    cars = [car(vehicle_id=str(n), ordinal=n, trips=far, cap_wh=3_680, start_charge_wh=10_000) for n in range(2)]
    plan = plan_household(shared_week(*cars))
    assert [vehicle.unmet_wh for vehicle in plan.vehicles] == [0, 0]


@pytest.mark.parametrize("seed", range(12))
def test_no_half_hour_of_an_outlet_is_used_by_two_cars(seed):
    drawn = random_week(np.random.default_rng(seed), vehicles=3).week
    first, count = drawn.prices.first_slot, drawn.prices.count
    week = replace(
        drawn,
        vehicles=tuple(replace(v, outlet_id="one" if v.outlet_id else None) for v in drawn.vehicles),
        swap_slots=tuple(range(first + 38, first + count, 48)),
    )
    used: set[tuple[object, int]] = set()
    for solution in solve_household(week).cars:
        drawn_now = list(zip(solution.outlet_ids, solution.slots, strict=True))
        assert not used.intersection(drawn_now)
        used.update(drawn_now)


def test_the_reason_of_tonights_turn_is_what_the_other_car_there_would_cost():
    far = (replace(trip(0, "07:00", "18:00", 30_000), is_important=True),)
    first = car(vehicle_id="first", trips=(trip(0, "07:00", "18:00", 24_000),))
    plan = plan_household(shared_week(first, car(vehicle_id="second", ordinal=1, trips=far)))
    turn = plan.turns[0]
    assert turn.vehicle_id == "second"
    assert turn.reason is not None
    assert turn.reason.important_unmet_wh == 14_000
    assert not turn.reason.is_only_one


def test_where_the_usual_outlet_feeds_nothing_the_other_ones_timer_and_late_start_count():
    trips = tuple(trip(day, "07:00", "18:00", 9_000) for day in range(5))
    point = OutletOption("point", 3_680, FAR_AWAY, Control.ONE_RUN, 1_240)
    (there,) = solve_household(shared_week(car(cap_wh=0, others=(point,), trips=trips))).cars
    usual = car(outlet_id="point", cap_wh=3_680, control=Control.ONE_RUN, start_loss_wh=1_240, trips=trips)
    (alone,) = solve_household(shared_week(usual)).cars
    assert (there.slots, there.energies_wh) == (alone.slots, alone.energies_wh)


def test_an_outlet_that_may_not_be_used_says_nothing_about_why_energy_is_short():
    stopped = OutletOption("stopped", 3_680, FIRST_SLOT)
    trips = (trip(0, "07:00", "18:00", 25_000),)
    cars = [car(vehicle_id=str(n), ordinal=n, trips=trips, others=(stopped,)) for n in range(2)]
    plan = plan_household(shared_week(*cars))
    assert [(one.cause, one.short_wh) for each in plan.vehicles for one in each.shortfalls] == [
        (Cause.OUTLET_SHARED, 9_000)
    ]


def test_cars_with_two_outlets_and_one_run_a_night_say_what_a_better_sharing_might_save():
    trips = tuple(trip(day, "07:00", "18:00", 6_000) for day in range(7))
    socket = OutletOption("socket", 1_150, FAR_AWAY, Control.ONE_RUN)
    point = OutletOption("point", 3_680, FAR_AWAY)
    cars = [
        car(vehicle_id="first", outlet_id="point", cap_wh=3_680, others=(socket,), trips=trips),
        car(vehicle_id="second", ordinal=1, outlet_id="socket", control=Control.ONE_RUN, others=(point,), trips=trips),
    ]
    rates = np.where(np.arange(336) % 4 < 2, 10_000_000, 30_000_000)
    week = replace(shared_week(*cars), prices=week_prices(FIRST_SLOT, rates, np.ones(336, bool)))
    solution = solve_household(week)
    assert sum(sum(each.unmet_wh) for each in solution.cars) == 0
    assert all(each.path.nights is not None for each in solution.cars)
    assert solution.gap_up is not None
    assert solution.gap_up > 0
