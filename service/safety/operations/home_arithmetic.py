"""The arithmetic of one home from what is recorded of it: maximum demand, and each circuit's current and drop."""

from __future__ import annotations

from decimal import Decimal

from service.households import operations as homes
from service.households.domain.equipment import SOCKET_SUSTAINED_LIMIT_A, YesNo
from service.households.domain.home_details import SupplyDetails
from service.households.operations.stored import read_details
from service.infrastructure.db.sessions import SchemeSession
from service.safety.domain.circuit_arithmetic import CircuitArithmetic, circuit_arithmetic
from service.safety.domain.home_demand import ChargingOutlet, HomeDemand, OtherEvidence, SupplyDoubts, home_demand


def get_demand(
    session: SchemeSession, household_id: str, doubts: SupplyDoubts, other: OtherEvidence | None = None
) -> HomeDemand:
    """Return the home's maximum demand, with every outlet at its limit; raises ``NotFound`` or ``Rejected``.

    ``other`` is evidence that counts in place of the rows, as somebody states it.
    """
    stored = homes.find_supply(session, household_id)
    supply = read_details(SupplyDetails, stored) if stored else SupplyDetails()
    outlets = homes.list_outlets(session, household_id)
    return home_demand(
        supply.loads,
        [ChargingOutlet(outlet.label, outlet.kind, outlet.limit_a) for outlet in outlets],
        fuse_a=supply.fuse_a,
        is_looped=YesNo(supply.looped),
        phases=supply.phases,
        doubts=doubts,
        other=other or OtherEvidence(),
    )


def get_circuit_arithmetic(
    session: SchemeSession, household_id: str, circuit_id: str, *, ring_along_m: Decimal | None = None
) -> CircuitArithmetic:
    """Return what a circuit may carry and drop with the most that an outlet on it may give; raises ``NotFound``.

    A circuit that no outlet names is reckoned with what a 13 A socket gives for hours.
    """
    circuit = homes.read_circuit(homes.get_circuit(session, household_id, circuit_id))
    limits = [
        outlet.limit_a for outlet in homes.list_outlets(session, household_id) if outlet.circuit_id == circuit_id
    ]
    current_a = Decimal(max(limits, default=SOCKET_SUSTAINED_LIMIT_A))
    return circuit_arithmetic(circuit.runs, current_a, ring_along_m=ring_along_m)
