"""Whole plans: by hand, against HiGHS, and by properties that hold for every week."""

import hashlib
from dataclasses import replace
from datetime import date, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from service.common.slots import instant_at, local_minutes, local_of, slot_start
from service.planning.domain.household_week import Control, HouseholdWeek, Trip, horizon_slots, week_prices
from service.planning.domain.plans import Cause, VehiclePlan
from service.planning.domain.segments import NEED_STEP_WH
from service.planning.domain.week import plan_household
from tests.factories.charging_weeks import FIRST_SLOT, at, car, prices_of, trip, two_band_prices, week_of
from tests.prove.one_vehicle import TOLERANCE_P, planned_cost_np
from tests.prove.random_weeks import random_week
from tests.prove.week_lp import optimum, week_programme

HALF_HOUR = timedelta(minutes=30)
SEEDS = list(range(60))


def plan_of(*vehicles, prices=None, index=0) -> VehiclePlan:
    return plan_household(week_of(*vehicles, prices=prices)).vehicles[index]


def local_blocks(plan: VehiclePlan) -> list[tuple[str, str]]:
    zone = ZoneInfo("UTC")
    return [
        (f"{local_of(first, zone):%a %H:%M}", f"{local_of(end, zone):%a %H:%M}") for first, end in plan.block_times()
    ]


def test_the_cheap_hours_before_the_departure_are_used_and_the_last_one_in_part():
    # 24 + 4 against 20 kWh: 8 kWh, of which 6 whole half-hours of 1.15 and 1.1 kWh in a seventh
    plan = plan_of(car(trips=(trip(0, "07:00", "18:00", 24_000),)))
    assert local_blocks(plan) == [("Mon 01:00", "Mon 04:30")]
    assert plan.blocks[0].energy_wh == (1150, 1150, 1150, 1150, 1150, 1150, 1100)
    assert (plan.energy_wh, plan.cost_up, plan.on_arrival_cost_up) == (
        8_000,
        80_000_000,
        2 * 69_000_000 // 2 + 57_000_000,
    )


def test_a_night_that_needs_no_charging_has_no_block():
    plan = plan_of(car(trips=(trip(0, "07:00", "18:00", 16_000),)))
    assert plan.blocks == ()
    assert (plan.cost_up, plan.on_arrival_cost_up, plan.unmet_wh) == (0, 0, 0)


def test_a_night_shift_charges_by_day():
    trips = tuple(trip(day, "21:30", "06:30", 12_000) for day in range(7))
    plan = plan_of(car(trips=trips))
    assert plan.shortfalls == ()
    # at home from 06:30 to 21:30 every half-hour costs 30 p: the earliest are taken, none while away
    assert all(first_at.endswith("06:30") or first_at.startswith("Mon") for first_at, _ in local_blocks(plan))


def test_levels_around_each_stay_count_the_loss_and_the_journeys():
    trips = (trip(0, "07:00", "18:00", 24_000), trip(1, "07:00", "18:00", 8_000))
    plan = plan_of(car(efficiency_permille=840, cap_wh=3680, ceiling_permille=700, trips=trips))
    before, between, after = plan.stays
    assert (before.level_before_wh, before.energy_wh) == (20_000, 9_523)  # as far as 70 % goes: 8 kWh / 0.84
    assert (before.level_after_wh, before.needed_wh, before.level_after_permille) == (27_999, 28_000, 700)
    # what is needed by then is 19,047 Wh at the wall, of which nobody charges the last 47
    assert (between.level_before_wh, between.energy_wh, between.level_after_wh) == (3_999, 9_477, 11_960)
    assert (after.level_before_wh, after.energy_wh, after.trip_key) == (3_960, 0, None)


def test_after_a_shortfall_the_car_returns_with_its_reserve():
    plan = plan_of(car(trips=(trip(0, "07:00", "18:00", 36_000),)))
    first, second = plan.stays
    assert (first.needed_wh, first.level_after_wh) == (40_000, 36_100)
    assert second.level_before_wh == 4_000


