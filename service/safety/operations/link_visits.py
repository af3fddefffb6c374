"""What the holder of a link sees and keeps: the homes of the link, each from its day on, and its draft.

Reading spends nothing, and neither does a draft: only a submission does.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from sqlalchemy import select

from service.accounts.models import Scheme
from service.common.errors import Conflict, Fault, Gone, NotFound, Rejected
from service.households.models import Household, Outlet
from service.households.operations import HomeView, get_home_view, get_household
from service.infrastructure.db.sessions import SchemeSession
from service.infrastructure.files import StoredFile
from service.safety.domain.link_rules import DRAFT_MAX_BYTES, is_open, same_mailbox
from service.safety.domain.visit_states import LinkKind, VisitState
from service.safety.models import Electrician, Inspection, InspectionLink, LinkedVisit, Visit
from service.safety.operations.inspections import InspectionView, view_inspections
from service.safety.operations.link_holder import REVOKED, SPENT
from service.safety.operations.survey import electrician_questions

OPEN_STATES = frozenset({VisitState.DATE_AGREED, VisitState.NO_ACCESS, VisitState.DONE})
NO_SUCH_VISIT = "This link has no such visit."
ELSEWHERE = "This visit was given to another electrician, or called off. Ask the scheme."


class NotOpenYet(Conflict):
    """A home of a link opens on its day."""

    title = "Not open yet"


class DraftChanged(Conflict):
    """The draft was saved elsewhere meanwhile."""

    title = "The draft was changed meanwhile"


@dataclass(frozen=True)
class OfferedVisit:
    """One home of a link: its address only from its day on."""

    visit_id: str
    reference: str
    opens_on: date
    is_open: bool
    is_spent: bool
    address: str | None
    postcode: str | None
    outlets: tuple[Outlet, ...]


@dataclass(frozen=True)
class OfferedLink:
    """A link as its holder sees it."""

    kind: str
    electrician: str
    scheme_name: str
    expires_at: datetime
    visits: tuple[OfferedVisit, ...]


@dataclass(frozen=True)
class HeldVisit:
    """A home of a link that is open now, with the rows behind it."""

    link: InspectionLink
    linked: LinkedVisit
    visit: Visit
    household: Household

    @property
    def zone(self) -> ZoneInfo:
        """The home's zone."""
        return ZoneInfo(self.household.zone)


@dataclass(frozen=True)
class VisitSheet:
    """All that the electrician's form shows of a home."""

    held: HeldVisit
    home: HomeView
    outlet_ids: tuple[str, ...]
    questions: tuple[str, ...]
    recorded: list[InspectionView]
    files: list[StoredFile]


def get_offered(session: SchemeSession, link_id: str, *, at: datetime) -> OfferedLink:
    """Return a link with its homes, by day and reference."""
    link = _link(session, link_id)
    electrician = (
        session.get(Electrician, (session.scheme_id, link.electrician_id)) if link.electrician_id is not None else None
    )
    scheme = session.get(Scheme, session.scheme_id)
    rows = session.execute(
        select(LinkedVisit, Visit, Household)
        .join(Visit, Visit.id == LinkedVisit.visit_id)
        .join(Household, Household.id == LinkedVisit.household_id)
        .where(LinkedVisit.link_id == link_id)
        .order_by(LinkedVisit.opens_on, Visit.agreed_from, Household.reference)
    ).all()
    return OfferedLink(
        link.kind,
        electrician.name if electrician else "",
        scheme.name if scheme else "",
        link.expires_at,
        tuple(_offered(session, HeldVisit(link, *row), at) for row in rows),
    )


def household_of(session: SchemeSession, link_id: str, visit_id: str) -> str:
    """Return whose home a visit of a link is; raises ``NotFound``."""
    found = session.scalar(
        select(LinkedVisit.household_id).where(LinkedVisit.link_id == link_id, LinkedVisit.visit_id == visit_id)
    )
    if found is None:
        raise NotFound(NO_SUCH_VISIT)
    return found


def hold_visit(
    session: SchemeSession, link_id: str, visit_id: str, *, at: datetime, is_written: bool = False
) -> HeldVisit:
    """Return a home of the link that is open now, its row held where something is to be written.

    Raises
    ------
    NotFound, Gone, NotOpenYet
        Gone once it was submitted, called off or given to somebody else; NotOpenYet before its day in its zone.
    """
    linked = session.scalar(
        select(LinkedVisit).where(LinkedVisit.link_id == link_id, LinkedVisit.visit_id == visit_id)
    )
    if linked is None:
        raise NotFound(NO_SUCH_VISIT)
    # The visit's row before the link's, as whoever agrees another day takes them.
    visit = session.get(Visit, (session.scheme_id, visit_id), with_for_update=is_written)
    if visit is None:
        raise NotFound(NO_SUCH_VISIT)
    if is_written:
        session.refresh(linked, with_for_update=True)
        # Last, and held: of a withdrawal and a change at once one comes first.
        session.refresh(_link(session, link_id), with_for_update=True)
    held = HeldVisit(_link(session, link_id), linked, visit, get_household(session, linked.household_id))
    if held.link.revoked_at is not None:
        raise Gone(REVOKED)
    if linked.spent_at is not None:
        raise Gone(SPENT)
    if _is_over(session, held):
        raise Gone(ELSEWHERE)
    if not _is_open(held, at):
        day = "its day" if visit.state == VisitState.ASKED.value else f"{linked.opens_on:%A} {linked.opens_on}"
        raise NotOpenYet(f"This home opens on {day}, at its own midnight.")
    return held


