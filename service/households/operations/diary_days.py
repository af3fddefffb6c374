"""The miles that a car was driven day by day: its driver's business."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime
from zoneinfo import ZoneInfo

from sqlalchemy import delete, select

from service.accounts.operations import audit
from service.common.errors import NotFound
from service.households.domain.diary_days import DiaryEntry, check_days
from service.households.models import DiaryDay
from service.households.operations.homes import get_household, note_change
from service.households.operations.stored import get_part
from service.households.operations.vehicles import get_vehicle
from service.infrastructure.db.sessions import SchemeSession


def list_days(session: SchemeSession, household_id: str, vehicle_id: str, *, since: date) -> list[DiaryDay]:
    """Return a car's days since a date, oldest first."""
    get_vehicle(session, household_id, vehicle_id)
    statement = select(DiaryDay).where(DiaryDay.vehicle_id == vehicle_id, DiaryDay.on_date >= since)
    return list(session.scalars(statement.order_by(DiaryDay.on_date)))


def enter_days(
    session: SchemeSession,
    household_id: str,
    vehicle_id: str,
    entries: Sequence[DiaryEntry],
    *,
    source: str = "typed",
    by: str | None,
    at: datetime,
) -> list[DiaryDay]:
    """Enter the miles of some days; a day that stands there already takes the new miles."""
    get_vehicle(session, household_id, vehicle_id)
    check_days(entries, today=at.astimezone(ZoneInfo(get_household(session, household_id).zone)).date())
    note_change(session, household_id, at=at)
    days = [entry.on for entry in entries]
    session.execute(delete(DiaryDay).where(DiaryDay.vehicle_id == vehicle_id, DiaryDay.on_date.in_(days)))
    rows = [
        DiaryDay(household_id=household_id, vehicle_id=vehicle_id, on_date=entry.on, miles=entry.miles, source=source)
        for entry in sorted(entries, key=lambda entry: entry.on)
    ]
    session.add_all(rows)
    session.flush()
    audit(session, account_id=by, action="enter_diary", subject_kind="vehicle", subject_id=vehicle_id, at=at)
    return rows


def remove_day(
    session: SchemeSession, household_id: str, vehicle_id: str, day_id: str, *, by: str | None, at: datetime
) -> None:
    """Take a day out of the diary; raises ``NotFound`` where it is not in it."""
    day = get_part(session, DiaryDay, household_id, day_id, "day in a diary")
    if day.vehicle_id != vehicle_id:
        raise NotFound("The diary has no such day.")
    note_change(session, household_id, at=at)
    session.delete(day)
    session.flush()
    audit(session, account_id=by, action="remove_diary", subject_kind="vehicle", subject_id=vehicle_id, at=at)
