"""What a home's cars were charged with: kept, corrected, and read by other features.

It changes no plan: a plan goes by what it planned and by readings of a car's charge.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import fields, replace
from datetime import datetime
from typing import Any

from sqlalchemy import Select, func, select

from service.accounts.operations import audit
from service.common.errors import Conflict, Fault, Rejected
from service.households.domain.charging_records import (
    Charged,
    ChargingDetails,
    OutletPower,
    check_no_overlap,
    check_over,
    check_power,
)
from service.households.models import ChargingRecord, Outlet, Vehicle
from service.households.operations.homes import get_household, hold_household
from service.households.operations.stored import fill, get_part
from service.infrastructure.db.sessions import SchemeSession

SUBJECT = "charging_record"
MOST_KEPT = 10_000
"""Own bound on the records of one home: five charges a day for five years and more."""


class TooManyRecords(Conflict):
    """The home keeps as many records as it may."""

    title = "Too many charging records kept"


def list_charging(
    session: SchemeSession, household_id: str, from_at: datetime, to_at: datetime, *, vehicle_id: str | None = None
) -> tuple[Charged, ...]:
    """Return the records of a home that overlap [from_at, to_at), oldest first; of one car where it is named.

    One that reaches out of the period is there whole: ``Charged.by_slot`` tells its half-hours apart.
    """
    get_household(session, household_id)
    rows = session.scalars(_overlapping(household_id, from_at, to_at, vehicle_id).order_by(*_ORDER))
    return tuple(_value(row) for row in rows)


def list_charging_records(
    session: SchemeSession,
    household_id: str,
    *,
    from_at: datetime,
    to_at: datetime,
    vehicle_id: str | None = None,
    first: int,
    limit: int,
) -> tuple[list[ChargingRecord], int]:
    """Return a page of the records that overlap a period, newest first, and how many there are."""
    get_household(session, household_id)
    wanted = _overlapping(household_id, from_at, to_at, vehicle_id)
    total = session.scalar(select(func.count()).select_from(wanted.subquery())) or 0
    rows = session.scalars(
        wanted.order_by(ChargingRecord.starts_at.desc(), ChargingRecord.id).offset(first).limit(limit)
    )
    return list(rows), total


def get_charging_record(session: SchemeSession, household_id: str, record_id: str) -> ChargingRecord:
    """Return a record of the home; raises ``NotFound``."""
    return get_part(session, ChargingRecord, household_id, record_id, "charging record")


def add_charging_record(
    session: SchemeSession, household_id: str, details: ChargingDetails, *, by: str | None, at: datetime
) -> ChargingRecord:
    """Keep a record that a person entered.

    Raises
    ------
    NotFound, Rejected, TooManyRecords
        Rejected for a charge that is not over, more energy than time and outlet could give, one that overlaps
        another of the same car, or a car or outlet of another home.
    """
    hold_household(session, household_id)
    check_room(session, household_id, 1)
    RecordChecker(session, household_id, at).check(details, records_between(session, household_id, [details]))
    row = record_row(household_id, details, by=by, at=at)
    session.add(row)
    session.flush()
    audit(session, account_id=by, action="add", subject_kind=SUBJECT, subject_id=row.id, at=at)
    return row


def change_charging_record(
    session: SchemeSession,
    household_id: str,
    record_id: str,
    changes: Mapping[str, Any],
    *,
    by: str | None,
    at: datetime,
) -> ChargingRecord:
    """Change some fields of a record; raises as ``add_charging_record``."""
    hold_household(session, household_id)
    row = get_charging_record(session, household_id, record_id)
    details = replace(_details(row), **changes)
    others = [other for other in records_between(session, household_id, [details]) if other.id != record_id]
    RecordChecker(session, household_id, at).check(details, others)
    changed = fill(row, details)
    session.flush()
    audit(session, account_id=by, action="change", subject_kind=SUBJECT, subject_id=row.id, at=at, fields=changed)
    return row


def remove_charging_record(
    session: SchemeSession, household_id: str, record_id: str, *, by: str | None, at: datetime
) -> None:
    """Take a record out; raises ``NotFound``."""
    session.delete(get_charging_record(session, household_id, record_id))
    session.flush()
    audit(session, account_id=by, action="remove", subject_kind=SUBJECT, subject_id=record_id, at=at)


def check_room(session: SchemeSession, household_id: str, new_count: int) -> None:
    """Refuse more records than a home may keep; raises ``TooManyRecords``."""
    wanted = select(func.count()).where(ChargingRecord.household_id == household_id)
    if (session.scalar(wanted) or 0) + new_count > MOST_KEPT:
        raise TooManyRecords(f"A home keeps {MOST_KEPT} charging records at most: take old ones out first.")


class RecordChecker:
    """Checks records against what the home has: its cars, its outlets, its other records."""

    def __init__(self, session: SchemeSession, household_id: str, at: datetime) -> None:
        self._at = at
        self._cars = set(session.scalars(select(Vehicle.id).where(Vehicle.household_id == household_id)))
        self._outlets = {
            row.id: OutletPower(row.kind, row.limit_a, row.phases)
            for row in session.execute(
                select(Outlet.id, Outlet.kind, Outlet.limit_a, Outlet.phases).where(Outlet.household_id == household_id)
            )
        }

    def check_names(self, vehicle_id: str, outlet_id: str | None) -> None:
        """Refuse a car or an outlet that the home does not have; raises ``Rejected``."""
        faults = []
        if vehicle_id not in self._cars:
            faults.append(Fault("vehicle_id", vehicle_id, "is not a car of this home"))
        if outlet_id is not None and outlet_id not in self._outlets:
            faults.append(Fault("outlet_id", outlet_id, "is not an outlet of this home"))
        if faults:
            raise Rejected(*faults)

    def check(self, details: ChargingDetails, others: Sequence[Charged]) -> None:
        """Refuse what cannot have been; raises ``Rejected`` with every fault."""
        self.check_names(details.vehicle_id, details.outlet_id)
        outlets = [self._outlets[details.outlet_id]] if details.outlet_id else list(self._outlets.values())
        faults: list[Fault] = []
        for check in (
            lambda: check_over(details, at=self._at),
            lambda: check_power(details, outlets),
            lambda: check_no_overlap(details, others),
        ):
            try:
                check()
            except Rejected as error:
                faults.extend(error.faults)
        if faults:
            raise Rejected(*faults)


_ORDER = (ChargingRecord.starts_at, ChargingRecord.id)
_COLUMNS = tuple(each.name for each in fields(ChargingDetails))


def _overlapping(
    household_id: str, from_at: datetime, to_at: datetime, vehicle_id: str | None = None
) -> Select[ChargingRecord]:
    wanted = select(ChargingRecord).where(
        ChargingRecord.household_id == household_id, ChargingRecord.starts_at < to_at, ChargingRecord.ends_at > from_at
    )
    return wanted if vehicle_id is None else wanted.where(ChargingRecord.vehicle_id == vehicle_id)


def records_between(
    session: SchemeSession, household_id: str, records: Sequence[ChargingDetails]
) -> list[Charged]:
    """Return what is kept between the first start and the last end of some records."""
    first_at, last_at = min(each.starts_at for each in records), max(each.ends_at for each in records)
    return [_value(row) for row in session.scalars(_overlapping(household_id, first_at, last_at).order_by(*_ORDER))]


def record_row(household_id: str, details: ChargingDetails, *, by: str | None, at: datetime) -> ChargingRecord:
    """Return the row of a checked record, not stored yet."""
    row = ChargingRecord(household_id=household_id, created_at=at, created_by=by)
    fill(row, details)
    return row


def _details(row: ChargingRecord) -> ChargingDetails:
    return ChargingDetails(**{name: getattr(row, name) for name in _COLUMNS})


def _value(row: ChargingRecord) -> Charged:
    values = {name: getattr(row, name) for name in _COLUMNS}
    return Charged(id=row.id, **{**values, "half_hours": tuple((slot, wh) for slot, wh in row.half_hours)})
