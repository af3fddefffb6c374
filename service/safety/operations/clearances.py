"""Clearance from stored evidence: of many homes at once for planning, and of one to look at."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from sqlalchemy import BindParameter, Select, bindparam, select

from service.households.domain.homes import HomeInputs
from service.households.operations.planning_inputs import IDS_A_STATEMENT, load_homes
from service.infrastructure.db.sessions import SchemeSession
from service.safety.domain.clearance import OutletClearance, outlet_clearance
from service.safety.domain.evidence import CodedObservation, InspectionRecord, ObservationCode
from service.safety.models import Inspection, Observation


def load_clearances(
    session: SchemeSession, homes: Sequence[HomeInputs], *, at: datetime
) -> dict[str, tuple[OutletClearance, ...]]:
    """Return household id -> the clearance of each of its outlets, in the order of ``home.outlets``."""
    evidence = load_evidence(session, [home.id for home in homes])
    return {
        home.id: tuple(
            outlet_clearance(outlet, evidence.get(home.id, ()), at=at, zone=ZoneInfo(home.zone))
            for outlet in home.outlets
        )
        for home in homes
    }


def household_clearances(
    session: SchemeSession, household_id: str, *, at: datetime
) -> tuple[OutletClearance, ...]:
    """Return the clearance of each outlet of one home; empty where the scheme has no such home."""
    homes = load_homes(session, [household_id], from_at=at)
    return load_clearances(session, homes, at=at).get(household_id, ())


def load_evidence(session: SchemeSession, household_ids: Sequence[str]) -> dict[str, tuple[InspectionRecord, ...]]:
    """Return household id -> its inspections in the order they were recorded."""
    found: dict[str, list[InspectionRecord]] = {}
    for start in range(0, len(household_ids), IDS_A_STATEMENT):
        ids = list(household_ids[start : start + IDS_A_STATEMENT])
        findings: dict[str, list[CodedObservation]] = {}
        for row in session.execute(_OBSERVATIONS, {"ids": ids}):
            findings.setdefault(row[0], []).append(CodedObservation(ObservationCode(row[1]), row[2], row[3]))
        for household_id, inspection_id, *rest in session.execute(_INSPECTIONS, {"ids": ids}):
            record = InspectionRecord(*(inspection_id, *rest, tuple(findings.get(inspection_id, ()))))
            found.setdefault(household_id, []).append(record)
    return {household_id: tuple(records) for household_id, records in found.items()}


# Built once, as the selects of planning_inputs are.
_IDS: BindParameter[Any] = bindparam("ids", expanding=True)
_INSPECTIONS: Select[*tuple[Any, ...]] = (
    select(
        Inspection.household_id, Inspection.id, Inspection.outlet_id, Inspection.inspected_on, Inspection.next_due_on,
        Inspection.electrician, Inspection.certificate_number,
    )
    .where(Inspection.household_id.in_(_IDS))
    .order_by(Inspection.recorded_at, Inspection.id)
)
_OBSERVATIONS: Select[*tuple[Any, ...]] = (
    select(Observation.inspection_id, Observation.code, Observation.note, Observation.closed_on)
    .join(Inspection, (Inspection.scheme_id == Observation.scheme_id) & (Inspection.id == Observation.inspection_id))
    .where(Inspection.household_id.in_(_IDS))
    .order_by(Observation.inspection_id, Observation.position)
)
