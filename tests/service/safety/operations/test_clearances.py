"""Clearance from stored evidence, of many homes at once."""

from datetime import UTC, date, datetime, timedelta

from service.households.models import Circuit, CircuitRun, Outlet
from service.households.operations import load_homes
from service.infrastructure.db.sessions import SchemeSession
from service.safety import operations
from service.safety.domain.clearance import Clearance
from service.safety.domain.inspection_details import ObservationDetails
from tests.factories.households import NOON, furnished_home, open_home
from tests.factories.safety import claim, inspect, look_after
from tests.factories.tariffs import counted_statements


def test_each_home_is_judged_by_its_own_evidence(session: SchemeSession) -> None:
    fit, stopped, bare = (furnished_home(session, reference=f"H-{number}") for number in range(3))
    inspect(session, fit.id, fit.outlet_id, "C3")
    inspect(session, stopped.id, stopped.outlet_id, "C3", "C2")
    homes = load_homes(session, [fit.id, stopped.id, bare.id, open_home(session, reference="H-9")], from_at=NOON)
    found = operations.load_clearances(session, homes, at=NOON)
    assert [[outlet.clearance for outlet in found[home.id]] for home in homes] == [
        [Clearance.FIT_TO_USE], [Clearance.DO_NOT_USE], [Clearance.NOT_KNOWN], [],
    ]


def test_evidence_is_read_whole_and_in_the_order_it_was_recorded(session: SchemeSession) -> None:
    home = furnished_home(session)
    closed = ObservationDetails("C2", "loose terminal", date(2026, 6, 3))
    inspect(session, home.id, home.outlet_id, observations=(ObservationDetails("C3", "label"), closed))
    (record,) = operations.load_evidence(session, [home.id])[home.id]
    assert (record.certificate_number, record.electrician) == ("C-1", "Hollin Wiring (invented)")
    assert [(found.code, found.note, found.closed_on) for found in record.observations] == [
        ("C3", "label", None), ("C2", "loose terminal", date(2026, 6, 3)),
    ]


def test_one_homes_clearance_is_the_same_as_among_many(session: SchemeSession) -> None:
    home = furnished_home(session)
    inspect(session, home.id, home.outlet_id)
    homes = load_homes(session, [home.id], from_at=NOON)
    assert operations.household_clearances(session, home.id, at=NOON) == operations.load_clearances(
        session, homes, at=NOON
    )[home.id]
    assert operations.household_clearances(session, "0" * 32, at=NOON) == ()


def test_a_past_day_is_judged_as_it_was_then(session: SchemeSession) -> None:
    home = furnished_home(session)
    inspect(session, home.id, home.outlet_id)
    (before,) = operations.household_clearances(session, home.id, at=datetime(2026, 5, 31, 12, tzinfo=UTC))
    assert before.clearance is Clearance.NOT_KNOWN


def test_the_number_of_statements_does_not_grow_with_the_homes(session: SchemeSession) -> None:
    homes = [furnished_home(session, reference=f"H-{number}") for number in range(5)]
    for home in homes:
        inspect(session, home.id, home.outlet_id, "C3")
    inputs = load_homes(session, [home.id for home in homes], from_at=NOON)
    counts = []
    for wanted in (inputs[:1], inputs):
        with counted_statements(session) as statements:
            operations.load_clearances(session, wanted, at=NOON)
        counts.append(len(statements))
    # Inspections, findings, signs, tests of leads, checks, supervised charges, overrides, runs, extension leads, rules.
    assert counts == [10, 10]


def test_a_plan_leaves_out_nothing_that_was_recorded_since_its_half_hour_began(session: SchemeSession) -> None:
    home = furnished_home(session)
    inspect(session, home.id, home.outlet_id)
    inputs = load_homes(session, [home.id], from_at=NOON)
    claim(session, home.id, home.outlet_id, "C2", certificate_number="C-2")
    earlier = NOON - timedelta(minutes=20)
    (planned,) = operations.load_for_planning(session, inputs, at=earlier)[home.id].outlets
    (then,) = operations.load_clearances(session, inputs, at=earlier)[home.id]
    assert (planned.clearance, then.clearance) == (Clearance.DO_NOT_USE, Clearance.FIT_TO_USE)


def test_a_typed_inspection_never_clears(session: SchemeSession) -> None:
    home = furnished_home(session)
    claim(session, home.id, home.outlet_id)
    look_after(session, home.id)
    (found,) = operations.household_clearances(session, home.id, at=NOON)
    assert found.clearance is Clearance.NOT_KNOWN
    assert "a claim" in found.missing[0]


def test_the_data_of_a_circuits_runs_bounds_its_outlets(session: SchemeSession) -> None:
    home = furnished_home(session)
    inspect(session, home.id, home.outlet_id)
    circuit = Circuit(household_id=home.id, label="garage")
    session.add(circuit)
    session.flush()
    session.add(CircuitRun(circuit_id=circuit.id, position=0, kind="fused_spur", device_a=6))
    outlet = session.get(Outlet, (session.scheme_id, home.outlet_id))
    assert outlet is not None
    outlet.circuit_id = circuit.id
    session.flush()
    (found,) = operations.household_clearances(session, home.id, at=NOON)
    assert found.limit_a == 6
