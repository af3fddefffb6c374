"""Days of a diary taken in from CSV text, all or nothing, or only looked at."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from sqlalchemy import select

from service.households.domain.diary_csv import parse_diary_csv
from service.households.domain.diary_days import DiaryEntry
from service.households.models import DiaryDay
from service.households.operations.diary_days import enter_days
from service.households.operations.homes import get_household
from service.households.operations.vehicles import get_vehicle
from service.infrastructure.db.sessions import SchemeSession

SOURCE = "csv"


@dataclass(frozen=True)
class DiaryImport:
    """What an import did, or would do: its days, oldest first, and how many of them are new or have other miles."""

    days: tuple[DiaryEntry, ...]
    new_count: int
    changed_count: int
    is_dry_run: bool


def import_diary(
    session: SchemeSession,
    household_id: str,
    vehicle_id: str,
    csv_text: str,
    *,
    is_dry_run: bool,
    by: str | None,
    at: datetime,
) -> DiaryImport:
    """Enter the days of a CSV text; a day that stands there already takes the new miles, one that is the same stays.

    Raises
    ------
    NotFound, Rejected
        The latter with each faulty row by line and column; nothing is stored then.
    """
    get_vehicle(session, household_id, vehicle_id)
    today = at.astimezone(ZoneInfo(get_household(session, household_id).zone)).date()
    days = tuple(sorted(parse_diary_csv(csv_text, today=today), key=lambda entry: entry.on))
    statement = select(DiaryDay.on_date, DiaryDay.miles).where(
        DiaryDay.vehicle_id == vehicle_id, DiaryDay.on_date.in_([entry.on for entry in days])
    )
    kept = {row.on_date: row.miles for row in session.execute(statement)}
    new = [entry for entry in days if entry.on not in kept]
    changed = [entry for entry in days if entry.on in kept and kept[entry.on] != entry.miles]
    if not is_dry_run and (new or changed):
        enter_days(session, household_id, vehicle_id, [*new, *changed], source=SOURCE, by=by, at=at)
    return DiaryImport(days, len(new), len(changed), is_dry_run)
