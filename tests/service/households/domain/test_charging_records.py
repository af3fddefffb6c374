"""Rules of one charge, and how its energy is told apart by half-hour."""

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.common.errors import Rejected
from service.common.slots import slot_index
from service.households.domain.charging_records import (
    CLOCK_TOLERANCE_S,
    HIGHEST_V,
    Charged,
    ChargingDetails,
    OutletPower,
    check_no_overlap,
    check_over,
    check_power,
    spread_evenly,
)

EVENING = datetime(2026, 11, 24, 23, 30, tzinfo=UTC)
SOCKET = OutletPower("socket_13a", 10, 1)
POINT = OutletPower("charging_point", 32, 1)


def charge(**changes: Any) -> ChargingDetails:
    """Return a charge of four hours at home."""
    usual = {
        "vehicle_id": "a" * 32,
        "place": "home",
        "starts_at": EVENING,
        "ends_at": EVENING + timedelta(hours=4),
        "energy_wh": 9_200,
    }
    return ChargingDetails(**{**usual, **changes})


def stored(**changes: Any) -> Charged:
    """Return the same as a stored record."""
    details = charge(**changes)
    return Charged("b" * 32, **{name: getattr(details, name) for name in vars(details)})


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"ends_at": EVENING}, "ends_at"),
        ({"ends_at": EVENING - timedelta(minutes=1)}, "ends_at"),
        ({"ends_at": EVENING + timedelta(days=7, seconds=1)}, "ends_at"),
        ({"starts_at": datetime(2009, 12, 31, tzinfo=UTC), "ends_at": datetime(2010, 1, 1, tzinfo=UTC)}, "starts_at"),
        ({"energy_wh": 0}, "energy_kwh"),
        ({"energy_wh": -1}, "energy_kwh"),
        ({"place": "garage"}, "place"),
        ({"place": "public", "outlet_id": "c" * 32}, "outlet_id"),
        ({"paid_pence": 120}, "paid_pence"),
        ({"place": "public", "paid_pence": -1}, "paid_pence"),
        ({"place": "public", "paid_pence": 100_001}, "paid_pence"),
        ({"source": "guessed"}, "source"),
        ({"external_id": "x" * 61}, "external_id"),
        ({"note": "x" * 201}, "note"),
        ({"half_hours": ((slot_index(EVENING), 9_199),)}, "half_hours"),
        ({"half_hours": ((slot_index(EVENING) - 1, 9_200),)}, "half_hours"),
        ({"half_hours": ((slot_index(EVENING) + 8, 9_200),)}, "half_hours"),
        ({"half_hours": ((slot_index(EVENING), 4_600), (slot_index(EVENING), 4_600))}, "half_hours"),
        ({"half_hours": ((slot_index(EVENING), 9_300), (slot_index(EVENING) + 1, -100))}, "half_hours"),
    ],
)
def test_a_charge_that_breaks_a_rule_is_refused(changes: dict[str, Any], field: str) -> None:
    with pytest.raises(Rejected) as refused:
        charge(**changes)
    assert [fault.field for fault in refused.value.faults] == [field]


def test_all_faults_are_named_at_once() -> None:
    with pytest.raises(Rejected) as refused:
        charge(place="garage", energy_wh=0, ends_at=EVENING, note="x" * 201)
    assert [fault.field for fault in refused.value.faults] == ["place", "ends_at", "energy_kwh", "note"]


def test_the_longest_charge_and_one_that_was_free_are_taken() -> None:
    assert charge(ends_at=EVENING + timedelta(days=7)).energy_wh == 9_200
    assert charge(place="public", paid_pence=0).paid_pence == 0


@pytest.mark.parametrize(("outlet", "amps"), [(SOCKET, 13), (POINT, 32), (OutletPower("charging_point", 16, 3), 48)])
def test_energy_is_bounded_by_what_the_outlet_gives_at_253_v_and_two_minutes(outlet: OutletPower, amps: int) -> None:
    most_wh = amps * HIGHEST_V * (4 * 3600 + CLOCK_TOLERANCE_S) // 3600
    check_power(charge(energy_wh=most_wh), [outlet])
    with pytest.raises(Rejected) as refused:
        check_power(charge(energy_wh=most_wh + 1), [outlet])
    assert [fault.field for fault in refused.value.faults] == ["energy_kwh"]


def test_one_half_hour_alone_may_not_hold_more_than_the_outlet_gives() -> None:
    first = slot_index(EVENING)
    half_hours = ((first, 9_000), (first + 1, 200))
    with pytest.raises(Rejected) as refused:
        check_power(charge(half_hours=half_hours), [SOCKET])
    assert [fault.field for fault in refused.value.faults] == ["half_hours"]


def test_where_no_outlet_is_named_the_strongest_of_the_home_counts() -> None:
    check_power(charge(energy_wh=30_000), [SOCKET, POINT])
    with pytest.raises(Rejected):
        check_power(charge(energy_wh=30_000), [SOCKET])


def test_a_charge_that_is_not_over_is_refused() -> None:
    check_over(charge(), at=EVENING + timedelta(hours=4))
    with pytest.raises(Rejected):
        check_over(charge(), at=EVENING + timedelta(hours=3))


def test_a_record_may_touch_another_of_the_car_but_not_overlap_it() -> None:
    before = charge(starts_at=EVENING - timedelta(hours=1), ends_at=EVENING)
    check_no_overlap(before, [stored()])
    check_no_overlap(charge(vehicle_id="d" * 32), [stored()])
    with pytest.raises(Rejected) as refused:
        check_no_overlap(charge(starts_at=EVENING + timedelta(hours=3, minutes=59)), [stored()])
    assert [fault.field for fault in refused.value.faults] == ["starts_at"]


@given(
    start_s=st.integers(1_767_225_600, 1_798_761_600),  # all of 2026
    seconds=st.integers(1, 7 * 24 * 3600),
    energy_wh=st.integers(1, 200_000),
)
def test_an_even_spread_adds_up_and_follows_the_time_to_a_watt_hour(
    start_s: int, seconds: int, energy_wh: int
) -> None:
    starts_at = datetime.fromtimestamp(start_s, UTC)
    ends_at = starts_at + timedelta(seconds=seconds)
    parts = spread_evenly(starts_at, ends_at, energy_wh)
    assert sum(wh for _, wh in parts) == energy_wh
    assert [slot for slot, _ in parts] == list(range(parts[0][0], parts[-1][0] + 1))
    for slot, wh in parts:
        inside_s = min(ends_at.timestamp(), (slot + 1) * 1800) - max(starts_at.timestamp(), slot * 1800)
        assert inside_s > 0
        assert abs(wh - energy_wh * inside_s / seconds) < 1.001


def test_a_record_with_half_hours_is_never_spread() -> None:
    first = slot_index(EVENING)
    told = stored(half_hours=((first, 9_000), (first + 7, 200)))
    assert told.by_slot() == ((first, 9_000), (first + 7, 200))
    assert (told.is_spread, stored().is_spread) == (False, True)
    assert {wh for _, wh in stored().by_slot()} == {1_150}
