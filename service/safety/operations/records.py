"""The records of many homes as values: one column select a table, never one a home."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from functools import lru_cache
from typing import Any, TypeVar

from sqlalchemy import BindParameter, Select, bindparam, select

from service.households.domain.equipment import YesNo
from service.households.domain.homes import HomeInputs
from service.households.models import Circuit, CircuitRun, Outlet
from service.households.operations.planning_inputs import IDS_A_STATEMENT
from service.infrastructure.db.sessions import SchemeSession
from service.safety.domain.circuit_limit import RunInputs
from service.safety.domain.evidence import (
    CheckRecord,
    CodedObservation,
    InspectionRecord,
    InspectionSource,
    LeadTestKind,
    LeadTestRecord,
    ObservationCode,
    ObservationReach,
)
from service.safety.domain.extension_use import EXTENSION_FIELDS, ExtensionDetails, ExtensionRecord
from service.safety.domain.home_evidence import Evidence
from service.safety.domain.inspection_answers import NOTHING_RECORDED, InspectionAnswers
from service.safety.domain.intervals import SchemeInterval
from service.safety.domain.levels import Clearance
from service.safety.domain.overrides import OverrideKind, OverrideRecord
from service.safety.domain.sign_reports import SignReport
from service.safety.domain.supervised_charge import SupervisedRecord
from service.safety.models import (
    Check,
    ExtensionLead,
    Inspection,
    LeadTest,
    Observation,
    Override,
    SchemeRule,
    SupervisedCharge,
)
from service.safety.models import SignReport as StoredReport

Value = TypeVar("Value")
Grouped = Mapping[str, tuple[Value, ...]]


def load_records(session: SchemeSession, homes: Sequence[HomeInputs]) -> dict[str, Evidence]:
    """Return household id -> all records that its clearances are derived from."""
    ids = [home.id for home in homes]
    inspections = load_inspections(session, ids)
    signs = _grouped(session, _REPORTS, ids, _report)
    tests = _grouped(session, _TESTS, ids, lambda row: LeadTestRecord(row[1], row[2], LeadTestKind(row[3]), *row[4:]))
    checks = _grouped(session, _CHECKS, ids, lambda row: CheckRecord(*row[1:]))
    supervised = _grouped(session, _SUPERVISED, ids, lambda row: SupervisedRecord(*row[1:]))
    overrides = _grouped(session, _OVERRIDES, ids, _override)
    runs = _runs(session, ids)
    rules = scheme_intervals(session)
    extensions = _grouped(session, _EXTENSIONS, ids, _extension)
    return {
        home: Evidence(
            inspections.get(home, ()), signs.get(home, ()), tests.get(home, ()), checks.get(home, ()),
            supervised.get(home, ()), overrides.get(home, ()), runs.get(home, {}), rules,
            extensions.get(home, ()),
        )
        for home in ids
    }  # fmt: skip


def scheme_intervals(session: SchemeSession) -> tuple[SchemeInterval, ...]:
    """Return the scheme's own figures for intervals."""
    return tuple(SchemeInterval(*row) for row in session.execute(_RULES))


def load_inspections(
    session: SchemeSession, household_ids: Sequence[str]
) -> dict[str, tuple[InspectionRecord, ...]]:
    """Return household id -> its inspections in the order they were recorded."""
    findings: dict[str, list[CodedObservation]] = {}
    for inspection_id, code, note, closed_on, closed_at, reach in _rows(session, _OBSERVATIONS, household_ids):
        found = CodedObservation(ObservationCode(code), note, closed_on, closed_at, ObservationReach(reach))
        findings.setdefault(inspection_id, []).append(found)
    return _grouped(session, _INSPECTIONS, household_ids, lambda row: _inspection(row, findings))


