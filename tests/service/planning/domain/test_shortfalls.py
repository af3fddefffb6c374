"""Each cause of a shortfall on its own and together, by hand; efficiency 1 unless said."""

import pytest

from service.common.slots import slot_start
from service.planning.domain.plans import Cause
from service.planning.domain.week import plan_household
from tests.factories.charging_weeks import FIRST_SLOT, at, car, trip, two_band_prices, week_of


def causes_of(*vehicles, index=0, prices=None):
    plan = plan_household(week_of(*vehicles, prices=prices)).vehicles[index]
    return [(short.trip_key, short.cause, short.short_wh) for short in plan.shortfalls]


def test_a_week_that_works_has_no_shortfall():
    assert causes_of(car(trips=(trip(0, "07:00", "18:00", 10_000),))) == []


def test_too_few_hours_at_home():
    # 14 half-hours give 16.1 kWh on top of 20; 36 + 4 are needed
    assert causes_of(car(trips=(trip(0, "07:00", "18:00", 36_000, key="far"),))) == [
        ("far", Cause.TOO_FEW_HOURS, 3_900)
    ]


def test_a_battery_too_small_is_told_apart_from_too_few_hours():
    assert causes_of(car(trips=(trip(0, "07:00", "18:00", 50_000, key="far"),))) == [
        ("far", Cause.BATTERY_TOO_SMALL, 14_000),
        ("far", Cause.TOO_FEW_HOURS, 3_900),
    ]


@pytest.mark.parametrize(
    "changes", [{"outlet_id": None}, {"cap_wh": 0}, {"usable_until_slot": FIRST_SLOT}, {"usable_until_slot": 0}]
)
def test_no_usable_outlet(changes):
    if changes.get("outlet_id", "") is None:
        changes = {**changes, "cap_wh": 0}
    vehicle = car(trips=(trip(0, "07:00", "18:00", 30_000, key="far"),), **changes)
    assert causes_of(vehicle) == [("far", Cause.NO_USABLE_OUTLET, 14_000)]


def test_evidence_ends_takes_only_the_share_that_more_hours_would_close():
    # evidence for 4 half-hours: 4.6 kWh; 10 more would give 11.5; 3.9 stay short in any case
    vehicle = car(trips=(trip(0, "07:00", "18:00", 36_000, key="far"),), usable_until_slot=FIRST_SLOT + 4)
    assert causes_of(vehicle)[:2] == [("far", Cause.EVIDENCE_ENDS, 11_500), ("far", Cause.TOO_FEW_HOURS, 3_900)]


def test_evidence_that_ends_midweek_names_the_first_journey_it_leaves_short():
    trips = tuple(trip(day, "07:00", "18:00", 12_000, key=f"day {day}") for day in range(7))
    found = causes_of(car(trips=trips, usable_until_slot=FIRST_SLOT + 2 * 48))
    # full with 40 kWh on Tuesday night, as the ceiling yields: Wednesday to Friday use 36 and leave the reserve
    assert found == [("day 5", Cause.EVIDENCE_ENDS, 12_000), ("day 6", Cause.EVIDENCE_ENDS, 12_000)]


def test_an_outlet_that_serves_the_other_car_is_the_cause_where_it_would_have_sufficed():
    first = car(vehicle_id="first", trips=(trip(0, "07:00", "18:00", 32_000),))
    second = car(vehicle_id="second", ordinal=1, trips=(trip(0, "07:00", "18:00", 20_000, key="second's"),))
    assert causes_of(first, second) == []
    # the first car takes all 14 half-hours of the night; the second lacks 4 kWh
    assert causes_of(first, second, index=1) == [("second's", Cause.OUTLET_SHARED, 4_000)]


def test_the_reserve_at_the_end_of_the_horizon_is_named_with_no_journey():
    plan = plan_household(week_of(car(start_charge_wh=1_000, outlet_id=None, cap_wh=0))).vehicles[0]
    (short,) = plan.shortfalls
    assert (short.trip_key, short.short_wh, short.is_reserve_only) == (None, 3_000, True)
    assert short.leaves_at == slot_start(two_band_prices().end_slot)


def test_a_departure_after_the_horizon_is_named_once_no_hour_between_can_close_it():
    trips = (trip(6, "08:00", "00:30", 20_000), trip(7, "01:00", "12:00", 30_000, key="next week"))
    plan = plan_household(week_of(car(trips=trips))).vehicles[0]
    (short,) = plan.shortfalls
    # back at 00:30 with at most 40 - 20 kWh, one half-hour at home: 20 + 1.15 against 34
    assert (short.trip_key, short.leaves_at) == ("next week", at(7, "01:00"))
    assert short.short_wh == 12_800  # 34 - 20 - 1.15, less than 100 Wh left out


def test_a_journey_that_only_eats_into_the_reserve_says_so():
    vehicle = car(trips=(trip(0, "07:00", "18:00", 36_000),))
    assert plan_household(week_of(vehicle)).vehicles[0].shortfalls[0].is_reserve_only
    longer = car(trips=(trip(0, "07:00", "18:00", 36_000),), usable_until_slot=FIRST_SLOT + 4)
    assert not plan_household(week_of(longer)).vehicles[0].shortfalls[0].is_reserve_only


def test_a_shortfall_is_given_on_both_sides_of_the_charger():
    vehicle = car(efficiency_permille=840, trips=(trip(0, "07:00", "18:00", 36_000),))
    (short,) = plan_household(week_of(vehicle)).vehicles[0].shortfalls
    assert short.short_wh == 23_800 - 14 * 1150
    assert short.short_battery_wh == short.short_wh * 840 // 1000


def test_the_shares_of_a_departure_add_up_to_what_is_unmet():
    trips = tuple(trip(day, "07:00", "21:00", 25_000, key=f"day {day}") for day in range(7))
    first = car(vehicle_id="first", trips=trips)
    second = car(vehicle_id="second", ordinal=1, trips=trips, usable_until_slot=FIRST_SLOT + 100)
    for plan in plan_household(week_of(first, second)).vehicles:
        assert sum(short.short_wh for short in plan.shortfalls) == plan.unmet_wh > 0
