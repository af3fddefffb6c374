"""What a home draws half-hour by half-hour, as its meter says: taken in from a file, counted, forgotten."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from sqlalchemy import delete, func, select

from service.accounts.operations import audit
from service.common.slots import slot_start
from service.households.domain.house_readings import HouseFile, gaps_of, parse_house_file
from service.households.models import HouseReading
from service.households.operations.homes import get_household, note_change
from service.infrastructure.db.sessions import SchemeSession

_AT_ONCE = 400


@dataclass(frozen=True)
class ReadingsSummary:
    """How many half-hours are kept of a home, of which span, and their energy; spans are None where there are none."""

    count: int
    first_at: datetime | None
    ends_at: datetime | None
    energy_wh: int


@dataclass(frozen=True)
class ReadingsTaken:
    """What a file holds: half-hours, their span and energy, those missing in between, and how many were stored."""

    count: int
    first_at: datetime
    ends_at: datetime
    energy_wh: int
    missing: tuple[tuple[datetime, datetime], ...]
    stored_count: int


def summarise_readings(session: SchemeSession, household_id: str) -> ReadingsSummary:
    """Return what is kept of a home; raises ``NotFound``."""
    get_household(session, household_id)
    count, first, last, energy = session.execute(
        select(
            func.count(), func.min(HouseReading.slot), func.max(HouseReading.slot), func.sum(HouseReading.energy_wh)
        ).where(HouseReading.household_id == household_id)
    ).one()
    if not count:
        return ReadingsSummary(0, None, None, 0)
    return ReadingsSummary(count, slot_start(first), slot_start(last + 1), int(energy))


def take_readings(
    session: SchemeSession, household_id: str, file: HouseFile, *, is_dry_run: bool, by: str | None, at: datetime
) -> ReadingsTaken:
    """Store a file's half-hours, or only say what it holds; a half-hour that is kept already takes the new value.

    Raises ``NotFound``, or ``Rejected`` with each fault by its line; then nothing is stored.
    """
    zone = ZoneInfo(get_household(session, household_id).zone)
    readings = parse_house_file(file, zone)
    if not is_dry_run:
        note_change(session, household_id, at=at)
        _replace(session, household_id, readings)
        audit(session, account_id=by, action="take_readings", subject_kind="household", subject_id=household_id, at=at)
    return ReadingsTaken(
        count=len(readings),
        first_at=slot_start(min(readings)),
        ends_at=slot_start(max(readings) + 1),
        energy_wh=sum(readings.values()),
        missing=tuple((slot_start(first), slot_start(end)) for first, end in gaps_of(readings)),
        stored_count=0 if is_dry_run else len(readings),
    )


def forget_readings(session: SchemeSession, household_id: str, *, by: str | None, at: datetime) -> None:
    """Delete all half-hours kept of a home."""
    note_change(session, household_id, at=at)
    session.execute(delete(HouseReading).where(HouseReading.household_id == household_id))
    audit(session, account_id=by, action="forget_readings", subject_kind="household", subject_id=household_id, at=at)


def _replace(session: SchemeSession, household_id: str, readings: Mapping[int, int]) -> None:
    slots = sorted(readings)
    for start in range(0, len(slots), _AT_ONCE):
        part = slots[start : start + _AT_ONCE]
        session.execute(
            delete(HouseReading).where(HouseReading.household_id == household_id, HouseReading.slot.in_(part))
        )
        session.add_all(
            HouseReading(household_id=household_id, slot=slot, energy_wh=readings[slot]) for slot in part
        )
        session.flush()
