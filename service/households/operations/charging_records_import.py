"""Charging records read from a table, or from a charging point's own account: all of them or none."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, fields
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from sqlalchemy import select

from service.accounts.operations import audit
from service.common.errors import Fault, Rejected
from service.households.domain.charging_records import Charged, ChargingDetails
from service.households.domain.charging_records_csv import FAULTS_MAX, ImportedRow, Names, parse_charging_csv
from service.households.domain.charging_records_ocpi import read_cdrs
from service.households.models import ChargingRecord, Outlet, Vehicle
from service.households.operations.charging_records import (
    SUBJECT,
    RecordChecker,
    check_room,
    record_row,
    records_between,
)
from service.households.operations.homes import hold_household
from service.infrastructure.db.sessions import SchemeSession


@dataclass(frozen=True)
class ChargingImport:
    """What an import did, or would do: how many records it adds, how many the home has already, and the energy."""

    is_dry_run: bool
    added_count: int
    skipped_count: int
    added_wh: int
    first_at: datetime | None
    last_at: datetime | None


def import_charging_csv(
    session: SchemeSession, household_id: str, text: str, *, is_dry_run: bool, by: str | None, at: datetime
) -> ChargingImport:
    """Keep the records of a CSV text, all of them or none.

    One whose ``external_id`` the home has already is skipped and counted. ``is_dry_run``: nothing is kept, all is
    checked.

    Raises
    ------
    NotFound, Rejected, TooManyRecords
        Rejected with every fault by line and column.
    """
    household = hold_household(session, household_id)
    names = Names(
        _ids_by_label(session, household_id, Vehicle),
        _ids_by_label(session, household_id, Outlet),
        ZoneInfo(household.zone),
    )
    rows = parse_charging_csv(text, names)
    return _import(session, household_id, rows, is_dry_run=is_dry_run, by=by, at=at)


def import_cdrs(
    session: SchemeSession,
    household_id: str,
    records: Sequence[Any],
    *,
    vehicle_id: str,
    outlet_id: str | None,
    is_dry_run: bool,
    by: str | None,
    at: datetime,
) -> ChargingImport:
    """Keep the charging records of OCPI 2.2.1 charge detail records, as ``import_charging_csv`` does."""
    hold_household(session, household_id)
    checker = RecordChecker(session, household_id, at)
    checker.check_names(vehicle_id, outlet_id)
    rows = read_cdrs(records, vehicle_id=vehicle_id, outlet_id=outlet_id)
    return _import(session, household_id, rows, is_dry_run=is_dry_run, by=by, at=at)


def _import(
    session: SchemeSession,
    household_id: str,
    rows: Sequence[ImportedRow],
    *,
    is_dry_run: bool,
    by: str | None,
    at: datetime,
) -> ChargingImport:
    known = set(
        session.scalars(
            select(ChargingRecord.external_id).where(
                ChargingRecord.household_id == household_id, ChargingRecord.external_id.is_not(None)
            )
        )
    )
    check_room(session, household_id, sum(row.details.external_id not in known for row in rows))
    checker = RecordChecker(session, household_id, at)
    others = records_between(session, household_id, [row.details for row in rows])
    new: list[ChargingDetails] = []
    faults: list[Fault] = []
    for row in rows:
        details = row.details
        if details.external_id is not None and details.external_id in known:
            continue
        known.add(details.external_id)
        try:
            checker.check(details, others)
        except Rejected as error:
            faults.extend(row.at.fault(fault) for fault in error.faults)
        others.append(_unsaved(details))
        new.append(details)
    if faults:
        raise Rejected(*faults[:FAULTS_MAX])
    if not is_dry_run:
        session.add_all(record_row(household_id, details, by=by, at=at) for details in new)
        session.flush()
        audit(session, account_id=by, action="import", subject_kind=SUBJECT, subject_id=household_id, at=at)
    return ChargingImport(
        is_dry_run,
        len(new),
        len(rows) - len(new),
        sum(details.energy_wh for details in new),
        min((details.starts_at for details in new), default=None),
        max((details.ends_at for details in new), default=None),
    )


def _ids_by_label(session: SchemeSession, household_id: str, model: type[Vehicle] | type[Outlet]) -> dict[str, str]:
    """Return ids by name; a name that two have is left out, because nobody could tell which is meant."""
    rows = session.execute(select(model.label, model.id).where(model.household_id == household_id)).all()
    counts = Counter(row.label for row in rows)
    return {row.label: row.id for row in rows if counts[row.label] == 1}


def _unsaved(details: ChargingDetails) -> Charged:
    return Charged(id="", **{each.name: getattr(details, each.name) for each in fields(details)})
