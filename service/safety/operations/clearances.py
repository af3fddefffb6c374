"""Clearance from stored evidence: of many homes at once for planning, and of one to look at.

Two questions, not one.  What did evidence say at an instant: ``load_clearances``.  May a plan that starts at
a half-hour use this: ``load_for_planning``, which leaves out no sign that has been reported by now, also
where the run was started before it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from sqlalchemy import BindParameter, Select, bindparam, select

from service.households.domain.homes import HomeInputs
from service.households.operations import get_household
from service.households.operations.planning_inputs import IDS_A_STATEMENT, load_homes
from service.infrastructure.db.sessions import SchemeSession
from service.safety.domain.clearance import Clearance, OutletClearance, outlet_clearance
from service.safety.domain.evidence import (
    CodedObservation,
    InspectionRecord,
    LeadTestKind,
    LeadTestRecord,
    ObservationCode,
)
from service.safety.domain.lead_clearance import LeadClearance, lead_clearance
from service.safety.domain.levels import worst_of
from service.safety.domain.sign_reports import SignReport, has_own_cable
from service.safety.models import Inspection, LeadTest, Observation
from service.safety.models import SignReport as StoredReport


@dataclass(frozen=True)
class HomeEvidence:
    """One home with all that its clearances are derived from."""

    home: HomeInputs
    inspections: tuple[InspectionRecord, ...]
    signs: tuple[SignReport, ...]
    tests: tuple[LeadTestRecord, ...]

    @property
    def zone(self) -> ZoneInfo:
        """The zone in which the home's dates are read."""
        return ZoneInfo(self.home.zone)

    def outlets_at(self, at: datetime) -> tuple[OutletClearance, ...]:
        """Return the clearance of each outlet at an instant, in the order of ``home.outlets``."""
        return tuple(
            outlet_clearance(outlet, self.inspections, at=at, zone=self.zone, signs=self.signs)
            for outlet in self.home.outlets
        )

    def leads_at(self, at: datetime) -> tuple[LeadClearance, ...]:
        """Return the clearance of each lead at an instant, in the order of ``home.leads``."""
        return tuple(
            lead_clearance(lead, self.signs, self.tests, at=at, zone=self.zone) for lead in self.home.leads
        )

    def clearance_at(self, at: datetime) -> HomeClearance:
        """Return what evidence says of everything in the home at an instant."""
        return HomeClearance(self.outlets_at(at), self.leads_at(at))

    def with_all_reports(self, at: datetime) -> datetime:
        """Return the instant, or that of the newest report if it is later: for plans no report is too new."""
        return max([at, *(report.reported_at for report in self.signs)])


@dataclass(frozen=True)
class HomeClearance:
    """The clearance of each outlet and each lead of one home."""

    outlets: tuple[OutletClearance, ...] = ()
    leads: tuple[LeadClearance, ...] = ()

    def worst(self, home: HomeInputs) -> Clearance:
        """Return the home's standing: its worst outlet, or a stopped lead that a car of it charges with."""
        outlets = {outlet.id: outlet for outlet in home.outlets}
        in_use = {
            car.lead.id
            for car in home.cars
            if car.lead and not (car.outlet_id in outlets and has_own_cable(outlets[car.outlet_id]))
        }
        stopped = [lead for lead in self.leads if not lead.clearance.allows_charging and lead.lead_id in in_use]
        return worst_of([*(outlet.clearance for outlet in self.outlets), *(lead.clearance for lead in stopped)])


def load_clearances(
    session: SchemeSession, homes: Sequence[HomeInputs], *, at: datetime
) -> dict[str, tuple[OutletClearance, ...]]:
    """Return household id -> the clearance of each of its outlets, in the order of ``home.outlets``."""
    return {each.home.id: each.outlets_at(at) for each in load_home_evidence(session, homes)}


def load_for_planning(session: SchemeSession, homes: Sequence[HomeInputs], *, at: datetime) -> dict[str, HomeClearance]:
    """Return household id -> what a plan from an instant on may use; each sign reported so far counts."""
    return {
        each.home.id: each.clearance_at(each.with_all_reports(at)) for each in load_home_evidence(session, homes)
    }


