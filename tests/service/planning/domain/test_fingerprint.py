"""Same inputs, same name; any input that can change a plan changes it."""

from dataclasses import replace
from datetime import timedelta, timezone

import pytest

from service.common.working import Step
from service.planning.domain import fingerprint as module
from service.planning.domain.fingerprint import fingerprint
from service.planning.domain.household_week import Control, HouseholdWeek, OutletOption
from tests.factories.charging_weeks import CAR, car, prices_of, trip, two_band_prices, week_of

TRIPS = (trip(0, "07:00", "18:00", 9_000), trip(1, "07:00", "18:00", 9_000))
WEEK = week_of(car(trips=TRIPS))


def test_a_fingerprint_is_64_hex_digits_and_repeats():
    assert fingerprint(WEEK) == fingerprint(week_of(car(trips=TRIPS)))
    assert len(bytes.fromhex(fingerprint(WEEK))) == 32


def test_order_of_vehicles_and_trips_and_the_offset_of_an_instant_do_not_matter():
    other = car(vehicle_id="other", ordinal=1)
    prices = two_band_prices()
    given = fingerprint(HouseholdWeek(prices, (car(trips=TRIPS), other)))
    assert fingerprint(HouseholdWeek(prices, (other, car(trips=TRIPS[::-1])))) == given
    zone = timezone(timedelta(hours=5, minutes=30))
    moved = tuple(replace(one, leaves_at=one.leaves_at.astimezone(zone)) for one in TRIPS)
    assert fingerprint(HouseholdWeek(prices, (car(trips=moved), other))) == given


@pytest.mark.parametrize(
    "changes",
    [
        {"vehicle_id": "x"},
        {"ordinal": 3},
        {"outlet_id": "x"},
        {"battery_wh": 40_001},
        {"efficiency_permille": 999},
        {"cap_wh": 1149},
        {"usable_until_slot": CAR.usable_until_slot - 1},
        {"ceiling_permille": 801},
        {"reserve_permille": 101},
        {"start_charge_wh": 20_001},
        {"trips": TRIPS[:1]},
        {"trips": (replace(TRIPS[0], key="x"), TRIPS[1])},
        {"trips": (replace(TRIPS[0], energy_wh=9_001), TRIPS[1])},
        {"trips": (replace(TRIPS[0], is_important=True), TRIPS[1])},
        {"trips": (replace(TRIPS[0], returns_at=TRIPS[0].returns_at + timedelta(minutes=1)), TRIPS[1])},
        {"trips": (replace(TRIPS[0], careful_wh=9_500), TRIPS[1])},
        {"steps": (Step("a", {}, "b", "c", "d"),)},
        {"control": Control.ONE_RUN},
        {"start_loss_wh": 1},
        {"circuit_id": "ring"},
        {"others": (OutletOption("drive", 1150, CAR.usable_until_slot),)},
        {"taper_permille": 900},
        {"standby_w": 20},
    ],
    ids=lambda changes: ", ".join(changes),
)
def test_every_input_of_a_vehicle_counts(changes):
    assert fingerprint(week_of(replace(WEEK.vehicles[0], **changes))) != fingerprint(WEEK)


def test_prices_their_start_and_the_solver_count(monkeypatch):
    assert fingerprint(week_of(*WEEK.vehicles, prices=two_band_prices(known=335))) != fingerprint(WEEK)
    assert fingerprint(week_of(*WEEK.vehicles, prices=prices_of([1.0]))) != fingerprint(WEEK)
    before = fingerprint(WEEK)
    monkeypatch.setattr(module, "SOLVER_VERSION", "another")
    assert fingerprint(WEEK) != before


@pytest.mark.parametrize(
    "changes",
    [
        {"swap_slots": (WEEK.prices.first_slot + 38,)},
        {"noon_slots": (WEEK.prices.first_slot + 24,)},
        {"quiet_spans": ((WEEK.prices.first_slot, WEEK.prices.first_slot + 2),)},
        {"headroom_wh": (5_000,) * WEEK.prices.count},
        {"circuits_wh": (("ring", 3_000),)},
    ],
    ids=lambda changes: ", ".join(changes),
)
def test_every_habit_and_limit_of_the_home_counts(changes):
    assert fingerprint(replace(WEEK, **changes)) != fingerprint(WEEK)
