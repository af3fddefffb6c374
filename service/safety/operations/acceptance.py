"""Accept or refuse a recorded result: a safety officer of another home compares it with its document."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import select

from service.accounts.operations import audit
from service.common.errors import Conflict, Forbidden
from service.households.domain.ranges import refuse, text_within
from service.households.operations import note_change
from service.infrastructure.db.sessions import SchemeSession
from service.safety.domain.evidence import AcceptanceGround, InspectionSource
from service.safety.domain.link_rules import is_address_of_home
from service.safety.models import Inspection, InspectionLink, Visit
from service.safety.operations.changes import CauseKind, follow_record
from service.safety.operations.clearances import home_clearance
from service.safety.operations.inspections import InspectionView, get_inspection, supersede_earlier, view_inspection
from service.safety.operations.link_list import home_addresses
from service.safety.operations.own_home import OwnHousehold as OwnHousehold
from service.safety.operations.own_home import refuse_own_home
from service.safety.operations.visits import note_accepted

REASON_MAX = 500


class SameHands(Forbidden):
    """Who made a link does not accept what came in by it."""

    title = "Not by the same person"


def accept_inspection(
    session: SchemeSession, household_id: str, inspection_id: str, *, by: str, at: datetime
) -> InspectionView:
    """Accept a result against its document; asked twice, done once.

    Raises
    ------
    NotFound, OwnHousehold, SameHands, Conflict
        SameHands of who made the link that it came by; Conflict where there is no document, the readings are to come,
        it is a claim, its place was taken, or it came through a link to an address of that household.
    """
    note_change(session, household_id, at=at)
    inspection = _decided(session, household_id, inspection_id, by)
    if inspection.accepted_at is None:
        _check_acceptable(session, inspection)
        _check_hands(session, inspection, by)
        before = home_clearance(session, household_id, at=at)
        inspection.accepted_at, inspection.accepted_by = at, by
        inspection.acceptance_ground = AcceptanceGround.OFFICER.value
        session.flush()
        supersede_earlier(session, inspection, at=at)
        if inspection.visit_id is not None:
            visit = session.get(Visit, (session.scheme_id, inspection.visit_id), with_for_update=True)
            if visit is not None:
                end_visit_if_accepted(session, visit, by=by, at=at)
        follow_record(session, household_id, before, cause=CauseKind.ACCEPTANCE, cause_id=inspection_id, at=at)
        audit(session, account_id=by, action="accept", subject_kind="inspection", subject_id=inspection_id, at=at)
    return view_inspection(session, inspection, at=at)


def refuse_inspection(
    session: SchemeSession, household_id: str, inspection_id: str, reason: str, *, by: str, at: datetime
) -> InspectionView:
    """Refuse a result that waits, with a reason; what it found keeps stopping use.  Asked twice, done once.

    Raises
    ------
    NotFound, OwnHousehold, Rejected, Conflict
        Conflict where it was accepted, or refused for another reason.
    """
    refuse(text_within("reason", reason, REASON_MAX, is_required=True))
    note_change(session, household_id, at=at)
    inspection = _decided(session, household_id, inspection_id, by)
    if inspection.accepted_at is not None:
        raise Conflict("This result was accepted. Make the outlet's answer stricter by a decision of its own.")
    if inspection.refused_at is not None:
        if inspection.refusal_reason != reason:
            raise Conflict("This result was refused already, for another reason.")
        return view_inspection(session, inspection, at=at)
    before = home_clearance(session, household_id, at=at)
    inspection.refused_at, inspection.refused_by, inspection.refusal_reason = at, by, reason
    session.flush()
    follow_record(session, household_id, before, cause=CauseKind.REFUSAL, cause_id=inspection_id, at=at)
    audit(
        session, account_id=by, action="refuse", subject_kind="inspection", subject_id=inspection_id, at=at,
        fields=("refusal_reason",),
    )
    return view_inspection(session, inspection, at=at)


def end_visit_if_accepted(session: SchemeSession, visit: Visit, *, by: str | None, at: datetime) -> None:
    """End a recorded visit once everything that was recorded at it, as it stands now, is accepted."""
    current = session.scalars(
        select(Inspection).where(Inspection.visit_id == visit.id, Inspection.superseded_at.is_(None))
    ).all()
    if current and all(row.accepted_at is not None for row in current):
        note_accepted(session, visit, by=by, at=at)


def _decided(session: SchemeSession, household_id: str, inspection_id: str, by: str) -> Inspection:
    inspection = get_inspection(session, household_id, inspection_id)
    refuse_own_home(session, by, household_id)
    return inspection


def _check_hands(session: SchemeSession, inspection: Inspection, by: str) -> None:
    link = session.get(InspectionLink, (session.scheme_id, inspection.link_id)) if inspection.link_id else None
    if link is not None and link.made_by == by:
        raise SameHands("You made the link that this came by. Another safety officer compares it with the document.")


def _check_acceptable(session: SchemeSession, inspection: Inspection) -> None:
    if inspection.source not in (InspectionSource.LINK.value, InspectionSource.OFFICER.value):
        raise Conflict("This date was typed or imported: a claim. Record the result with its document instead.")
    if inspection.superseded_at is not None:
        raise Conflict("Another result has taken the place of this one. Look at that one.")
    if inspection.refused_at is not None:
        raise Conflict("This result was refused. Have it corrected, or ask for another visit.")
    if inspection.is_partial:
        raise Conflict("The readings are still to come; they are accepted together with the certificate.")
    if inspection.file_id is None:
        raise Conflict("There is no document to compare it with. Ask the electrician for the certificate.")
    if is_address_of_home(inspection.received_by, home_addresses(session, inspection.household_id)):
        raise Conflict(
            "It came through a link to an address of this household, and never counts. Record the result yourself with "
            "its document, or send the electrician a link of their own."
        )
