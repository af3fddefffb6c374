"""The cars of a home and what was read off their dashboards."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from sqlalchemy import func, select, update

from service.accounts.operations import audit
from service.common.errors import Fault, Forbidden, Rejected
from service.households.domain.vehicle_details import VehicleDetails, check_charge, check_lead_fits
from service.households.models import Lead, Outlet, Vehicle
from service.households.operations.homes import get_household, note_change
from service.households.operations.stored import fill, get_part, read_details
from service.infrastructure.db.sessions import SchemeSession

OWN_FIELDS = frozenset(
    {
        "label",
        "ceiling_percent",
        "reserve_percent",
        "outlet_id",
        "lead_id",
        "other_outlet_ids",
        "taper_from_percent",
        "port",
        "standby_w",
    }
)
"""What a member may change of the own car; what the car is, an administrator corrects."""


@dataclass(frozen=True)
class ChargeReading:
    """The last state of charge read off a car [%], and when; None where nobody has read it."""

    percent: int | None
    read_at: datetime | None

    @property
    def version(self) -> str:
        """What changes with each reading, for an ETag."""
        return "none" if self.read_at is None else f"{self.percent}-{int(self.read_at.timestamp() * 1000)}"


def get_vehicle(session: SchemeSession, household_id: str, vehicle_id: str) -> Vehicle:
    """Return a car of the home; raises ``NotFound``."""
    return get_part(session, Vehicle, household_id, vehicle_id, "car")


def list_vehicles(session: SchemeSession, household_id: str) -> list[Vehicle]:
    """Return the home's cars in their order; raises ``NotFound`` for an unknown home."""
    get_household(session, household_id)
    statement = select(Vehicle).where(Vehicle.household_id == household_id).order_by(Vehicle.ordinal, Vehicle.id)
    return list(session.scalars(statement))


def add_vehicle(
    session: SchemeSession, household_id: str, details: VehicleDetails, *, by: str | None, at: datetime
) -> Vehicle:
    """Add a car after the home's others: where they compete for an outlet, earlier ones come first."""
    note_change(session, household_id, at=at)
    _check_feed(session, household_id, details)
    ordinals = select(func.coalesce(func.max(Vehicle.ordinal), 0)).where(Vehicle.household_id == household_id)
    vehicle = Vehicle(household_id=household_id, ordinal=session.scalars(ordinals).one() + 1)
    fill(vehicle, details)
    session.add(vehicle)
    session.flush()
    audit(session, account_id=by, action="add", subject_kind="vehicle", subject_id=vehicle.id, at=at)
    return vehicle


def change_vehicle(
    session: SchemeSession,
    household_id: str,
    vehicle_id: str,
    changes: Mapping[str, Any],
    *,
    only: frozenset[str] | None = None,
    by: str | None,
    at: datetime,
) -> Vehicle:
    """Change some fields of a car; ``only`` names those the caller may change.

    Raises
    ------
    NotFound, Forbidden, Rejected
        Forbidden names the fields that an administrator has to change.
    """
    vehicle = get_vehicle(session, household_id, vehicle_id)
    barred = sorted(set(changes) - only) if only is not None else []
    if barred:
        raise Forbidden(f"Only an administrator changes {', '.join(barred)} of a car.")
    note_change(session, household_id, at=at)
    details = replace(read_details(VehicleDetails, vehicle), **changes)
    _check_feed(session, household_id, details)
    changed = fill(vehicle, details)
    session.flush()
    audit(
        session, account_id=by, action="change", subject_kind="vehicle", subject_id=vehicle_id, at=at, fields=changed
    )
    return vehicle


def remove_vehicle(
    session: SchemeSession, household_id: str, vehicle_id: str, *, by: str | None, at: datetime
) -> None:
    """Take a car out of the home, with its routine and journeys."""
    vehicle = get_vehicle(session, household_id, vehicle_id)
    note_change(session, household_id, at=at)
    session.delete(vehicle)
    session.flush()
    audit(session, account_id=by, action="remove", subject_kind="vehicle", subject_id=vehicle_id, at=at)


def get_charge(session: SchemeSession, household_id: str, vehicle_id: str) -> ChargeReading:
    """Return the last reading of a car's state of charge."""
    vehicle = get_vehicle(session, household_id, vehicle_id)
    return ChargeReading(vehicle.charge_percent, vehicle.charge_read_at)


def put_charge(
    session: SchemeSession, household_id: str, vehicle_id: str, percent: int, *, by: str | None, at: datetime
) -> ChargeReading:
    """Note the state of charge read off a car now [%].

    It is written by a statement: a reading is no edit of the car, whose ETag stays as it is.
    """
    vehicle = get_vehicle(session, household_id, vehicle_id)
    check_charge(percent)
    note_change(session, household_id, at=at)
    session.execute(
        update(Vehicle).where(Vehicle.id == vehicle.id).values(charge_percent=percent, charge_read_at=at)
    )
    audit(
        session, account_id=by, action="read_charge", subject_kind="vehicle", subject_id=vehicle_id, at=at,
        fields=("charge_percent",),
    )
    return ChargeReading(percent, at)


def _check_feed(session: SchemeSession, household_id: str, details: VehicleDetails) -> None:
    """Refuse an outlet or lead of another home, or a pair that does not fit."""
    outlet = session.get(Outlet, (session.scheme_id, details.outlet_id)) if details.outlet_id else None
    lead = session.get(Lead, (session.scheme_id, details.lead_id)) if details.lead_id else None
    faults = [
        Fault(field, part_id, f"is not {what} of this home")
        for field, part_id, part, what in (
            ("outlet_id", details.outlet_id, outlet, "an outlet"),
            ("lead_id", details.lead_id, lead, "a lead"),
        )
        if part_id and (part is None or part.household_id != household_id)
    ]
    for position, outlet_id in enumerate(details.other_outlet_ids):
        other = session.get(Outlet, (session.scheme_id, outlet_id))
        if other is None or other.household_id != household_id:
            faults.append(Fault(f"other_outlet_ids.{position}", outlet_id, "is not an outlet of this home"))
    if faults:
        raise Rejected(*faults)
    check_lead_fits(
        outlet.kind if outlet else None, outlet.is_tethered if outlet else None, lead.kind if lead else None
    )