def _inspection(row: Sequence[Any], findings: Mapping[str, Sequence[CodedObservation]]) -> InspectionRecord:
    (
        _, inspection_id, outlet_id, inspected_on, next_due_on, electrician, certificate_number, recorded_at, source,
        file_id, circuit_id, outlet_circuit_id, was_tested, limitation, knew_use, answers, limit_a, limit_reason,
        is_partial, accepted_at, refused_at, superseded_at,
    ) = row  # fmt: skip
    return InspectionRecord(
        inspection_id,
        outlet_id,
        inspected_on,
        next_due_on,
        electrician,
        certificate_number,
        tuple(findings.get(inspection_id, ())),
        recorded_at,
        InspectionSource(source),
        file_id is not None,
        circuit_id or outlet_circuit_id,
        YesNo(was_tested),
        limitation,
        YesNo(knew_use),
        _answers(json.dumps(answers, sort_keys=True)) if answers else NOTHING_RECORDED,
        limit_a,
        limit_reason,
        is_partial,
        accepted_at,
        refused_at,
        superseded_at,
    )


@lru_cache(maxsize=4096)
def _answers(stored: str) -> InspectionAnswers:
    return InspectionAnswers.from_json(json.loads(stored))


def _report(row: Sequence[Any]) -> SignReport:
    *own, outlet_ids, lead_ids = row[1:]
    return SignReport(*(*own, frozenset(outlet_ids), frozenset(lead_ids)))


def _override(row: Sequence[Any]) -> OverrideRecord:
    _, override_id, kind, item_kind, item_id, clearance, *rest = row
    becomes = Clearance(clearance) if clearance else None
    return OverrideRecord(*(override_id, OverrideKind(kind), item_kind, item_id, becomes, *rest))


def _extension(row: Sequence[Any]) -> ExtensionRecord:
    _, extension_id, recorded_at, ended_at, *details = row
    return ExtensionRecord(extension_id, ExtensionDetails(*details), recorded_at, ended_at)


def _runs(session: SchemeSession, household_ids: Sequence[str]) -> dict[str, dict[str, tuple[RunInputs, ...]]]:
    found: dict[str, dict[str, list[RunInputs]]] = {}
    for household_id, circuit_id, *run in _rows(session, _RUNS, household_ids):
        found.setdefault(household_id, {}).setdefault(circuit_id, []).append(RunInputs(*run))
    return {home: {circuit: tuple(runs) for circuit, runs in each.items()} for home, each in found.items()}


def _grouped(session: SchemeSession, statement: Select[Any], ids: Sequence[str], build: Any) -> dict[str, Any]:
    found: dict[str, list[Any]] = {}
    for row in _rows(session, statement, ids):
        found.setdefault(row[0], []).append(build(row))
    return {household_id: tuple(values) for household_id, values in found.items()}


def _rows(session: SchemeSession, statement: Select[Any], household_ids: Sequence[str]) -> Iterable[Any]:
    for start in range(0, len(household_ids), IDS_A_STATEMENT):
        yield from session.execute(statement, {"ids": list(household_ids[start : start + IDS_A_STATEMENT])})


