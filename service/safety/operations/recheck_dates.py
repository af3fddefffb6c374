"""Read what the dates of homes depend on: a few statements however many homes."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date, datetime
from typing import Any, TypeAlias
from zoneinfo import ZoneInfo

from sqlalchemy import BindParameter, Select, bindparam, func, select

from service.households.models import Circuit, CircuitRun, Household, Lead, Outlet
from service.infrastructure.db.sessions import SchemeSession
from service.safety.domain.evidence import InspectionSource, ObservationCode, RecheckItem
from service.safety.domain.intervals import SchemeInterval
from service.safety.domain.rechecks import DatedHome, DatedInspection, DatedOutlet, Item
from service.safety.models import (
    Check,
    Inspection,
    LeadTest,
    Observation,
    Override,
    Recheck,
    SchemeRule,
    SignReport,
    SupervisedCharge,
)

Columns: TypeAlias = Select[*tuple[Any, ...]]
COUNTING_SOURCES = (InspectionSource.LINK.value, InspectionSource.OFFICER.value)
RCD_TYPES = ("ac", "a", "f", "b")


def load_dated_homes(session: SchemeSession, household_ids: Sequence[str]) -> dict[str, tuple[DatedHome, ZoneInfo]]:
    """Return household id -> what its dates depend on, and the zone in which they are read."""
    ids = list(household_ids)
    rows = {name: _grouped(session, statement, ids) for name, statement in _STATEMENTS.items()}
    scheme = tuple(
        SchemeInterval(*row)
        for row in session.execute(
            select(SchemeRule.rule_name, SchemeRule.from_on, SchemeRule.interval_months, SchemeRule.interval_days)
        )
    )
    homes = session.execute(_HOMES, {"ids": ids})
    return {row[0]: (_home(row, rows, scheme), ZoneInfo(row[3])) for row in homes}


_Rows = Mapping[str, Mapping[str, Sequence[Sequence[Any]]]]


def _home(row: Sequence[Any], rows: _Rows, scheme: tuple[SchemeInterval, ...]) -> DatedHome:
    household_id, tenure, nation, zone_name, created_at, occupied_since_on = row
    zone = ZoneInfo(zone_name)
    of = {name: found.get(household_id, ()) for name, found in rows.items()}
    inspections = _inspections(of["inspections"], of["stops"])
    return DatedHome(
        tenure=tenure,
        nation=nation,
        opened_on=_local(created_at, zone),
        outlets=tuple(DatedOutlet(*each) for each in of["outlets"]),
        leads=dict(_pairs(of["leads"])),
        circuits=tuple(circuit_id for (circuit_id,) in of["circuits"]),
        devices=dict(_pairs(of["devices"])),
        inspections=inspections,
        looked_on=_looked(of, zone),
        lifted_on=_lifted(of["signs"], inspections, of["tests"], zone),
        pressed_on=dict(_pairs(of["pressed"])),
        extensions={(item_id, due_on): new_due_on for item_id, due_on, new_due_on in of["extensions"]},
        scheme=scheme,
        occupied_since_on=occupied_since_on,
    )


def _inspections(rows: Iterable[Sequence[Any]], stops: Iterable[Sequence[Any]]) -> tuple[DatedInspection, ...]:
    with_stop = {inspection_id for (inspection_id,) in stops}
    return tuple(
        DatedInspection(
            outlet_id, inspected_on, next_due_on,
            source in COUNTING_SOURCES and accepted_at is not None and file_id is not None,
            inspection_id in with_stop,
        )
        for inspection_id, outlet_id, inspected_on, next_due_on, source, accepted_at, file_id in rows
    )


def _looked(of: Mapping[str, Sequence[Sequence[Any]]], zone: ZoneInfo) -> dict[Item, date]:
    """Return the last clear look at each outlet and lead: a check, a supervised charge, a passed test of a lead."""
    found: dict[Item, date] = {}
    for name, kind in _LOOKS.items():
        for item_id, at in of[name]:
            item = (kind, item_id)
            found[item] = max(found.get(item, date.min), _local(at, zone))
    return found


def _lifted(
    signs: Iterable[Sequence[Any]],
    inspections: Iterable[DatedInspection],
    tests: Iterable[Sequence[Any]],
    zone: ZoneInfo,
) -> dict[Item, date]:
    """Return when the newest lifted sign was lifted from each item; what is not lifted stops it, and sets no date."""
    found: dict[Item, date] = {}
    counting, passed = [each for each in inspections if each.is_counting and not each.has_open_stop], list(tests)
    for outlet_ids, lead_ids, reported_at in signs:
        reported_on = _local(reported_at, zone)
        for outlet_id in outlet_ids:
            later = [
                each.inspected_on
                for each in counting
                if each.outlet_id == outlet_id and each.inspected_on > reported_on
            ]
            _note(found, (RecheckItem.OUTLET, outlet_id), later)
        for lead_id in lead_ids:
            later = [_local(at, zone) for tested_id, at in passed if tested_id == lead_id and at > reported_at]
            _note(found, (RecheckItem.LEAD, lead_id), later)
    return found


def _note(found: dict[Item, date], item: Item, lifts: list[date]) -> None:
    if lifts:
        found[item] = max(found.get(item, date.min), min(lifts))


def _pairs(rows: Iterable[Sequence[Any]]) -> Iterator[tuple[Any, Any]]:
    yield from ((row[0], row[1]) for row in rows)


def _local(at: datetime, zone: ZoneInfo) -> date:
    return at.astimezone(zone).date()


def _grouped(session: SchemeSession, statement: Columns, ids: list[str]) -> dict[str, list[Sequence[Any]]]:
    found: dict[str, list[Sequence[Any]]] = defaultdict(list)
    for row in session.execute(statement, {"ids": ids}):
        found[row[0]].append(tuple(row[1:]))
    return found


_IDS: BindParameter[Any] = bindparam("ids", expanding=True)
_HOMES = select(
    Household.id, Household.tenure, Household.nation, Household.zone, Household.created_at, Household.occupied_since_on
).where(Household.id.in_(_IDS))
_STANDS = (Inspection.superseded_at.is_(None), Inspection.refused_at.is_(None))
_LOOKS = {
    "outlet_checks": RecheckItem.OUTLET,
    "lead_checks": RecheckItem.LEAD,
    "outlet_charges": RecheckItem.OUTLET,
    "lead_charges": RecheckItem.LEAD,
    "tests": RecheckItem.LEAD,
}


def _latest(model: Any, item: Any, at: Any) -> Columns:
    """Return the last clear one of each item."""
    return (
        select(model.household_id, item, func.max(at))
        .where(model.household_id.in_(_IDS), model.is_clear.is_(True), item.is_not(None), at.is_not(None))
        .group_by(model.household_id, item)
    )


_STATEMENTS: dict[str, Columns] = {
    "outlets": select(
        Outlet.household_id, Outlet.id, Outlet.kind, Outlet.nights_a_week, Outlet.circuit_id
    ).where(Outlet.household_id.in_(_IDS)).order_by(Outlet.ordinal, Outlet.id),
    "leads": select(Lead.household_id, Lead.id, Lead.kind).where(Lead.household_id.in_(_IDS)).order_by(Lead.id),
    "circuits": select(Circuit.household_id, Circuit.id).where(Circuit.household_id.in_(_IDS)).order_by(Circuit.id),
    "devices": select(Circuit.household_id, CircuitRun.id, CircuitRun.circuit_id)
    .join(Circuit, (Circuit.scheme_id == CircuitRun.scheme_id) & (Circuit.id == CircuitRun.circuit_id))
    .where(Circuit.household_id.in_(_IDS), CircuitRun.rcd_type.in_(RCD_TYPES))
    .order_by(CircuitRun.circuit_id, CircuitRun.position),
    "inspections": select(
        Inspection.household_id, Inspection.id, Inspection.outlet_id, Inspection.inspected_on, Inspection.next_due_on,
        Inspection.source, Inspection.accepted_at, Inspection.file_id,
    ).where(Inspection.household_id.in_(_IDS), *_STANDS).order_by(Inspection.recorded_at, Inspection.id),
    "stops": select(Inspection.household_id, Observation.inspection_id)
    .join(Observation, (Inspection.scheme_id == Observation.scheme_id) & (Inspection.id == Observation.inspection_id))
    .where(
        Inspection.household_id.in_(_IDS), *_STANDS, Observation.closed_on.is_(None),
        Observation.code.in_([code.value for code in ObservationCode if code.stops_use]),
    ),
    "outlet_checks": _latest(Check, Check.outlet_id, Check.made_at),
    "lead_checks": _latest(Check, Check.lead_id, Check.made_at),
    "outlet_charges": _latest(SupervisedCharge, SupervisedCharge.outlet_id, SupervisedCharge.ended_at),
    "lead_charges": _latest(SupervisedCharge, SupervisedCharge.lead_id, SupervisedCharge.ended_at),
    "tests": select(LeadTest.household_id, LeadTest.lead_id, LeadTest.done_at)
    .where(LeadTest.household_id.in_(_IDS), LeadTest.is_passed.is_(True)),
    "signs": select(SignReport.household_id, SignReport.outlet_ids, SignReport.lead_ids, SignReport.reported_at)
    .where(SignReport.household_id.in_(_IDS), SignReport.withdrawn_at.is_(None)),
    "pressed": select(Recheck.household_id, Recheck.item_id, func.max(Recheck.done_on))
    .where(
        Recheck.household_id.in_(_IDS), Recheck.item_kind == RecheckItem.DEVICE.value, Recheck.done_on.is_not(None)
    )
    .group_by(Recheck.household_id, Recheck.item_id),
    "extensions": select(Override.household_id, Override.item_id, Override.due_on, Override.new_due_on)
    .where(
        Override.household_id.in_(_IDS), Override.kind == "extension", Override.ended_at.is_(None),
        Override.due_on.is_not(None), Override.new_due_on.is_not(None),
    ),
}  # fmt: skip
