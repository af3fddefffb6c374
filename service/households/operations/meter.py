"""The home's electricity meter: its kind, its readings, and what cars took at home while it counted."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

from sqlalchemy import select

from service.accounts.operations import audit
from service.common.slots import slot_index
from service.households.domain.equipment import ChargingPlace
from service.households.domain.meter_details import MeterDetails, MeterEntry, check_entry
from service.households.models import ChargingRecord, Household, HouseReading, MeterReading
from service.households.operations.homes import get_household, hold_household, note_change
from service.households.operations.stored import fill, get_part
from service.infrastructure.db.sessions import SchemeSession


@dataclass(frozen=True, slots=True)
class HomeCharge:
    """What a car took at home, once: half-hours [first_slot, end_slot), energy, and half-hours told apart."""

    first_slot: int
    end_slot: int
    starts_at: datetime
    energy_wh: int
    half_hours: tuple[tuple[int, int], ...]


def get_meter(session: SchemeSession, household_id: str) -> Household:
    """Return the home, whose row holds its meter's kind and yearly use; raises ``NotFound``."""
    return get_household(session, household_id)


def put_meter(
    session: SchemeSession, household_id: str, details: MeterDetails, *, by: str | None, at: datetime
) -> Household:
    """Record which meter the home has and what it uses a year; raises ``NotFound``."""
    household = get_household(session, household_id)
    if details.yearly_kwh != household.yearly_kwh:
        note_change(session, household_id, at=at)  # a plan reckons with the house's own use
    changed = fill(household, details)
    session.flush()
    audit(
        session, account_id=by, action="put_meter", subject_kind="household", subject_id=household_id, at=at,
        fields=changed,
    )  # fmt: skip
    return household


def list_meter_readings(session: SchemeSession, household_id: str) -> list[MeterReading]:
    """Return the readings of the home's meter, the newest day first; raises ``NotFound``."""
    get_household(session, household_id)
    wanted = select(MeterReading).where(MeterReading.household_id == household_id)
    return list(session.scalars(wanted.order_by(MeterReading.read_on.desc(), MeterReading.register)))


def add_meter_reading(
    session: SchemeSession, household_id: str, entry: MeterEntry, *, by: str | None, at: datetime
) -> MeterReading:
    """Enter what a register stood at on a day; raises ``NotFound``, and ``Rejected`` as ``check_entry`` does."""
    household = hold_household(session, household_id)  # two at once must not contradict one another
    others = [(each.register, each.read_on, each.kwh) for each in list_meter_readings(session, household_id)]
    check_entry(entry, others, today=at.astimezone(ZoneInfo(household.zone)).date())
    row = MeterReading(household_id=household_id)
    fill(row, entry)
    session.add(row)
    session.flush()
    audit(session, account_id=by, action="add", subject_kind="meter_reading", subject_id=row.id, at=at)
    return row


def remove_meter_reading(
    session: SchemeSession, household_id: str, reading_id: str, *, by: str | None, at: datetime
) -> None:
    """Take a reading out; raises ``NotFound`` where the home has none by that id."""
    row = get_part(session, MeterReading, household_id, reading_id, "reading of its meter")
    session.delete(row)
    session.flush()
    audit(session, account_id=by, action="remove", subject_kind="meter_reading", subject_id=reading_id, at=at)


def load_half_hours(session: SchemeSession, household_id: str, *, since: int) -> dict[int, int]:
    """Return what the home's meter counted in each half-hour since a slot [Wh], where it was read."""
    read = HouseReading
    wanted = select(read.slot, read.energy_wh).where(read.household_id == household_id, read.slot >= since)
    rows = session.execute(wanted)
    return {row.slot: row.energy_wh for row in rows}


def load_register_readings(session: SchemeSession, household_id: str) -> list[tuple[str, date, Decimal]]:
    """Return (register, day, kWh) of each reading of the home's meter."""
    return [(each.register, each.read_on, each.kwh) for each in list_meter_readings(session, household_id)]


def load_home_charges(session: SchemeSession, household_id: str, *, since: datetime) -> list[HomeCharge]:
    """Return what the home's cars were charged with at home since an instant, as recorded."""
    row = ChargingRecord
    wanted = select(row.starts_at, row.ends_at, row.energy_wh, row.half_hours).where(
        row.household_id == household_id, row.place == ChargingPlace.HOME.value, row.ends_at > since
    )
    charges = []
    for starts_at, ends_at, energy_wh, half_hours in session.execute(wanted.order_by(row.starts_at, row.id)):
        end_slot = slot_index(ends_at - timedelta(microseconds=1)) + 1
        told_apart = tuple((slot, wh) for slot, wh in half_hours)
        charges.append(HomeCharge(slot_index(starts_at), end_slot, starts_at, energy_wh, told_apart))
    return charges