def test_one_break_in_the_cheap_hours_makes_two_blocks():
    plan = plan_of(car(start_charge_wh=4_000, ceiling_permille=1000), prices=prices_of([3, 1, 9, 1, 3]))
    assert plan.blocks == ()
    plan = plan_of(car(trips=(Trip("t", at(0, "02:30"), at(9, "00:00"), 18_300),)), prices=prices_of([3, 1, 9, 1, 3]))
    assert [(first - FIRST_SLOT, end - FIRST_SLOT) for first, end in plan.block_times()] == [(1, 2), (3, 4)]
    assert plan.cost_up == 2_300_000


def test_a_block_ends_with_its_stay_even_where_the_next_one_follows_at_once():
    trips = (trip(0, "02:00", "02:00", 18_000), trip(0, "07:00", "18:00", 1_150))
    plan = plan_of(car(trips=trips))
    assert local_blocks(plan) == [("Mon 01:00", "Mon 02:00"), ("Mon 02:00", "Mon 02:30")]
    assert [block.stay for block in plan.blocks] == [0, 1]


def test_negative_prices_fill_the_battery_to_the_everyday_ceiling():
    plan = plan_of(car(), prices=prices_of([-5.0] * 20))
    assert (plan.energy_wh, plan.cost_up) == (12_000, -60_000_000)
    assert plan.stays[0].level_after_permille == 800


def test_a_journey_may_go_above_the_ceiling_an_everyday_night_may_not():
    cheap = prices_of([-5.0] * 40)
    long_trip = plan_of(car(trips=(trip(0, "19:00", "20:00", 34_000),)), prices=cheap)
    assert long_trip.stays[0].level_after_wh == 38_000
    assert plan_of(car(trips=(trip(0, "19:00", "20:00", 1_000),)), prices=cheap).stays[0].level_after_wh == 32_000


def test_half_hours_without_a_price_are_ranked_but_never_costed():
    prices = two_band_prices(known=5)
    plan = plan_of(car(trips=(trip(0, "07:00", "18:00", 24_000),)), prices=prices)
    assert local_blocks(plan) == [("Mon 01:00", "Mon 04:30")]
    assert (plan.unpriced_wh, plan.cost_up) == (8_000 - 3 * 1150, 3 * 11_500_000)
    assert (plan.on_arrival_unpriced_wh, plan.on_arrival_cost_up) == (8_000 - 5 * 1150, 2 * 34_500_000 + 3 * 11_500_000)
    assert plan.blocks[0].unpriced_wh == plan.unpriced_wh


def test_cars_at_one_outlet_have_it_in_turns_and_each_charges_in_its_own():
    first, second = (
        car(vehicle_id=name, ordinal=ordinal, trips=(trip(1, "07:00", "18:00", 24_000),))
        for ordinal, name in enumerate(("first", "second"))
    )
    week = replace(week_of(second, first), swap_slots=tuple(FIRST_SLOT + 38 + 48 * day for day in range(7)))
    plan = plan_household(week)
    assert [vehicle.vehicle_id for vehicle in plan.vehicles] == ["first", "second"]
    # either night does: the lower ordinal has the first turn, and nobody swaps without need
    turns = [(turn.vehicle_id, turn.first_slot - FIRST_SLOT) for turn in plan.turns[:2]]
    assert turns == [("first", 0), ("second", 38)]
    assert local_blocks(plan.vehicles[0]) == [("Mon 01:00", "Mon 04:30")]
    assert local_blocks(plan.vehicles[1]) == [("Tue 01:00", "Tue 04:30")]
    assert plan.gap_up == 0


