"""When the cars of a home leave: their weekly routines and dated journeys.

This is the member's business: no operation here serves an administrator.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, time
from typing import Any

from sqlalchemy import delete, select, update
from sqlalchemy.orm.exc import StaleDataError

from service.accounts.operations import audit
from service.common.errors import NotFound
from service.households.domain.diary import DatedJourney, WeeklyDeparture, check_not_ended, check_routine
from service.households.models import Journey, RoutineDeparture, Vehicle
from service.households.operations.homes import note_change
from service.households.operations.stored import fill, get_part, read_details
from service.households.operations.vehicles import get_vehicle
from service.infrastructure.db.sessions import SchemeSession


@dataclass(frozen=True)
class Routine:
    """A car's week, by day and time; ``version`` counts its edits and is its ETag."""

    version: int
    departures: tuple[WeeklyDeparture, ...]


def get_routine(session: SchemeSession, household_id: str, vehicle_id: str) -> Routine:
    """Return a car's weekly routine; empty where none was entered."""
    vehicle = get_vehicle(session, household_id, vehicle_id)
    rows = session.scalars(
        select(RoutineDeparture)
        .where(RoutineDeparture.vehicle_id == vehicle_id)
        .order_by(RoutineDeparture.weekday, RoutineDeparture.leaves_at, RoutineDeparture.id)
    )
    return Routine(vehicle.routine_version, tuple(_departure(row) for row in rows))


def put_routine(
    session: SchemeSession,
    household_id: str,
    vehicle_id: str,
    departures: Sequence[WeeklyDeparture],
    *,
    of_version: int | None = None,
    by: str | None,
    at: datetime,
) -> Routine:
    """Put a car's whole week in place of the one it had; ``of_version`` is the one the caller saw.

    Raises
    ------
    NotFound, Rejected, StaleDataError
        The last if somebody else replaced it meanwhile.
    """
    vehicle = get_vehicle(session, household_id, vehicle_id)
    check_routine(departures)
    note_change(session, household_id, at=at)
    read_version = vehicle.routine_version if of_version is None else of_version
    risen = session.execute(
        update(Vehicle)
        .where(Vehicle.id == vehicle_id, Vehicle.routine_version == read_version)
        .values(routine_version=read_version + 1)
        .returning(Vehicle.id)
    ).all()
    if not risen:
        raise StaleDataError("the routine was replaced meanwhile")
    session.execute(delete(RoutineDeparture).where(RoutineDeparture.vehicle_id == vehicle_id))
    session.add_all(_row(household_id, vehicle_id, line) for line in departures)
    session.flush()
    audit(session, account_id=by, action="put_routine", subject_kind="vehicle", subject_id=vehicle_id, at=at)
    return get_routine(session, household_id, vehicle_id)


def list_journeys(
    session: SchemeSession, household_id: str, vehicle_id: str, *, from_at: datetime
) -> list[Journey]:
    """Return a car's journeys that end after an instant, in order."""
    get_vehicle(session, household_id, vehicle_id)
    return list(
        session.scalars(
            select(Journey)
            .where(Journey.vehicle_id == vehicle_id, Journey.returns_at > from_at)
            .order_by(Journey.leaves_at, Journey.id)
        )
    )


def get_journey(session: SchemeSession, household_id: str, vehicle_id: str, journey_id: str) -> Journey:
    """Return a journey of a car of the home; raises ``NotFound``."""
    journey = get_part(session, Journey, household_id, journey_id, "journey")
    if journey.vehicle_id != vehicle_id:
        raise NotFound("This car has no such journey.")
    return journey


def add_journey(
    session: SchemeSession, household_id: str, vehicle_id: str, details: DatedJourney, *, by: str | None, at: datetime
) -> Journey:
    """Enter a dated journey that is not over yet."""
    get_vehicle(session, household_id, vehicle_id)
    check_not_ended(details, at=at)
    note_change(session, household_id, at=at)
    journey = Journey(household_id=household_id, vehicle_id=vehicle_id)
    fill(journey, details)
    session.add(journey)
    session.flush()
    audit(session, account_id=by, action="add", subject_kind="journey", subject_id=journey.id, at=at)
    return journey


def change_journey(
    session: SchemeSession,
    household_id: str,
    vehicle_id: str,
    journey_id: str,
    changes: Mapping[str, Any],
    *,
    by: str | None,
    at: datetime,
) -> Journey:
    """Change some fields of a journey; afterwards it must not be over yet."""
    journey = get_journey(session, household_id, vehicle_id, journey_id)
    details = replace(read_details(DatedJourney, journey), **changes)
    check_not_ended(details, at=at)
    note_change(session, household_id, at=at)
    changed = fill(journey, details)
    session.flush()
    audit(
        session, account_id=by, action="change", subject_kind="journey", subject_id=journey_id, at=at, fields=changed
    )
    return journey


def remove_journey(
    session: SchemeSession, household_id: str, vehicle_id: str, journey_id: str, *, by: str | None, at: datetime
) -> None:
    """Take a journey out."""
    journey = get_journey(session, household_id, vehicle_id, journey_id)
    note_change(session, household_id, at=at)
    session.delete(journey)
    session.flush()
    audit(session, account_id=by, action="remove", subject_kind="journey", subject_id=journey_id, at=at)


def _departure(row: RoutineDeparture) -> WeeklyDeparture:
    leaves_min, returns_min = (wall.hour * 60 + wall.minute for wall in (row.leaves_at, row.returns_at))
    return WeeklyDeparture(row.weekday, leaves_min, returns_min, row.returns_days_later, row.miles)


def _row(household_id: str, vehicle_id: str, line: WeeklyDeparture) -> RoutineDeparture:
    return RoutineDeparture(
        household_id=household_id,
        vehicle_id=vehicle_id,
        weekday=line.weekday,
        leaves_at=time(*divmod(line.leaves_min, 60)),
        returns_at=time(*divmod(line.returns_min, 60)),
        returns_days_later=line.returns_days_later,
        miles=line.miles,
    )