def load_home_evidence(session: SchemeSession, homes: Sequence[HomeInputs]) -> list[HomeEvidence]:
    """Return each home with its evidence, in the order given: a few statements however many homes."""
    ids = [home.id for home in homes]
    inspections, signs, tests = load_evidence(session, ids), load_reports(session, ids), load_lead_tests(session, ids)
    return [
        HomeEvidence(home, inspections.get(home.id, ()), signs.get(home.id, ()), tests.get(home.id, ()))
        for home in homes
    ]


def get_home_evidence(session: SchemeSession, household_id: str, *, at: datetime) -> HomeEvidence:
    """Return one home with its evidence; raises ``NotFound``."""
    get_household(session, household_id)
    (evidence,) = load_home_evidence(session, load_homes(session, [household_id], from_at=at))
    return evidence


def household_clearances(
    session: SchemeSession, household_id: str, *, at: datetime
) -> tuple[OutletClearance, ...]:
    """Return the clearance of each outlet of one home; empty where the scheme has no such home."""
    homes = load_homes(session, [household_id], from_at=at)
    return load_clearances(session, homes, at=at).get(household_id, ())


def home_clearance(session: SchemeSession, household_id: str, *, at: datetime) -> HomeClearance:
    """Return the clearance of each outlet and lead of one home; raises ``NotFound``."""
    return get_home_evidence(session, household_id, at=at).clearance_at(at)


def load_evidence(session: SchemeSession, household_ids: Sequence[str]) -> dict[str, tuple[InspectionRecord, ...]]:
    """Return household id -> its inspections in the order they were recorded."""
    found: dict[str, list[InspectionRecord]] = {}
    for start in range(0, len(household_ids), IDS_A_STATEMENT):
        ids = list(household_ids[start : start + IDS_A_STATEMENT])
        findings: dict[str, list[CodedObservation]] = {}
        for row in session.execute(_OBSERVATIONS, {"ids": ids}):
            findings.setdefault(row[0], []).append(CodedObservation(ObservationCode(row[1]), row[2], row[3]))
        for household_id, inspection_id, *rest, recorded_at in session.execute(_INSPECTIONS, {"ids": ids}):
            record = InspectionRecord(*(inspection_id, *rest, tuple(findings.get(inspection_id, ())), recorded_at))
            found.setdefault(household_id, []).append(record)
    return {household_id: tuple(records) for household_id, records in found.items()}


def load_reports(session: SchemeSession, household_ids: Sequence[str]) -> dict[str, tuple[SignReport, ...]]:
    """Return household id -> its reported signs, withdrawn ones included, in the order they were reported."""
    found: dict[str, list[SignReport]] = {}
    for row in _rows(session, _REPORTS, household_ids):
        *own, outlet_ids, lead_ids = row[1:]
        found.setdefault(row[0], []).append(SignReport(*(*own, frozenset(outlet_ids), frozenset(lead_ids))))
    return {household_id: tuple(reports) for household_id, reports in found.items()}


def load_lead_tests(session: SchemeSession, household_ids: Sequence[str]) -> dict[str, tuple[LeadTestRecord, ...]]:
    """Return household id -> the recorded tests and replacements of its leads, in the order they were done."""
    found: dict[str, list[LeadTestRecord]] = {}
    for household_id, test_id, lead_id, kind, *rest in _rows(session, _TESTS, household_ids):
        found.setdefault(household_id, []).append(LeadTestRecord(test_id, lead_id, LeadTestKind(kind), *rest))
    return {household_id: tuple(tests) for household_id, tests in found.items()}


def _rows(session: SchemeSession, statement: Select[Any], household_ids: Sequence[str]) -> Iterable[Any]:
    for start in range(0, len(household_ids), IDS_A_STATEMENT):
        yield from session.execute(statement, {"ids": list(household_ids[start : start + IDS_A_STATEMENT])})


# Built once, as the selects of planning_inputs are.
_IDS: BindParameter[Any] = bindparam("ids", expanding=True)
_INSPECTIONS: Select[*tuple[Any, ...]] = (
    select(
        Inspection.household_id, Inspection.id, Inspection.outlet_id, Inspection.inspected_on, Inspection.next_due_on,
        Inspection.electrician, Inspection.certificate_number, Inspection.recorded_at,
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
