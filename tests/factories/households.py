"""Homes for tests: details that break no rule, and homes with an outlet, a lead and a car in one call."""

from dataclasses import dataclass
from datetime import UTC, datetime
from decimal import Decimal
from typing import Any

from service.households import operations
from service.households.domain.equipment_details import LeadDetails, OutletDetails
from service.households.domain.home_details import HomeDetails
from service.households.domain.vehicle_details import VehicleDetails
from service.infrastructure.db.sessions import SchemeSession

NOON = datetime(2026, 11, 25, 12, 0, tzinfo=UTC)
WRITING: dict[str, Any] = {"by": None, "at": NOON}


@dataclass(frozen=True)
class FurnishedHome:
    """The ids of a home with one of each."""

    id: str
    outlet_id: str
    lead_id: str
    car_id: str


def home_details(**changes: Any) -> HomeDetails:
    """Return details of an English home."""
    usual = {
        "reference": "H-1",
        "member_name": "Ada Fell",
        "address": "1 Quince Row",
        "postcode": "ZZ1 1AA",
        "zone": "Europe/London",
        "nation": "england",
    }
    return HomeDetails(**{**usual, **changes})


def outlet_details(**changes: Any) -> OutletDetails:
    """Return details of a garage socket."""
    return OutletDetails(**{"label": "garage socket", "kind": "socket_13a", "limit_a": 10, **changes})


def lead_details(**changes: Any) -> LeadDetails:
    """Return details of a portable lead."""
    return LeadDetails(**{"label": "portable lead", "kind": "mode_2", "rated_a": 10, "set_a": 10, **changes})


def car_details(**changes: Any) -> VehicleDetails:
    """Return details of a car."""
    usual = {
        "label": "blue hatchback",
        "battery_wh": 52_000,
        "miles_per_kwh": Decimal("3.6"),
        "onboard_limit_a": 32,
    }
    return VehicleDetails(**{**usual, **changes})


def open_home(session: SchemeSession, **changes: Any) -> str:
    """Add a home and return its id."""
    return operations.open_household(session, home_details(**changes), **WRITING).id


def furnished_home(session: SchemeSession, **changes: Any) -> FurnishedHome:
    """Add a home with a socket, a lead and a car that uses both."""
    home_id = open_home(session, **changes)
    outlet = operations.add_outlet(session, home_id, outlet_details(), **WRITING)
    lead = operations.add_lead(session, home_id, lead_details(), **WRITING)
    car = operations.add_vehicle(session, home_id, car_details(outlet_id=outlet.id, lead_id=lead.id), **WRITING)
    return FurnishedHome(home_id, outlet.id, lead.id, car.id)
