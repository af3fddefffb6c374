"""Circuits, outlets and leads of a home."""

from decimal import Decimal

import pytest

from service.common.errors import NotFound, Rejected
from service.households import operations
from service.households.domain.equipment_details import CircuitDetails, RunDetails
from service.infrastructure.db.sessions import SchemeSession
from tests.factories.households import (
    WRITING,
    furnished_home,
    lead_details,
    open_home,
    outlet_details,
)


def test_a_circuits_runs_keep_their_order(session: SchemeSession) -> None:
    home_id = open_home(session)
    runs = (RunDetails("board", device="40 A"), RunDetails("radial", length_m=Decimal("14.5")), RunDetails("spur"))
    operations.add_circuit(session, home_id, CircuitDetails("garage", runs), **WRITING)
    (circuit,) = operations.list_circuits(session, home_id)
    assert [(run.position, run.kind, run.length_m) for run in circuit.runs] == [
        (0, "board", None),
        (1, "radial", Decimal("14.5")),
        (2, "spur", None),
    ]


def test_an_outlet_names_a_circuit_of_its_own_home(session: SchemeSession) -> None:
    home_id, elsewhere = open_home(session), open_home(session, reference="H-2")
    circuit = operations.add_circuit(session, elsewhere, CircuitDetails("garage", (RunDetails("ring"),)), **WRITING)
    with pytest.raises(Rejected) as refused:
        operations.add_outlet(session, home_id, outlet_details(circuit_id=circuit.id), **WRITING)
    assert refused.value.faults[0].field == "circuit_id"
    assert operations.add_outlet(session, elsewhere, outlet_details(circuit_id=circuit.id), **WRITING).ordinal == 1


def test_outlets_are_numbered_in_the_order_they_come(session: SchemeSession) -> None:
    home_id = open_home(session)
    for label in ("one", "two", "three"):
        operations.add_outlet(session, home_id, outlet_details(label=label), **WRITING)
    assert [(row.ordinal, row.label) for row in operations.list_outlets(session, home_id)] == [
        (1, "one"), (2, "two"), (3, "three"),
    ]


def test_a_changed_outlet_is_checked_as_a_new_one_is(session: SchemeSession) -> None:
    home = furnished_home(session)
    with pytest.raises(Rejected):
        operations.change_outlet(session, home.id, home.outlet_id, {"limit_a": 13}, **WRITING)
    outlet = operations.change_outlet(session, home.id, home.outlet_id, {"limit_a": 8, "place": "indoors"}, **WRITING)
    assert (outlet.limit_a, outlet.place, outlet.version) == (8, "indoors", 2)


def test_an_outlet_with_a_cable_of_its_own_leaves_no_lead_in_use(session: SchemeSession) -> None:
    home = furnished_home(session)
    point = operations.add_outlet(
        session, home.id, outlet_details(kind="charging_point", limit_a=32, is_tethered=False), **WRITING
    )
    cable = operations.add_lead(session, home.id, lead_details(kind="mode_3_cable", rated_a=32, set_a=32), **WRITING)
    operations.change_vehicle(
        session, home.id, home.car_id, {"outlet_id": point.id, "lead_id": cable.id}, **WRITING
    )
    with pytest.raises(Rejected) as refused:
        operations.change_outlet(session, home.id, point.id, {"is_tethered": True}, **WRITING)
    (fault,) = refused.value.faults
    assert fault.field == "is_tethered"
    assert fault.rule.startswith("blue hatchback uses a lead there")


def test_a_lead_set_lower_changes_plans(session: SchemeSession) -> None:
    home = furnished_home(session)
    session.commit()
    count = operations.get_household(session, home.id).change_counter
    assert operations.change_lead(session, home.id, home.lead_id, {"set_a": 6}, **WRITING).set_a == 6
    assert operations.get_household(session, home.id).change_counter == count + 1
    with pytest.raises(Rejected):
        operations.change_lead(session, home.id, home.lead_id, {"set_a": 12}, **WRITING)


def test_what_is_another_homes_is_not_found(session: SchemeSession) -> None:
    home, elsewhere = furnished_home(session), open_home(session, reference="H-2")
    with pytest.raises(NotFound):
        operations.get_outlet(session, elsewhere, home.outlet_id)
    with pytest.raises(NotFound):
        operations.change_lead(session, elsewhere, home.lead_id, {"set_a": 6}, **WRITING)
    with pytest.raises(NotFound):
        operations.add_circuit(session, "0" * 32, CircuitDetails("x", (RunDetails("ring"),)), **WRITING)


def test_another_serial_is_another_lead_and_only_a_blank_is_filled_in(session: SchemeSession) -> None:
    home = furnished_home(session)
    known = operations.change_lead(session, home.id, home.lead_id, {"serial_or_batch": "L-7"}, **WRITING)
    assert known.serial_or_batch == "L-7"
    with pytest.raises(Rejected) as refused:
        operations.change_lead(session, home.id, home.lead_id, {"serial_or_batch": "L-8"}, **WRITING)
    assert [fault.field for fault in refused.value.faults] == ["serial_or_batch"]
    assert operations.change_lead(session, home.id, home.lead_id, {"label": "garage"}, **WRITING).label == "garage"