# Built once, as the selects of planning_inputs are.
_IDS: BindParameter[Any] = bindparam("ids", expanding=True)
_INSPECTIONS: Select[*tuple[Any, ...]] = (
    select(
        Inspection.household_id, Inspection.id, Inspection.outlet_id, Inspection.inspected_on, Inspection.next_due_on,
        Inspection.electrician, Inspection.certificate_number, Inspection.recorded_at, Inspection.source,
        Inspection.file_id, Inspection.circuit_id, Outlet.circuit_id, Inspection.was_tested, Inspection.limitation,
        Inspection.knew_use, Inspection.answers, Inspection.limit_a, Inspection.limit_reason, Inspection.is_partial,
        Inspection.accepted_at, Inspection.refused_at, Inspection.superseded_at,
    )
    .join(Outlet, (Outlet.scheme_id == Inspection.scheme_id) & (Outlet.id == Inspection.outlet_id))
    .where(Inspection.household_id.in_(_IDS))
    .order_by(Inspection.recorded_at, Inspection.id)
)
_OBSERVATIONS: Select[*tuple[Any, ...]] = (
    select(
        Observation.inspection_id, Observation.code, Observation.note, Observation.closed_on, Observation.closed_at,
        Observation.reach,
    )
    .join(Inspection, (Inspection.scheme_id == Observation.scheme_id) & (Inspection.id == Observation.inspection_id))
    .where(Inspection.household_id.in_(_IDS))
    .order_by(Observation.inspection_id, Observation.position)
)
_REPORTS: Select[*tuple[Any, ...]] = (
    select(
        StoredReport.household_id, StoredReport.id, StoredReport.sign, StoredReport.outlet_id, StoredReport.lead_id,
        StoredReport.circuit_id, StoredReport.seen_at, StoredReport.reported_at, StoredReport.withdrawn_at,
        StoredReport.outlet_ids, StoredReport.lead_ids,
    )
    .where(StoredReport.household_id.in_(_IDS))
    .order_by(StoredReport.reported_at, StoredReport.id)
)
_TESTS: Select[*tuple[Any, ...]] = (
    select(
        LeadTest.household_id, LeadTest.id, LeadTest.lead_id, LeadTest.kind, LeadTest.is_passed, LeadTest.done_at,
        LeadTest.recorded_at, LeadTest.tested_by,
    )
    .where(LeadTest.household_id.in_(_IDS))
    .order_by(LeadTest.done_at, LeadTest.id)
)
_CHECKS: Select[*tuple[Any, ...]] = (
    select(Check.household_id, Check.id, Check.outlet_id, Check.lead_id, Check.made_at, Check.is_clear)
    .where(Check.household_id.in_(_IDS))
    .order_by(Check.made_at, Check.id)
)
_SUPERVISED: Select[*tuple[Any, ...]] = (
    select(
        SupervisedCharge.household_id, SupervisedCharge.id, SupervisedCharge.outlet_id, SupervisedCharge.lead_id,
        SupervisedCharge.started_at, SupervisedCharge.ended_at, SupervisedCharge.is_clear,
    )
    .where(SupervisedCharge.household_id.in_(_IDS))
    .order_by(SupervisedCharge.started_at, SupervisedCharge.id)
)
_OVERRIDES: Select[*tuple[Any, ...]] = (
    select(
        Override.household_id, Override.id, Override.kind, Override.item_kind, Override.item_id, Override.clearance,
        Override.limit_a, Override.due_on, Override.new_due_on, Override.reason, Override.made_at, Override.ended_at,
    )
    .where(Override.household_id.in_(_IDS))
    .order_by(Override.made_at, Override.id)
)
_RUNS: Select[*tuple[Any, ...]] = (
    select(
        Circuit.household_id, CircuitRun.circuit_id, CircuitRun.kind, CircuitRun.device_a, CircuitRun.cable_kind,
        CircuitRun.cable_mm2, CircuitRun.installed, CircuitRun.ambient_c, CircuitRun.grouped_circuits,
        CircuitRun.insulation_mm,
    )
    .join(Circuit, (Circuit.scheme_id == CircuitRun.scheme_id) & (Circuit.id == CircuitRun.circuit_id))
    .where(Circuit.household_id.in_(_IDS))
    .order_by(CircuitRun.circuit_id, CircuitRun.position)
)
_EXTENSIONS: Select[*tuple[Any, ...]] = (
    select(
        ExtensionLead.household_id, ExtensionLead.id, ExtensionLead.recorded_at, ExtensionLead.ended_at,
        *(getattr(ExtensionLead, name) for name in EXTENSION_FIELDS),
    )
    .where(ExtensionLead.household_id.in_(_IDS))
    .order_by(ExtensionLead.recorded_at, ExtensionLead.id)
)
_RULES: Select[*tuple[Any, ...]] = (
    select(SchemeRule.rule_name, SchemeRule.from_on, SchemeRule.interval_months, SchemeRule.interval_days)
    .order_by(SchemeRule.from_on)
)
