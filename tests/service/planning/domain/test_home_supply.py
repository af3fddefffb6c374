"""What a home's supply leaves its cars: only where two outlets could be fed at once, and never a guess."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

import pytest

from service.common.slots import slot_index
from service.common.working import Working
from service.households.domain.homes import CarInputs, EveningInputs, HomeInputs, OutletInputs, SupplyInputs
from service.planning.domain.home_week import HomeWeek, home_week
from service.planning.domain.price_book import PriceBook
from service.safety.domain.clearance import Clearance, OutletClearance

LONDON = ZoneInfo("Europe/London")
NOON = datetime(2026, 11, 25, 12, 0, tzinfo=UTC)
AS_OF = slot_index(NOON)
POINTS = tuple(
    OutletInputs(str(n) * 32, f"point {n}", "charging_point", True, "outdoors", 32, 1, n, circuit_id="c" * 32)
    for n in (1, 2)
)


def driver(number: int, outlet: OutletInputs) -> CarInputs:
    return CarInputs(
        id=f"{number}c" * 16, ordinal=number, label=f"car {number}", battery_wh=60_000, miles_per_kwh=Decimal(4),
        onboard_limit_a=32, onboard_phases=outlet.phases, ceiling_percent=80, reserve_percent=10, outlet_id=outlet.id,
        lead=None, charge_percent=50, charge_read_at=NOON, routine=(), journeys=(),
    )  # fmt: skip


def week_of(outlets=POINTS, cars=2, zone="Europe/London", **changes) -> HomeWeek:
    home = HomeInputs(
        "h" * 32, "H", zone, "england", None, None, 1, outlets,
        tuple(driver(n, outlets[n % len(outlets)]) for n in range(cars)), (),
    )  # fmt: skip
    home = replace(home, **changes)
    clear = [
        OutletClearance(each.id, Clearance.FIT_TO_USE, 32, NOON + timedelta(days=300), "recorded", (), "", Working(()))
        for each in outlets
    ]
    place = ZoneInfo(zone)
    return home_week(home, PriceBook({}, AS_OF).for_home(home, place), clear, {}, as_of_slot=AS_OF, zone=place)


def test_one_outlet_in_use_is_held_to_its_own_clearance_alone():
    found = week_of(POINTS[:1])
    assert found.week.headroom_wh is None
    assert found.week.circuits_wh == ()


def test_without_a_known_fuse_cars_charge_one_after_the_other():
    found = week_of()
    assert found.week.headroom_wh is not None
    assert set(found.week.headroom_wh) == {3_680}
    assert found.week.vehicles[0].steps[-1].inputs == {"fuse": "not known"}


def test_a_known_fuse_leaves_what_house_and_margin_do_not_take():
    found = week_of(supply=SupplyInputs(80, 1), evening=EveningInputs(yearly_kwh=0))
    # 80 A less a fifth are 64 A: 14.72 kW, 7.36 kWh in half an hour
    assert set(found.week.headroom_wh or ()) == {7_360}
    typical = week_of(supply=SupplyInputs(80, 1))
    assert max(typical.week.headroom_wh or ()) < 7_360
    assert typical.terms_fingerprint != found.terms_fingerprint


def test_own_readings_come_before_any_profile():
    days = range(AS_OF - 14 * 48, AS_OF)
    flat = tuple((slot, 500) for slot in days)
    found = week_of(supply=SupplyInputs(80, 1), readings=flat)
    assert set(found.week.headroom_wh or ()) == {7_360 - 500}


def test_where_no_profile_tells_of_the_homes_cars_charge_one_after_the_other():
    found = week_of(zone="Australia/Adelaide", supply=SupplyInputs(80, 1))
    assert set(found.week.headroom_wh or ()) == {3_680}


def test_two_outlets_on_one_circuit_share_what_one_of_them_may_draw():
    assert week_of().week.circuits_wh == (("c" * 32, 3_680),)
    apart = (POINTS[0], replace(POINTS[1], circuit_id="d" * 32))
    assert week_of(apart).week.circuits_wh == ()


@pytest.mark.parametrize("supply", [SupplyInputs(100, 3), SupplyInputs(60, 3)])
def test_three_phases_count_where_all_cars_use_them(supply):
    three = tuple(replace(each, phases=3) for each in POINTS)
    found = week_of(three, supply=supply, evening=EveningInputs(yearly_kwh=0))
    assert set(found.week.headroom_wh or ()) == {3 * supply.fuse_a * 230 * 4 // 5 // 2}
    mixed = (three[0], POINTS[1])
    single = week_of(mixed, supply=supply, evening=EveningInputs(yearly_kwh=0))
    assert set(single.week.headroom_wh or ()) == {supply.fuse_a * 230 * 4 // 5 // 2}
