"""A home's arithmetic from its rows."""

from decimal import Decimal

import pytest

from service.common.errors import NotFound
from service.households import operations as homes
from service.households.domain.equipment import LargeLoadKind
from service.households.domain.equipment_details import CircuitDetails, RunDetails
from service.households.domain.home_details import LargeLoad, SupplyDetails
from service.infrastructure.db.sessions import SchemeSession
from service.safety import operations
from service.safety.domain.home_demand import SupplyDoubts
from tests.factories.households import WRITING, furnished_home, open_home

pytestmark = pytest.mark.both_databases
RADIAL = RunDetails(
    "radial", cable_kind="flat_twin_and_earth", cable_mm2=Decimal("2.5"), installed="C", ambient_c=30,
    grouped_circuits=1, insulation_mm=0, length_m=Decimal(15),
)  # fmt: skip


def test_a_home_of_which_nothing_is_recorded_has_no_known_demand(session: SchemeSession) -> None:
    found = operations.get_demand(session, open_home(session), SupplyDoubts())
    assert (found.demand_a, found.at_least_a) == (None, 0)
    assert found.notice and found.notice.action == "apply_first"


def test_its_loads_and_its_outlets_count(session: SchemeSession) -> None:
    home = furnished_home(session)
    loads = tuple(LargeLoad(kind, 2300 if kind is LargeLoadKind.IMMERSION else 0) for kind in LargeLoadKind)
    homes.put_supply(session, home.id, SupplyDetails(fuse_a=80, looped="no", loads=loads), **WRITING)
    found = operations.get_demand(session, home.id, SupplyDoubts())
    assert found.demand_a == 20  # 10 A of water, 10 A of the socket


def test_a_circuit_is_reckoned_with_the_most_that_its_outlets_give(session: SchemeSession) -> None:
    home = furnished_home(session)
    circuit = homes.add_circuit(session, home.id, CircuitDetails("garage", (RADIAL,)), **WRITING)
    homes.change_outlet(session, home.id, home.outlet_id, {"circuit_id": circuit.id, "limit_a": 8}, **WRITING)
    found = operations.get_circuit_arithmetic(session, home.id, circuit.id)
    # 2.5 mm2 clipped: 27 A; 18 mV/A/m x 8 A x 15 m
    assert (found.current_a, found.capacity_a, found.drop_v) == (8, 27, Decimal("2.16"))


def test_another_homes_circuit_is_not_found(session: SchemeSession) -> None:
    home_id, elsewhere = open_home(session), open_home(session, reference="H-2")
    circuit = homes.add_circuit(session, home_id, CircuitDetails("garage", (RADIAL,)), **WRITING)
    with pytest.raises(NotFound):
        operations.get_circuit_arithmetic(session, elsewhere, circuit.id)
