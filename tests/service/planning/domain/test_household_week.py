"""What may go into a week, and how long a week is."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from service.common.errors import Rejected
from service.common.slots import instant_at, local_of, slot_start
from service.planning.domain.household_week import HouseholdWeek, Trip, horizon_slots, week_prices
from tests.factories.charging_weeks import CAR, MONDAY, car, two_band_prices, week_of

LONDON = ZoneInfo("Europe/London")
TZ_DATABASE = "IANA time zone database"

HORIZONS = [
    ("an ordinary week from midnight", date(2026, 6, 10), LONDON, 336),
    ("London, clocks forward on 29 March 2026", date(2026, 3, 25), LONDON, 334),
    ("London, clocks back on 25 October 2026", date(2026, 10, 22), LONDON, 338),
    ("Adelaide, clocks back on 5 April 2026", date(2026, 4, 2), ZoneInfo("Australia/Adelaide"), 338),
    ("Adelaide, clocks forward on 4 October 2026", date(2026, 10, 1), ZoneInfo("Australia/Adelaide"), 334),
]  # fmt: skip


@pytest.mark.reference
@pytest.mark.parametrize(("name", "day", "zone", "expected"), HORIZONS, ids=[row[0] for row in HORIZONS])
def test_a_whole_week_has_two_half_hours_more_or_fewer_where_the_clock_changes(name, day, zone, expected, reference):
    slots = horizon_slots(instant_at(day, 0, zone), zone)
    reference(source=TZ_DATABASE, expected=expected, got=len(slots))


@pytest.mark.parametrize(
    ("wall", "first", "count"),
    [("08:00:00", "08:00", 320), ("08:00:01", "08:30", 319), ("08:29:59", "08:30", 319), ("23:45:00", "00:00", 336)],
)
def test_the_horizon_starts_at_the_next_boundary_and_ends_at_a_local_midnight(wall, first, count):
    now = datetime.fromisoformat(f"2026-06-10T{wall}").replace(tzinfo=LONDON)
    slots = horizon_slots(now.astimezone(UTC), LONDON)
    assert f"{local_of(slots.start, LONDON):%H:%M}" == first
    assert f"{local_of(slots.stop, LONDON):%H:%M}" == "00:00"
    assert len(slots) == count


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"returns_at": MONDAY - timedelta(seconds=1)}, "returns_at"),
        ({"leaves_at": MONDAY.replace(tzinfo=None)}, "leaves_at"),
        ({"energy_wh": -1}, "energy_wh"),
    ],
)  # fmt: skip
def test_a_trip_that_cannot_be_is_refused_by_name(changes, field):
    values = {"key": "t", "leaves_at": MONDAY, "returns_at": MONDAY, "energy_wh": 0, **changes}
    with pytest.raises(Rejected) as refusal:
        Trip(**values)
    assert [fault.field for fault in refusal.value.faults] == [field]


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("battery_wh", 0),
        ("efficiency_permille", 0),
        ("efficiency_permille", 1001),
        ("cap_wh", -1),
        ("ceiling_permille", 1001),
        ("reserve_permille", -1),
        ("start_charge_wh", -1),
        ("start_charge_wh", 40_001),
    ],
)
def test_a_vehicle_that_cannot_be_is_refused_by_name(field, value):
    with pytest.raises(Rejected) as refusal:
        replace(CAR, **{field: value})
    assert field in [fault.field for fault in refusal.value.faults]


def test_reserve_rounds_up_and_ceiling_down():
    vehicle = car(battery_wh=40_001, ceiling_permille=805, reserve_permille=105)
    assert (vehicle.reserve_wh, vehicle.ceiling_wh) == (4201, 32_200)


@pytest.mark.parametrize(("changes", "expected"), [({}, True), ({"cap_wh": 0}, False), ({"outlet_id": None}, False)])
def test_no_outlet_or_no_known_current_is_no_outlet(changes, expected):
    assert car(**changes).has_outlet is expected


def test_two_vehicles_with_one_ordinal_are_refused():
    with pytest.raises(Rejected, match="ordinal"):
        week_of(car(), car(vehicle_id="other"))


def test_vehicles_choose_in_the_order_of_their_ordinals():
    week = HouseholdWeek(two_band_prices(), (car(ordinal=2), car(ordinal=0), car(ordinal=1)))
    assert [vehicle.ordinal for vehicle in week.in_order()] == [0, 1, 2]


def test_prices_and_their_known_part_must_have_one_length():
    with pytest.raises(ValueError, match="same shape"):
        week_prices(0, [1, 2], [True])


def test_running_sums_leave_out_what_is_not_known():
    prices = week_prices(7, np.array([5, 6, 7]), np.array([True, False, True]))
    assert prices.known_sum_up == (0, 5, 5, 12)
    assert prices.known_sum == (0, 1, 1, 2)
    assert (prices.first_slot, prices.end_slot, prices.count) == (7, 10, 3)


def test_the_digest_tells_start_prices_and_knowledge_apart():
    same = week_prices(7, [5, 6], [True, True])
    others = [
        week_prices(8, [5, 6], [True, True]),
        week_prices(7, [6, 5], [True, True]),
        week_prices(7, [5, 6], [True, False]),
        week_prices(7, [5, 6, 0], [True, True, False]),
    ]
    assert week_prices(7, [5, 6], [True, True]).digest == same.digest
    assert len({same.digest, *(other.digest for other in others)}) == 5


def test_a_horizon_slot_is_an_instant_in_utc():
    assert slot_start(two_band_prices().first_slot) == MONDAY
