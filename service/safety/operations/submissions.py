"""Submit an electrician's results by a link: everything that follows from them follows in one transaction.

Rows, findings and rechecks, what they supersede, acceptance where the electrician is on the list, the visit's state,
the link's end, the home's standing and the stop are one: all of it is stored, or nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from sqlalchemy import select

from service.accounts.operations import audit
from service.common.errors import Conflict, Rejected
from service.households.operations import note_change, note_stop
from service.infrastructure.db.sessions import SchemeSession
from service.safety.domain.evidence import AcceptanceGround, InspectionSource
from service.safety.domain.inspection_details import InspectionDetails
from service.safety.domain.submission import Submission
from service.safety.domain.visit_states import LinkKind
from service.safety.models import Inspection, InspectionLink, LinkedVisit
from service.safety.operations.acceptance import end_visit_if_accepted
from service.safety.operations.changes import CauseKind, follow_record
from service.safety.operations.clearances import home_clearance
from service.safety.operations.counting_links import waits_because
from service.safety.operations.inspections import (
    InspectionView,
    Origin,
    stops_use,
    supersede,
    view_inspections,
    write_inspection,
)
from service.safety.operations.link_visits import HeldVisit, hold_visit, household_of, outlets_asked
from service.safety.operations.visits import note_recorded


@dataclass(frozen=True)
class Submitted:
    """What was recorded, and how it stands: accepted at once, or waiting, and why."""

    inspections: list[InspectionView]
    is_accepted: bool
    is_partial: bool
    waits_because: str


def submit(
    session: SchemeSession, link_id: str, visit_id: str, submission: Submission, *, at: datetime
) -> Submitted:
    """Record the results of a visit that is open to the link; a whole submission spends it.

    Raises
    ------
    NotFound, Gone, NotOpenYet, Rejected, Conflict
        Conflict where another correction came first.
    """
    household_id = household_of(session, link_id, visit_id)
    # First of all the home's row, as everywhere; the visit is read after it, so that of two at once one finds it spent.
    stops = any(details.stops for details in submission.outlets)
    (note_stop if stops else note_change)(session, household_id, at=at)
    held = hold_visit(session, link_id, visit_id, at=at, is_written=True)
    submission.check_outlets(outlets_asked(session, held))
    before = home_clearance(session, household_id, at=at)
    reason = waits_because(session, held.link, household_id)
    rows = [
        _record(session, held, details, position, is_listed=not reason, at=at)
        for position, details in enumerate(submission.outlets)
    ]
    is_whole = not submission.is_partial
    note_recorded(session, held.visit, link_id=link_id, is_whole=is_whole, at=at)
    if is_whole:
        _spend(session, held, at=at)
        end_visit_if_accepted(session, held.visit, by=None, at=at)
    follow_record(session, household_id, before, cause=CauseKind.INSPECTION, cause_id=rows[0].id, at=at)
    for row in rows:
        audit(session, account_id=None, action="submit", subject_kind="inspection", subject_id=row.id, at=at)
    is_accepted = all(row.accepted_at is not None for row in rows)
    if is_whole and not reason and not is_accepted:
        reason = "the certificate itself is missing: it is accepted against its document"
    views = view_inspections(session, rows, on=at.astimezone(held.zone).date())
    return Submitted(views, is_accepted, submission.is_partial, "" if is_accepted else reason)


def _record(
    session: SchemeSession,
    held: HeldVisit,
    details: InspectionDetails,
    position: int,
    *,
    is_listed: bool,
    at: datetime,
) -> Inspection:
    """Write one outlet's result in the place of what it supersedes; accepted at once from the list's electrician."""
    replaced = _replaced(session, held, details.outlet_id)
    if details.file_id is None:
        # The document came first: it stands for the readings too.
        file_id = next((row.file_id for row in replaced if row.file_id is not None), None)
        details = replace(details, file_id=file_id)
    day = at.astimezone(held.zone).date()
    is_accepted = is_listed and not details.is_partial and details.file_id is not None
    for row in replaced:
        # What has to wait to be accepted lifts no stop: till then both stand, and the stricter counts.
        if is_accepted or not (stops_use(session, row, on=day) or _hides_another(session, row)):
            supersede(session, row.id, at=at)
    origin = Origin(
        source=InspectionSource.LINK, visit_id=held.visit.id, link_id=held.link.id,
        electrician_id=held.link.electrician_id, asked_by=held.visit.asked_by, received_by=held.link.sent_to,
        supersedes_id=replaced[-1].id if replaced else None,
    )
    try:
        inspection = write_inspection(session, held.household.id, details, origin, day=day, at=at)
    except Rejected as error:
        raise Rejected(*(fault.under(f"outlets.{position}") for fault in error.faults)) from None
    if is_accepted:
        inspection.accepted_at, inspection.acceptance_ground = at, AcceptanceGround.LISTED.value
        session.flush()
    return inspection


def _hides_another(session: SchemeSession, row: Inspection) -> bool:
    """Say whether, without an accepted result, another of its outlet would count again, which may allow more."""
    if row.accepted_at is None:
        return False
    others = select(Inspection.id).where(
        Inspection.outlet_id == row.outlet_id,
        Inspection.id != row.id,
        Inspection.accepted_at.is_not(None),
        Inspection.superseded_at.is_(None),
    )
    return session.scalars(others).first() is not None


def _replaced(session: SchemeSession, held: HeldVisit, outlet_id: str) -> Sequence[Inspection]:
    """Return what a result stands in the place of: the one it corrects, or the certificate that went in first."""
    if held.linked.corrects_id is not None:
        corrected = session.get(Inspection, (session.scheme_id, held.linked.corrects_id))
        if corrected is None or corrected.superseded_at is not None:
            raise Conflict("Another result has taken the place of the one that this link corrects. Ask the scheme.")
        return [corrected]
    return session.scalars(
        select(Inspection)
        .where(
            Inspection.visit_id == held.visit.id,
            Inspection.outlet_id == outlet_id,
            Inspection.is_partial.is_(True),
            Inspection.superseded_at.is_(None),
        )
        .order_by(Inspection.recorded_at, Inspection.id)
    ).all()


def _spend(session: SchemeSession, held: HeldVisit, *, at: datetime) -> None:
    """End the visit for this link, and for every other link that was sent for it; its draft has served."""
    held.linked.spent_at, held.linked.draft = at, {}
    if held.link.kind == LinkKind.VISIT.value:
        for other in session.scalars(
            select(LinkedVisit)
            .join(InspectionLink, InspectionLink.id == LinkedVisit.link_id)
            .where(
                LinkedVisit.visit_id == held.visit.id,
                LinkedVisit.spent_at.is_(None),
                InspectionLink.kind == LinkKind.VISIT.value,
            )
        ):
            other.spent_at, other.draft = at, {}
    session.flush()
