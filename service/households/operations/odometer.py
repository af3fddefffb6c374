"""What a car's odometer stood at: its driver's business, as the diary is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from zoneinfo import ZoneInfo

from sqlalchemy import select

from service.accounts.operations import audit
from service.common.errors import NotFound
from service.households.domain.odometer import (
    Between,
    OdometerDetails,
    between_readings,
    check_reading,
    estimated_days,
)
from service.households.models import DiaryDay, OdometerReading
from service.households.operations.homes import get_household, hold_household
from service.households.operations.stored import fill, get_part, read_details
from service.households.operations.vehicles import get_vehicle
from service.infrastructure.db.sessions import SchemeSession


@dataclass(frozen=True)
class OdometerView:
    """A car's readings, oldest first, what lies between them, and the estimated miles of days that nobody kept."""

    readings: Sequence[OdometerReading]
    between: tuple[Between, ...]
    estimated: tuple[tuple[date, Decimal], ...]


def get_odometer(session: SchemeSession, household_id: str, vehicle_id: str) -> OdometerView:
    """Return a car's readings and what they say; raises ``NotFound``."""
    get_vehicle(session, household_id, vehicle_id)
    rows = _rows(session, vehicle_id)
    kept: dict[date, Decimal] = {}
    if rows:
        days = select(DiaryDay.on_date, DiaryDay.miles).where(
            DiaryDay.vehicle_id == vehicle_id, DiaryDay.on_date > rows[0].read_on
        )
        kept = {row.on_date: row.miles for row in session.execute(days)}
    between = between_readings([read_details(OdometerDetails, row) for row in rows], kept)
    return OdometerView(rows, between, estimated_days(between))


def add_reading(
    session: SchemeSession,
    household_id: str,
    vehicle_id: str,
    details: OdometerDetails,
    *,
    by: str | None,
    at: datetime,
) -> OdometerReading:
    """Keep what the odometer stood at; no plan changes by it.

    Raises
    ------
    NotFound, Rejected
        The latter with every fault: it lies ahead, the day has one, it runs back, it runs too far.
    """
    hold_household(session, household_id)  # two at once must not pass each other by
    get_vehicle(session, household_id, vehicle_id)
    today = at.astimezone(ZoneInfo(get_household(session, household_id).zone)).date()
    others = [read_details(OdometerDetails, row) for row in _rows(session, vehicle_id)]
    check_reading(details, others, today=today)
    row = OdometerReading(household_id=household_id, vehicle_id=vehicle_id)
    fill(row, details)
    session.add(row)
    session.flush()
    audit(session, account_id=by, action="add", subject_kind="odometer_reading", subject_id=row.id, at=at)
    return row


def remove_reading(
    session: SchemeSession, household_id: str, vehicle_id: str, reading_id: str, *, by: str | None, at: datetime
) -> None:
    """Take a reading out; raises ``NotFound``."""
    row = get_part(session, OdometerReading, household_id, reading_id, "odometer reading")
    if row.vehicle_id != vehicle_id:
        raise NotFound("This car has no such odometer reading.")
    session.delete(row)
    session.flush()
    audit(session, account_id=by, action="remove", subject_kind="odometer_reading", subject_id=reading_id, at=at)


def _rows(session: SchemeSession, vehicle_id: str) -> list[OdometerReading]:
    statement = select(OdometerReading).where(OdometerReading.vehicle_id == vehicle_id)
    return list(session.scalars(statement.order_by(OdometerReading.read_on)))
