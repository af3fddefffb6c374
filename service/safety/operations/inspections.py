"""Record what an electrician found, and that a finding was put right.

A result comes in by an electrician's link, by a safety officer who has the document, or is typed as a claim: the
source stands with it, and what counts is for clearance to say.  A correction supersedes what it corrects and never
writes over it: what was known before it can still be read.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields
from datetime import date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from sqlalchemy import select

from service.accounts.operations import audit
from service.common.errors import Conflict, Fault, NotFound, Rejected
from service.households.domain.equipment import OutletKind
from service.households.models import Outlet
from service.households.operations import get_household, note_change, note_stop
from service.infrastructure.db.sessions import SchemeSession
from service.infrastructure.outbox import announce
from service.safety.domain.events import InspectionStopped
from service.safety.domain.evidence import CodedObservation, InspectionSource, ObservationCode, ObservationReach
from service.safety.domain.inspection_answers import Failure, InspectionAnswers
from service.safety.domain.inspection_details import InspectionDetails, check_closed_on, check_not_ahead
from service.safety.models import Inspection, Observation
from service.safety.operations.changes import CauseKind, follow_record
from service.safety.operations.clearances import home_clearance
from service.safety.operations.own_home import refuse_own_home
from service.safety.operations.photos import check_photo
from service.safety.operations.rechecks import follow_inspection


@dataclass(frozen=True)
class Origin:
    """How a result came in: from whom, over which visit and link, in whose place; who asked, who received."""

    source: InspectionSource = InspectionSource.TYPED
    recorded_by: str | None = None
    visit_id: str | None = None
    link_id: str | None = None
    electrician_id: str | None = None
    asked_by: str | None = None
    received_by: str = ""
    supersedes_id: str | None = None


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
    # Readings and items that fail; and in words what an outlet of its kind needs recorded and is not.
    failures: tuple[Failure, ...]
    missing: tuple[str, ...]
    registration: str
    recorded_at: datetime
    source: str
    certificate_kind: str
    file_id: str | None
    was_tested: str
    limitation: str
    knew_use: str
    answers: dict[str, Any]
    limit_a: int | None
    limit_reason: str
    is_partial: bool
    supersedes_id: str | None
    superseded_at: datetime | None
    accepted_at: datetime | None
    acceptance_ground: str | None
    refused_at: datetime | None
    refusal_reason: str | None


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
    return view_inspections(session, inspections, on=day)


def record_inspection(
    session: SchemeSession,
    household_id: str,
    details: InspectionDetails,
    *,
    by: str | None,
    at: datetime,
    source: InspectionSource | None = None,
) -> InspectionView:
    """Record an inspection of one outlet; clearance, the next recheck and the home's standing follow at once.

    Without a stated source it is a claim (typed), unless it brings both document and answers: then it is a safety
    officer's, still to be accepted against the document.

    Raises
    ------
    NotFound, Rejected
        Rejected for an outlet or file of another home, or a date that has not come yet.
    """
    (note_stop if details.stops else note_change)(session, household_id, at=at)
    day = today_of(session, household_id, at)
    before = home_clearance(session, household_id, at=at)
    has_both = details.file_id is not None and details.answers is not None
    origin = Origin(source or (InspectionSource.OFFICER if has_both else InspectionSource.TYPED), recorded_by=by)
    inspection = write_inspection(session, household_id, details, origin, day=day, at=at)
    follow_record(session, household_id, before, cause=CauseKind.INSPECTION, cause_id=inspection.id, at=at)
    audit(session, account_id=by, action="record", subject_kind="inspection", subject_id=inspection.id, at=at)
    return view_inspections(session, [inspection], on=day)[0]


def write_inspection(
    session: SchemeSession,
    household_id: str,
    details: InspectionDetails,
    origin: Origin,
    *,
    day: date,
    at: datetime,
) -> Inspection:
    """Write a result with its findings, set the next recheck and announce a stop; the caller follows the record.

    ``day`` is the home's local date at ``at``.  Raises ``Rejected`` as ``record_inspection`` does.
    """
    check_not_ahead(details, on=day)
    outlet = session.get(Outlet, (session.scheme_id, details.outlet_id))
    if outlet is None or outlet.household_id != household_id:
        raise Rejected(Fault("outlet_id", details.outlet_id, "is not an outlet of this home"))
    check_photo(session, household_id, details.file_id, "certificate")
    inspection = Inspection(
        household_id=household_id, outlet_id=details.outlet_id, inspected_on=details.inspected_on,
        next_due_on=details.next_due_on, certificate_number=details.certificate_number,
        electrician=details.electrician, registration=details.registration, recorded_at=at,
        recorded_by=origin.recorded_by, source=origin.source.value, certificate_kind=str(details.certificate_kind),
        file_id=details.file_id, circuit_id=outlet.circuit_id, was_tested=str(details.was_tested),
        limitation=details.limitation.strip(), knew_use=str(details.knew_use),
        answers={} if details.answers is None else details.answers.to_json(), limit_a=details.limit_a,
        limit_reason=details.limit_reason, is_partial=details.is_partial, visit_id=origin.visit_id,
        link_id=origin.link_id, electrician_id=origin.electrician_id, asked_by=origin.asked_by,
        received_by=origin.received_by, supersedes_id=origin.supersedes_id,
    )
    session.add(inspection)
    session.flush()
    session.add_all(
        Observation(
            inspection_id=inspection.id, position=position, code=str(finding.code), note=finding.note,
            closed_on=finding.closed_on, closed_at=None if finding.closed_on is None else at, reach=str(finding.reach),
        )
        for position, finding in enumerate(details.observations)
    )
    session.flush()
    follow_inspection(session, inspection)
    if details.stops:
        announce(session, InspectionStopped(household_id, inspection.id, outlet.label, details.stops), at=at)
    return inspection


def supersede(session: SchemeSession, inspection_id: str, *, at: datetime) -> None:
    """Let another inspection stand in the place of this one from now on; what stood before can still be read.

    Raises
    ------
    Conflict
        If another has taken its place already.
    """
    old = session.get(Inspection, (session.scheme_id, inspection_id), with_for_update=True, populate_existing=True)
    if old is None or old.superseded_at is not None:
        raise Conflict("Another result has taken the place of this one meanwhile. Look at that one.")
    old.superseded_at = at


def supersede_earlier(session: SchemeSession, inspection: Inspection, *, at: datetime) -> None:
    """Let an accepted result take the place of all it was recorded to supersede and that still stands.

    Raises
    ------
    Conflict
        If another result took that place meanwhile.
    """
    earlier_id, is_first = inspection.supersedes_id, True
    while earlier_id is not None:
        earlier = session.get(Inspection, (session.scheme_id, earlier_id), with_for_update=True)
        if earlier is None:
            return
        if earlier.superseded_at is None:
            earlier.superseded_at = at
        elif is_first and earlier.superseded_at != inspection.recorded_at:
            raise Conflict("Another result has taken the place that this one was recorded for. Look at that one.")
        earlier_id, is_first = earlier.supersedes_id, False
    session.flush()


def stops_use(session: SchemeSession, inspection: Inspection, *, on: date) -> bool:
    """Say whether a result stops use on a day: by an open C1, C2 or FI, or by a reading that fails."""
    (view,) = view_inspections(session, [inspection], on=on)
    return bool(view.failures) or not view.is_satisfactory


def get_inspection(session: SchemeSession, household_id: str, inspection_id: str) -> Inspection:
    """Return an inspection of the home; raises ``NotFound``."""
    inspection = session.get(Inspection, (session.scheme_id, inspection_id), with_for_update=True)
    if inspection is None or inspection.household_id != household_id:
        raise NotFound("This home has no such inspection.")
    return inspection


def view_inspection(session: SchemeSession, inspection: Inspection, *, at: datetime) -> InspectionView:
    """Return an inspection with its findings as they stand on the home's local day."""
    return view_inspections(session, [inspection], on=today_of(session, inspection.household_id, at))[0]


