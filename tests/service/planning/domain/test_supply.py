"""A home's cars held to its supply, by hand: two band prices, half-hours of 3680 Wh."""

from dataclasses import replace

import pytest

from service.planning.domain.household_week import Control, OutletOption
from service.planning.domain.plans import Cause
from service.planning.domain.week import plan_household
from tests.factories.charging_weeks import FIRST_SLOT, WEEK_SLOTS, car, trip, week_of

NOONS = tuple(FIRST_SLOT + 24 + 48 * day for day in range(7))


def points(**changes):
    trips = (trip(0, "07:00", "18:00", 30_000),)
    return [
        car(vehicle_id=f"car {n}", ordinal=n, outlet_id=f"point {n}", cap_wh=3_680, trips=trips, **changes)
        for n in range(2)
    ]


def planned(cars, headroom_wh, **limits):
    return plan_household(
        replace(week_of(*cars), headroom_wh=(headroom_wh,) * WEEK_SLOTS, noon_slots=NOONS, **limits)
    )


def drawn(plan) -> dict[int, int]:
    total: dict[int, int] = {}
    for vehicle in plan.vehicles:
        for block in vehicle.blocks:
            for slot, energy in enumerate(block.energy_wh, start=block.first_slot):
                total[slot] = total.get(slot, 0) + energy
    return total


def at_full_current(plan, cap_wh: int = 3_680) -> int:
    """Return the most that cars could draw in a half-hour if all that charge in it did so at once."""
    users: dict[int, int] = {}
    for vehicle in plan.vehicles:
        for first, end in vehicle.block_times():
            for slot in range(first, end):
                users[slot] = users.get(slot, 0) + cap_wh
    return max(users.values(), default=0)


def test_a_supply_that_feeds_both_changes_nothing():
    free = plan_household(replace(week_of(*points()), noon_slots=NOONS))
    assert planned(points(), 7_360).vehicles == free.vehicles


def test_cars_share_what_the_supply_gives_and_stay_cheapest_together():
    plan = planned(points(), 4_000)
    # a point runs at full current or not at all: one car at a time, whatever the average would allow
    assert at_full_current(plan) == 3_680
    assert [vehicle.unmet_wh for vehicle in plan.vehicles] == [0, 0]
    # 14 kWh each take four of the eight cheap half-hours
    assert sum(vehicle.cost_up for vehicle in plan.vehicles) == 28 * 10_000_000
    assert plan.gap_up == 0


def test_what_the_supply_cannot_give_is_named_as_the_cause():
    week = replace(week_of(*points()), headroom_wh=(4_000,) * 6 + (0,) * (WEEK_SLOTS - 6), noon_slots=NOONS)
    plan = plan_household(week)
    short = [(one.cause, one.short_wh) for vehicle in plan.vehicles for one in vehicle.shortfalls]
    # four half-hours for one car, two for the other
    assert short == [(Cause.SUPPLY_SHARED, 14_000 - 2 * 3_680)]
    assert at_full_current(plan) == 3_680


def test_where_the_supply_cannot_carry_a_points_current_nothing_charges_there():
    plan = planned(points(), 3_600)
    assert [vehicle.blocks for vehicle in plan.vehicles] == [(), ()]
    assert {one.cause for vehicle in plan.vehicles for one in vehicle.shortfalls} == {Cause.SUPPLY_SHARED}


@pytest.mark.parametrize("kind", [{"control": Control.ONE_RUN}, {"start_loss_wh": 1_240}])
def test_cars_that_cannot_be_planned_as_one_give_way_until_all_fit(kind):
    plan = planned(points(**kind), 4_000)
    assert at_full_current(plan) == 3_680
    assert plan.gap_up is None or plan.gap_up >= 0


def test_a_circuit_of_two_outlets_carries_what_it_may_whatever_the_supply_gives():
    cars = [replace(each, circuit_id="ring") for each in points()]
    plan = planned(cars, 7_360, circuits_wh=(("ring", 3_680),))
    assert at_full_current(plan) == 3_680


def test_an_important_journey_comes_before_the_other_cars():
    first, second = points()
    far = tuple(replace(each, is_important=True) for each in second.trips)
    week = replace(week_of(first, replace(second, trips=far)), noon_slots=NOONS)
    plan = plan_household(replace(week, headroom_wh=(4_000,) * 5 + (0,) * (WEEK_SLOTS - 5)))
    assert plan.vehicles[1].unmet_wh == 0
    assert plan.vehicles[0].unmet_wh == 14_000 - 3_680


def test_what_cars_giving_way_lose_is_all_the_supplys():
    cars = points(control=Control.ONE_RUN)
    week = replace(week_of(*cars), headroom_wh=(3_680,) * 6 + (0,) * (WEEK_SLOTS - 6), noon_slots=NOONS)
    short = [(one.cause, one.short_wh) for vehicle in plan_household(week).vehicles for one in vehicle.shortfalls]
    assert short == [(Cause.SUPPLY_SHARED, 28_000 - 6 * 3_680 + 720)]  # a run's last half-hour is the other's loss


def test_a_car_that_could_go_to_another_outlet_is_never_put_at_one_whose_evidence_has_ended():
    # it needs the point alone until the supply is too little: then half-hours of the socket come into it as well
    ends = FIRST_SLOT + 38
    goes = car(
        vehicle_id="goes", outlet_id="point", cap_wh=3_680, usable_until_slot=ends,
        others=(OutletOption("socket", 1_150, FIRST_SLOT + 10_000),), trips=(trip(2, "07:00", "18:00", 30_000),),
    )  # fmt: skip
    far = car(
        vehicle_id="far", ordinal=1, outlet_id="second", cap_wh=3_680, trips=(trip(0, "07:00", "18:00", 34_000),)
    )
    gone = trip(0, "07:00", "18:00", 20_000, days_away=6)
    week = week_of(goes, far, car(vehicle_id="gone", ordinal=2, outlet_id="socket", trips=(gone,)))
    swaps = tuple(FIRST_SLOT + 38 + 48 * day for day in range(7))
    plan = plan_household(replace(week, swap_slots=swaps, noon_slots=NOONS, headroom_wh=(4_000,) * WEEK_SLOTS))
    assert max(drawn(plan).values()) <= 4_000
    assert all(block.outlet_id == "socket" or block.end_slot <= ends for block in plan.vehicles[0].blocks)