def test_the_car_before_an_important_journey_has_the_night_and_the_other_waits():
    far = replace(trip(1, "07:00", "18:00", 30_000), is_important=True)
    first = car(vehicle_id="first", trips=(trip(1, "07:00", "18:00", 24_000),))
    second = car(vehicle_id="second", ordinal=1, trips=(far,))
    # until tonight's swap there is one turn, and only one car can be charged before both leave
    plan = plan_household(replace(week_of(first, second), swap_slots=(FIRST_SLOT + 72,)))
    assert plan.turns[0].vehicle_id == "second"
    assert plan.turns[0].reason is not None
    assert plan.turns[0].reason.important_unmet_wh > 0
    assert [short.cause for short in plan.vehicles[0].shortfalls] == [Cause.OUTLET_SHARED]


def test_a_car_set_by_timer_charges_in_one_run_a_night():
    prices = prices_of([30] * 4 + [10, 30, 10, 10] + [30] * 40)
    vehicle = car(trips=(trip(0, "20:00", "23:00", 18_600),))  # 2.6 kWh are needed: 2 half-hours and a rest
    free = plan_of(vehicle, prices=prices)
    run = plan_of(replace(vehicle, control=Control.ONE_RUN), prices=prices)
    assert len(free.blocks) == 2
    assert [block.end_slot - block.first_slot for block in run.blocks] == [3]
    assert run.energy_wh == free.energy_wh
    assert run.cost_np > free.cost_np


def test_cars_on_outlets_of_their_own_do_not_see_each_other():
    trips = (trip(0, "07:00", "18:00", 24_000),)
    plans = plan_household(week_of(car(trips=trips), car(ordinal=1, outlet_id="other", trips=trips))).vehicles
    assert plans[0].block_times() == plans[1].block_times()


def test_cars_without_an_outlet_do_not_bar_anything():
    none = {"outlet_id": None, "cap_wh": 0}
    plans = plan_household(week_of(car(**none), car(ordinal=1, **none))).vehicles
    assert [plan.blocks for plan in plans] == [(), ()]


@pytest.mark.parametrize(("day", "slots"), [(date(2026, 3, 25), 334), (date(2026, 10, 22), 338)])
def test_a_week_with_a_clock_change_keeps_to_wall_clock_departures_and_cheap_hours(day, slots):
    zone = ZoneInfo("Europe/London")
    horizon = horizon_slots(instant_at(day, 0, zone), zone)
    assert len(horizon) == slots
    minutes = local_minutes(horizon.start, slots, zone)
    cheap = (minutes >= 60) & (minutes < 300)
    prices = week_prices(horizon.start, np.where(cheap, 10_000_000, 30_000_000), [True] * slots)
    trips = tuple(
        Trip(
            f"day {n}",
            instant_at(day + timedelta(days=n), 420, zone),
            instant_at(day + timedelta(days=n), 1080, zone),
            8_000,
        )
        for n in range(7)
    )
    plan = plan_of(car(start_charge_wh=4_000, usable_until_slot=horizon.stop + 999, trips=trips), prices=prices)
    assert plan.shortfalls == ()
    times = [(local_of(first, zone), local_of(end, zone)) for first, end in plan.block_times()]
    assert all(first.hour * 60 + first.minute >= 60 for first, _ in times)
    assert all(end.hour < 5 or (end.hour, end.minute) == (5, 0) for _, end in times)
    assert plan.cost_up == plan.energy_wh * 10_000
    assert plan.energy_wh == 7 * 8_000
    by_clock = [stay.end_slot for stay in plan.stays[:-1]]
    assert [local_of(end, zone).hour for end in by_clock] == [7] * 7


def test_the_same_week_gives_the_same_plan_whatever_order_it_is_given_in():
    rng = np.random.default_rng(17)
    week = random_week(rng, vehicles=3).week
    turned = [replace(vehicle, trips=vehicle.trips[::-1]) for vehicle in week.vehicles][::-1]
    again = HouseholdWeek(week.prices, tuple(turned))
    assert hashlib.sha256(repr(plan_household(week)).encode()).digest() == (
        hashlib.sha256(repr(plan_household(again)).encode()).digest()
    )