def view_inspections(session: SchemeSession, inspections: Sequence[Inspection], *, on: date) -> list[InspectionView]:
    """Return inspections with their findings, in the order given, as they stand on a day."""
    findings = session.scalars(
        select(Observation)
        .where(Observation.inspection_id.in_([inspection.id for inspection in inspections]))
        .order_by(Observation.position)
    ).all()
    ids = sorted({inspection.outlet_id for inspection in inspections})
    kinds = dict(session.execute(select(Outlet.id, Outlet.kind).where(Outlet.id.in_(ids))).all())
    return [
        _view(row, [found for found in findings if found.inspection_id == row.id], OutletKind(kinds[row.outlet_id]), on)
        for row in inspections
    ]


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
    NotFound, OwnHousehold, Rejected, Conflict
        OwnHousehold of a home of one's own; Conflict where it is closed already with another date.
    """
    inspection = session.get(Inspection, (session.scheme_id, inspection_id))
    if inspection is None or inspection.household_id != household_id:
        raise NotFound("This home has no such inspection.")
    refuse_own_home(session, by, household_id)
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
        finding.closed_on, finding.closed_at = closed_on, at
        follow_record(session, household_id, before, cause=CauseKind.CLOSURE, cause_id=inspection_id, at=at)
        audit(
            session, account_id=by, action="close_observation", subject_kind="inspection", subject_id=inspection_id,
            at=at, fields=("closed_on",),
        )
    return view_inspections(session, [inspection], on=day)[0]


def _view(inspection: Inspection, findings: list[Observation], kind: OutletKind, day: date) -> InspectionView:
    observations = tuple(
        CodedObservation(
            ObservationCode(found.code), found.note, found.closed_on, found.closed_at, ObservationReach(found.reach)
        )
        for found in findings
    )
    failures, missing = judge(inspection, kind)
    own = {name: getattr(inspection, name) for name in _OWN}
    return InspectionView(
        is_satisfactory=not any(found.code.stops_use and found.is_open_on(day) for found in observations),
        observations=observations,
        failures=failures,
        missing=missing,
        **own,
    )


def judge(inspection: Inspection, kind: OutletKind) -> tuple[tuple[Failure, ...], tuple[str, ...]]:
    """Return what fails of a result, and in words what an outlet of a kind needs recorded and is not.

    A claim brings no answers: nothing of it is judged.
    """
    answers = InspectionAnswers.from_json(inspection.answers)
    return answers.failures(), answers.missing(kind) if inspection.answers else ()


_DERIVED = frozenset({"is_satisfactory", "observations", "failures", "missing"})
_OWN = tuple(field.name for field in fields(InspectionView) if field.name not in _DERIVED)
