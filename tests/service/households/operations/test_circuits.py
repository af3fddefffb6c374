"""A circuit replaced as a whole, and what tells its versions apart."""

from decimal import Decimal

import pytest
from sqlalchemy.orm.exc import StaleDataError

from service.common.errors import NotFound
from service.households import operations
from service.households.domain.equipment_details import CircuitDetails, RunDetails
from service.infrastructure.db.sessions import SchemeSession
from tests.factories.households import WRITING, open_home

pytestmark = pytest.mark.both_databases

GARAGE = CircuitDetails("garage", (RunDetails("board"), RunDetails("radial", length_m=Decimal(14))))
BETTER = CircuitDetails("garage", (RunDetails("radial", length_m=Decimal("14.5"), cable_mm2=Decimal("2.5")),))


def test_its_runs_are_replaced_in_order_and_the_home_is_noted_as_changed(session: SchemeSession) -> None:
    home_id = open_home(session)
    circuit = operations.add_circuit(session, home_id, GARAGE, **WRITING)
    session.commit()
    count = operations.get_household(session, home_id).change_counter
    changed = operations.change_circuit(session, home_id, circuit.id, BETTER, **WRITING)
    assert operations.read_circuit(changed) == BETTER
    session.expire_all()
    assert operations.read_circuit(operations.get_circuit(session, home_id, circuit.id)) == BETTER
    assert operations.get_household(session, home_id).change_counter == count + 1


def test_its_version_is_that_of_its_content_before_and_after_it_is_stored(session: SchemeSession) -> None:
    home_id = open_home(session)
    circuit = operations.add_circuit(session, home_id, GARAGE, **WRITING)
    version = operations.circuit_version(circuit)
    session.expire_all()
    assert operations.circuit_version(operations.get_circuit(session, home_id, circuit.id)) == version
    changed = operations.change_circuit(session, home_id, circuit.id, BETTER, of_version=version, **WRITING)
    assert operations.circuit_version(changed) != version
    with pytest.raises(StaleDataError):
        operations.change_circuit(session, home_id, circuit.id, GARAGE, of_version=version, **WRITING)


def test_another_homes_circuit_is_not_found(session: SchemeSession) -> None:
    home_id, elsewhere = open_home(session), open_home(session, reference="H-2")
    circuit = operations.add_circuit(session, home_id, GARAGE, **WRITING)
    with pytest.raises(NotFound):
        operations.get_circuit(session, elsewhere, circuit.id)
    with pytest.raises(NotFound):
        operations.change_circuit(session, elsewhere, circuit.id, BETTER, **WRITING)