@pytest.mark.parametrize("seed", SEEDS)
def test_random_weeks_equal_the_two_phase_linear_programme(seed):
    week = random_week(np.random.default_rng(seed)).week
    best = optimum(week_programme(week.vehicles[0], week.prices), week.prices.tables.price_up)
    plan = plan_household(week).vehicles[0]
    assert plan.unmet_wh == best.unmet_wh
    assert abs(planned_cost_np(week) / 1e9 - best.cost_p) <= TOLERANCE_P


def test_the_random_weeks_are_not_all_of_one_kind():
    drawn = [random_week(np.random.default_rng(seed)) for seed in SEEDS]
    plans = [plan_household(one.week).vehicles[0] for one in drawn]
    causes = {short.cause for plan in plans for short in plan.shortfalls}
    assert causes >= set(Cause) - {Cause.OUTLET_SHARED, Cause.SUPPLY_SHARED}
    assert {one.clock_change_slots for one in drawn} == {-2, 0, 2}
    assert {334, 336, 338} <= {one.week.prices.count for one in drawn}
    assert sum(one.week.prices.tables.negative_count > 0 for one in drawn) > 10
    assert sum(bool(plan.blocks) for plan in plans) > 30


@pytest.mark.parametrize("seed", SEEDS)
def test_no_block_leaves_its_stay_its_evidence_or_its_current(seed):
    week = random_week(np.random.default_rng(seed), vehicles=3).week
    busy: dict[str, set[int]] = {}
    for vehicle, plan in zip(week.in_order(), plan_household(week).vehicles, strict=True):
        for block in plan.blocks:
            assert week.prices.first_slot <= block.first_slot < block.end_slot <= week.prices.end_slot
            assert block.end_slot <= vehicle.usable_until_slot
            assert len(block.energy_wh) == block.end_slot - block.first_slot
            assert all(0 < energy <= vehicle.cap_wh for energy in block.energy_wh)
            stay = plan.stays[block.stay]
            assert stay.first_slot <= block.first_slot <= block.end_slot <= stay.end_slot
            for slot in range(block.first_slot, block.end_slot):
                starts_at, ends_at = slot_start(slot), slot_start(slot) + HALF_HOUR
                assert all(ends_at <= one.leaves_at or one.returns_at <= starts_at for one in vehicle.trips)
                outlet = busy.setdefault(str(vehicle.outlet_id), set())
                assert slot not in outlet
                outlet.add(slot)


@pytest.mark.parametrize("seed", SEEDS)
def test_energy_is_conserved_and_the_battery_stays_between_empty_and_what_is_allowed(seed):
    week = random_week(np.random.default_rng(seed), vehicles=2).week
    for vehicle, plan in zip(week.in_order(), plan_household(week).vehicles, strict=True):
        assert plan.energy_wh == sum(sum(block.energy_wh) for block in plan.blocks)
        assert plan.energy_wh == sum(stay.energy_wh for stay in plan.stays)
        energies = {trip.key: trip.energy_wh for trip in vehicle.trips}
        short: dict[str | None, int] = {}
        for one in plan.shortfalls:
            if one.cause != Cause.BATTERY_TOO_SMALL:
                short[one.trip_key] = short.get(one.trip_key, 0) + one.short_wh
        level, topped_up = float(vehicle.start_charge_wh), 0.0
        forced = 0
        for stay in plan.stays:
            assert stay.level_before_wh == pytest.approx(max(0, level + topped_up), abs=1.01)
            gained = stay.energy_wh * vehicle.efficiency_permille / 1000
            assert stay.level_after_wh == pytest.approx(max(0, level + topped_up + gained), abs=1.01)
            assert 0 <= stay.level_before_wh <= stay.level_after_wh <= vehicle.battery_wh
            lacking = short.get(stay.trip_key, 0) * vehicle.efficiency_permille / 1000
            if stay.trip_key is not None:
                assert stay.level_after_wh + lacking >= stay.needed_wh - NEED_STEP_WH - 2
            if stay.energy_wh and vehicle.usable_until_slot >= week.prices.end_slot:
                allowed = max(vehicle.ceiling_wh, _forced_level(plan, vehicle, stay)) + 1
                assert stay.level_after_wh <= allowed
                forced += allowed > vehicle.ceiling_wh + 1
            used = min(energies.get(stay.trip_key or "", 0), vehicle.battery_wh - vehicle.reserve_wh)
            level, topped_up = level + topped_up + gained - used, lacking


