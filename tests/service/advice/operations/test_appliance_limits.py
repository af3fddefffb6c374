"""What the checks on appliances read of a home."""

from typing import Any

import pytest

from service.advice.domain.appliance_checks import CarCircuit, HomeLimits
from service.advice.operations.appliance_limits import load_limits
from service.common.slots import slot_index
from service.households import operations
from service.households.domain.equipment_details import CircuitDetails, OutletDetails, RunDetails
from service.households.domain.habit_details import HabitDetails
from service.households.domain.home_details import SupplyDetails
from service.infrastructure.db.sessions import SchemeSession
from service.planning.models import CurrentPlan, Plan
from tests.factories.households import NOON, WRITING, FurnishedHome, furnished_home

AWAKE = (True,) * 48


@pytest.fixture
def home(session: SchemeSession) -> FurnishedHome:
    return furnished_home(session)


def read(session: SchemeSession, home: FurnishedHome) -> HomeLimits:
    (inputs,) = operations.load_homes(session, [home.id], from_at=NOON)
    return load_limits(session, inputs, AWAKE, at=NOON)


def circuit(session: SchemeSession, home: FurnishedHome, *runs: Any) -> str:
    return operations.add_circuit(
        session, home.id, CircuitDetails("circuit", tuple(RunDetails(**run) for run in runs)), **WRITING
    ).id


def test_what_nobody_recorded_is_not_known(session: SchemeSession, home: FurnishedHome) -> None:
    found = read(session, home)
    assert (found.fuse_a, found.load_w, found.circuits) == (None, None, {})


def test_fuse_and_house_come_from_what_is_recorded(session: SchemeSession, home: FurnishedHome) -> None:
    operations.put_supply(session, home.id, SupplyDetails(fuse_a=80), **WRITING)
    operations.put_habits(session, home.id, HabitDetails(yearly_kwh=2_700), **WRITING)
    found = read(session, home)
    assert found.fuse_a == 80
    assert found.load_w is not None
    assert max(found.load_w[32:40]) > 2 * found.load_w[8] > 0


def test_without_a_plan_a_car_counts_at_every_half_hour_with_all_it_may_draw(
    session: SchemeSession, home: FurnishedHome
) -> None:
    found = read(session, home)
    assert found.car_w == (2_300,) * 48
    assert found.car_outlets == ({home.outlet_id: 2_300},) * 48


def test_with_a_plan_it_counts_at_the_half_hours_of_the_day_in_which_any_day_has_it(
    session: SchemeSession, home: FurnishedHome
) -> None:
    first = slot_index(NOON)
    schedule = [
        {
            "vehicle_id": home.car_id, "start_wh": 0, "basis": "read", "reading": None, "efficiency_permille": 840,
            "blocks": [[first + 26, [1_150, 0, 300]], [first + 48 + 27, [700]]],
        }
    ]  # fmt: skip
    session.add(
        Plan(
            id="a" * 32, household_id=home.id, input_fingerprint="a", terms_fingerprint="b", computed_at=NOON,
            first_slot=first, end_slot=first + 336, schedule=schedule,
        )
    )  # fmt: skip
    session.flush()
    session.add(
        CurrentPlan(
            id=home.id, plan_id="a" * 32, change_counter=1, as_of_slot=first, planned_at=NOON, day_slot=first - 24,
            energy_wh=2_150, short_wh=0,
        )
    )  # fmt: skip
    session.flush()
    # Noon and 26 half-hours is 01:00.
    assert [place for place, watts in enumerate(read(session, home).car_w) if watts] == [2, 3, 4]


@pytest.mark.parametrize(
    ("kind", "runs", "found"),
    [
        ("socket_13a", [{"kind": "ring", "device_kind": "mcb_b", "device_a": 32}], CarCircuit(32)),
        ("socket_13a", [{"kind": "radial", "device_kind": "mcb_b", "device_a": 20}], CarCircuit(20)),
        ("socket_13a", [{"kind": "ring"}], CarCircuit(None)),
        (
            "charging_point",
            [{"kind": "board"}, {"kind": "radial", "device_kind": "mcb_b", "device_a": 40}],
            CarCircuit(40, is_own=True),
        ),
        (
            "charging_point",
            [{"kind": "ring", "device_kind": "mcb_b", "device_a": 32}, {"kind": "spur"}],
            CarCircuit(None),
        ),
    ],
)
def test_a_circuit_carries_what_the_least_of_its_devices_lets_through(
    session: SchemeSession, home: FurnishedHome, kind: str, runs: list[dict[str, Any]], found: CarCircuit
) -> None:
    circuit_id = circuit(session, home, *runs)
    outlet = operations.add_outlet(
        session, home.id, OutletDetails("other", kind, 10, circuit_id=circuit_id), **WRITING
    )
    assert read(session, home).circuits == {outlet.id: found}


def test_a_charging_point_that_shares_its_circuit_is_not_alone_on_it(
    session: SchemeSession, home: FurnishedHome
) -> None:
    circuit_id = circuit(session, home, {"kind": "radial", "device_kind": "mcb_b", "device_a": 40})
    for label in ("one", "two"):
        operations.add_outlet(
            session, home.id, OutletDetails(label, "charging_point", 16, circuit_id=circuit_id), **WRITING
        )
    assert set(read(session, home).circuits.values()) == {CarCircuit(40)}
