"""Record what an electrician found, and that a finding was put right."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo

from sqlalchemy import select

from service.accounts.operations import audit
from service.common.errors import Conflict, Fault, NotFound, Rejected
from service.households.models import Outlet
from service.households.operations import get_household, note_change, note_stop
from service.infrastructure.db.sessions import SchemeSession
from service.infrastructure.outbox import announce
from service.safety.domain.events import InspectionStopped
from service.safety.domain.evidence import CodedObservation, ObservationCode
from service.safety.domain.inspection_details import InspectionDetails, check_closed_on, check_not_ahead
from service.safety.models import Inspection, Observation
from service.safety.operations.changes import CauseKind, follow_record
from service.safety.operations.clearances import home_clearance
from service.safety.operations.rechecks import follow_inspection


@dataclass(frozen=True)
class InspectionView:
    """A recorded inspection; satisfactory means without a C1, C2 or FI that still stands on the day asked about."""

    id: str
    outlet_id: str
    inspected_on: date
    next_due_on: date
    certificate_number: str
    electrician: str
    is_satisfactory: bool
    observations: tuple[CodedObservation, ...]


def today_of(session: SchemeSession, household_id: str, at: datetime) -> date:
    """Return the home's local date at an instant; raises ``NotFound``."""
    return at.astimezone(ZoneInfo(get_household(session, household_id).zone)).date()


def list_inspections(session: SchemeSession, household_id: str, *, at: datetime) -> list[InspectionView]:
    """Return the home's inspections, the newest first."""
    day = today_of(session, household_id, at)
    inspections = session.scalars(
        select(Inspection)
        .where(Inspection.household_id == household_id)
        .order_by(Inspection.inspected_on.desc(), Inspection.recorded_at.desc(), Inspection.id)
    ).all()
    findings = session.scalars(
        select(Observation)
        .where(Observation.inspection_id.in_([inspection.id for inspection in inspections]))
        .order_by(Observation.position)
    ).all()
    return [_view(row, [found for found in findings if found.inspection_id == row.id], day) for row in inspections]


def record_inspection(
    session: SchemeSession, household_id: str, details: InspectionDetails, *, by: str | None, at: datetime
) -> InspectionView:
    """Record an inspection of one outlet; clearance, the next recheck and the home's standing follow at once.

    Raises
    ------
    NotFound, Rejected
        Rejected for an outlet of another home, or a date that has not come yet.
    """
    stops = sorted(
        {str(finding.code) for finding in details.observations if finding.closed_on is None and _stops(finding.code)}
    )
    (note_stop if stops else note_change)(session, household_id, at=at)
    day = today_of(session, household_id, at)
    check_not_ahead(details, on=day)
    before = home_clearance(session, household_id, at=at)
    outlet = session.get(Outlet, (session.scheme_id, details.outlet_id))
    if outlet is None or outlet.household_id != household_id:
        raise Rejected(Fault("outlet_id", details.outlet_id, "is not an outlet of this home"))
    inspection = Inspection(
        household_id=household_id, outlet_id=details.outlet_id, inspected_on=details.inspected_on,
        next_due_on=details.next_due_on, certificate_number=details.certificate_number,
        electrician=details.electrician, recorded_at=at, recorded_by=by,
    )
    session.add(inspection)
    session.flush()
    findings = [
        Observation(
            inspection_id=inspection.id, position=position, code=str(finding.code), note=finding.note,
            closed_on=finding.closed_on,
        )
        for position, finding in enumerate(details.observations)
    ]
    session.add_all(findings)
    session.flush()
    follow_inspection(session, inspection)
    follow_record(session, household_id, before, cause=CauseKind.INSPECTION, cause_id=inspection.id, at=at)
    audit(session, account_id=by, action="record", subject_kind="inspection", subject_id=inspection.id, at=at)
    if stops:
        announce(session, InspectionStopped(household_id, inspection.id, outlet.label, tuple(stops)), at=at)
    return _view(inspection, findings, day)


def _stops(code: str) -> bool:
    return ObservationCode(code).stops_use


def close_observation(
    session: SchemeSession,
    household_id: str,
    inspection_id: str,
    position: int,
    closed_on: date,
    *,
    by: str | None,
    at: datetime,
) -> InspectionView:
    """Record the day from which a finding no longer stands; asked twice for the same day, done once.

    Raises
    ------
    NotFound, Rejected, Conflict
        Conflict where it is closed already with another date.
    """
    inspection = session.get(Inspection, (session.scheme_id, inspection_id))
    if inspection is None or inspection.household_id != household_id:
        raise NotFound("This home has no such inspection.")
    # Held: of two people who close it with different dates, the second must see the first's.
    findings = session.scalars(
        select(Observation)
        .where(Observation.inspection_id == inspection_id)
        .order_by(Observation.position)
        .with_for_update()
    ).all()
    finding = next((found for found in findings if found.position == position), None)
    if finding is None:
        raise NotFound("This inspection has no such observation.")
    day = today_of(session, household_id, at)
    check_closed_on(closed_on, inspected_on=inspection.inspected_on, on=day)
    if finding.closed_on is not None and finding.closed_on != closed_on:
        raise Conflict(f"This observation was closed on {finding.closed_on}.")
    if finding.closed_on is None:
        note_change(session, household_id, at=at)
        before = home_clearance(session, household_id, at=at)
        finding.closed_on = closed_on
        follow_record(session, household_id, before, cause=CauseKind.CLOSURE, cause_id=inspection_id, at=at)
        audit(
            session, account_id=by, action="close_observation", subject_kind="inspection", subject_id=inspection_id,
            at=at, fields=("closed_on",),
        )
    return _view(inspection, list(findings), day)


def _view(inspection: Inspection, findings: list[Observation], day: date) -> InspectionView:
    observations = tuple(
        CodedObservation(ObservationCode(found.code), found.note, found.closed_on) for found in findings
    )
    is_satisfactory = not any(found.code.stops_use and found.is_open_on(day) for found in observations)
    return InspectionView(
        inspection.id, inspection.outlet_id, inspection.inspected_on, inspection.next_due_on,
        inspection.certificate_number, inspection.electrician, is_satisfactory, observations,
    )