def _forced_level(plan, vehicle, stay):
    """Return the level that this or a later departure asks of a stay if nothing is charged afterwards."""
    position = plan.stays.index(stay)
    driven, level = 0, 0
    for later in plan.stays[position:]:
        level = max(level, min(vehicle.battery_wh, driven + later.needed_wh))
        driven += later.needed_wh - vehicle.reserve_wh
    is_next_week_in_view = any(one.leaves_at >= slot_start(plan.stays[-1].end_slot) for one in vehicle.trips)
    return vehicle.battery_wh if is_next_week_in_view else level


@pytest.mark.parametrize("seed", SEEDS)
def test_a_plan_is_never_dearer_than_the_same_energy_on_arrival(seed):
    week = random_week(np.random.default_rng(seed), vehicles=2).week
    known = week_prices(week.prices.first_slot, week.prices.tables.price_up, np.ones(week.prices.count, dtype=bool))
    for plan in plan_household(HouseholdWeek(known, week.vehicles)).vehicles:
        assert plan.unpriced_wh == plan.on_arrival_unpriced_wh == 0
        assert plan.cost_up <= plan.on_arrival_cost_up


@pytest.mark.parametrize("seed", SEEDS)
def test_where_nothing_is_priced_all_energy_is_unpriced_both_ways(seed):
    week = random_week(np.random.default_rng(seed), vehicles=2).week
    unknown = week_prices(week.prices.first_slot, week.prices.tables.price_up, np.zeros(week.prices.count, dtype=bool))
    for plan in plan_household(HouseholdWeek(unknown, week.vehicles)).vehicles:
        assert plan.unpriced_wh == plan.on_arrival_unpriced_wh == plan.energy_wh
        assert plan.cost_up == plan.on_arrival_cost_up == 0


@pytest.mark.parametrize("seed", SEEDS)
def test_longer_evidence_and_a_stronger_current_are_never_worse(seed):
    week = random_week(np.random.default_rng(seed)).week
    vehicle = week.vehicles[0]
    # with the ceiling at a full battery: a lower one yields to shortage, so shortage could then pay
    vehicle = replace(vehicle, ceiling_permille=1000, outlet_id="outlet", cap_wh=vehicle.cap_wh or 1150)
    before = _lexicographic(week, vehicle)
    assert _lexicographic(week, replace(vehicle, usable_until_slot=week.prices.end_slot + 500)) <= before
    assert _lexicographic(week, replace(vehicle, cap_wh=vehicle.cap_wh * 2)) <= before


def _lexicographic(week, vehicle):
    changed = HouseholdWeek(week.prices, (vehicle,))
    return plan_household(changed).vehicles[0].unmet_wh, planned_cost_np(changed)


@pytest.mark.parametrize("seed", SEEDS)
def test_more_hours_at_home_never_leave_more_unmet(seed):
    week = random_week(np.random.default_rng(seed)).week
    vehicle = week.vehicles[0]
    starts_at = slot_start(week.prices.first_slot)
    sooner = tuple(
        replace(one, returns_at=max(one.leaves_at, one.returns_at - timedelta(hours=2)))
        if one.leaves_at >= starts_at
        else one
        for one in vehicle.trips
    )
    after = plan_household(HouseholdWeek(week.prices, (replace(vehicle, trips=sooner),))).vehicles[0]
    assert after.unmet_wh <= plan_household(week).vehicles[0].unmet_wh
