"""One home with everything that stands in it, for its page: no departures, no state of charge."""

from __future__ import annotations

from dataclasses import dataclass

from service.households.models import Household, Lead, Outlet, Supply, Vehicle
from service.households.operations.contracts import ContractView, list_contracts
from service.households.operations.equipment import CircuitView, list_circuits, list_leads, list_outlets
from service.households.operations.homes import find_supply, get_household
from service.households.operations.vehicles import list_vehicles
from service.infrastructure.db.sessions import SchemeSession


@dataclass(frozen=True)
class HomeView:
    """A home and its parts, each in its usual order."""

    household: Household
    supply: Supply | None
    circuits: list[CircuitView]
    outlets: list[Outlet]
    leads: list[Lead]
    vehicles: list[Vehicle]
    contracts: list[ContractView]


def get_home_view(session: SchemeSession, household_id: str) -> HomeView:
    """Return one home with its parts; raises ``NotFound``."""
    return HomeView(
        household=get_household(session, household_id),
        supply=find_supply(session, household_id),
        circuits=list_circuits(session, household_id),
        outlets=list_outlets(session, household_id),
        leads=list_leads(session, household_id),
        vehicles=list_vehicles(session, household_id),
        contracts=list_contracts(session, household_id),
    )