def get_sheet(session: SchemeSession, link_id: str, visit_id: str, *, at: datetime) -> VisitSheet:
    """Return all that the form shows of a home that is open; raises as ``hold_visit`` does."""
    held = hold_visit(session, link_id, visit_id, at=at)
    household_id = held.household.id
    recorded = session.scalars(
        select(Inspection)
        .where(Inspection.visit_id == visit_id, Inspection.superseded_at.is_(None))
        .order_by(Inspection.recorded_at, Inspection.id)
    ).all()
    if held.linked.corrects_id is not None:
        recorded = [row for row in recorded if row.id == held.linked.corrects_id]
    files = session.scalars(
        select(StoredFile)
        .where(StoredFile.household_id == household_id, StoredFile.link_id == link_id)
        .order_by(StoredFile.uploaded_at, StoredFile.id)
    ).all()
    return VisitSheet(
        held=held,
        home=get_home_view(session, household_id),
        outlet_ids=outlets_asked(session, held),
        questions=electrician_questions(session, household_id),
        recorded=view_inspections(session, recorded, on=at.astimezone(held.zone).date()),
        files=list(files),
    )


def outlets_asked(session: SchemeSession, held: HeldVisit) -> tuple[str, ...]:
    """Return the outlets that a submission must name: the visit's, or the one whose result is corrected."""
    if held.linked.corrects_id is None:
        return tuple(held.visit.outlet_ids)
    corrected = session.get(Inspection, (session.scheme_id, held.linked.corrects_id))
    return (corrected.outlet_id,) if corrected is not None else ()


def save_draft(
    session: SchemeSession, link_id: str, visit_id: str, draft: dict[str, Any], version: int, *, at: datetime
) -> LinkedVisit:
    """Keep a draft in the place of the version it was made from; the same draft sent again is kept once.

    Raises
    ------
    NotFound, Gone, NotOpenYet, Rejected, DraftChanged
    """
    size = len(json.dumps(draft))
    if size > DRAFT_MAX_BYTES:
        raise Rejected(Fault("draft", f"{size} bytes", f"must have at most {DRAFT_MAX_BYTES} bytes as JSON"))
    linked = hold_visit(session, link_id, visit_id, at=at, is_written=True).linked
    if linked.draft_version == version + 1 and linked.draft == draft:
        return linked  # sent again: the answer to the first was lost on its way
    if linked.draft_version != version:
        raise DraftChanged(
            f"The draft here is version {linked.draft_version}, yours was made from {version}. Get it, and choose."
        )
    linked.draft, linked.draft_version, linked.draft_saved_at = draft, version + 1, at
    session.flush()
    return linked


def _link(session: SchemeSession, link_id: str) -> InspectionLink:
    link = session.get(InspectionLink, (session.scheme_id, link_id))
    if link is None:
        raise NotFound("No such link.")
    return link


def _offered(session: SchemeSession, held: HeldVisit, at: datetime) -> OfferedVisit:
    is_spent = held.linked.spent_at is not None or _is_over(session, held)
    is_shown = not is_spent and _is_open(held, at)
    asked = outlets_asked(session, held)
    outlets = session.scalars(select(Outlet).where(Outlet.id.in_(asked)).order_by(Outlet.ordinal)).all()
    return OfferedVisit(
        held.visit.id, held.household.reference, held.linked.opens_on, is_shown, is_spent,
        held.household.address if is_shown else None, held.household.postcode if is_shown else None, tuple(outlets),
    )


def _is_over(session: SchemeSession, held: HeldVisit) -> bool:
    """Say whether a visit was called off, recorded otherwise, or given to another electrician than the link's."""
    state = VisitState(held.visit.state)
    if held.link.kind == LinkKind.CORRECTION.value:
        return state is VisitState.CANCELLED
    if state not in OPEN_STATES and state is not VisitState.ASKED:
        return True
    if held.visit.electrician_id != held.link.electrician_id:
        return True
    # Of two who are not on the list the visit names neither: the later link took it over.
    return held.link.electrician_id is None and _is_sent_to_another(session, held)


def _is_sent_to_another(session: SchemeSession, held: HeldVisit) -> bool:
    later = session.scalars(
        select(InspectionLink.sent_to)
        .join(LinkedVisit, LinkedVisit.link_id == InspectionLink.id)
        .where(
            LinkedVisit.visit_id == held.visit.id,
            InspectionLink.kind == LinkKind.VISIT.value,
            InspectionLink.made_at > held.link.made_at,
            InspectionLink.revoked_at.is_(None),
        )
    )
    return any(same_mailbox(sent_to) != same_mailbox(held.link.sent_to) for sent_to in later)


def _is_open(held: HeldVisit, at: datetime) -> bool:
    if held.link.kind != LinkKind.CORRECTION.value and VisitState(held.visit.state) not in OPEN_STATES:
        return False
    return is_open(held.linked.opens_on, at=at, zone=held.zone)
