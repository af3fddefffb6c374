"""Visits of electricians: asked for, agreed, moved on; every step is appended with who took it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import Any

from sqlalchemy import select

from service.accounts.models import Account
from service.accounts.operations import audit
from service.common.errors import Conflict, Fault, NotFound, Rejected
from service.households.operations import get_household, hold_household, list_outlets
from service.households.operations.stored import fill, read_details
from service.infrastructure.db.sessions import SchemeSession
from service.safety.domain.visit_details import VisitMove, VisitRequest, VisitTerms
from service.safety.domain.visit_states import AWAITED, ENDED, LinkKind, VisitState, check_move
from service.safety.models import Electrician, InspectionLink, LinkedVisit, Visit, VisitStep
from service.safety.operations.overrides import end_extensions_of

BY_LINK = "the electrician, by his link"
_ORDER = tuple(state.value for state in VisitState)


class AskedAlready(Conflict):
    """The same outlets wait for a visit already."""

    title = "Asked for already"


def get_visit(session: SchemeSession, visit_id: str, *, is_held: bool = False) -> Visit:
    """Return a visit of the scheme, held against others' changes where asked for; raises ``NotFound``."""
    visit = session.get(Visit, (session.scheme_id, visit_id), with_for_update=is_held)
    if visit is None:
        raise NotFound("No such visit.")
    return visit


@dataclass(frozen=True)
class StepView:
    """A step that a visit took, and whose it was: a name, or the electrician by his link."""

    state: str
    happened_at: datetime
    by: str
    note: str


def show_steps(session: SchemeSession, visit_id: str) -> list[StepView]:
    """Return the steps that a visit took, the oldest first."""
    found = session.scalars(select(VisitStep).where(VisitStep.visit_id == visit_id)).all()
    # Done, recorded and accepted may share an instant: then in the order in which a visit passes them.
    steps = sorted(found, key=lambda step: (step.happened_at, _ORDER.index(step.state), step.id))
    ids = {step.account_id for step in steps if step.account_id is not None}
    names = dict(session.execute(select(Account.id, Account.name).where(Account.id.in_(ids))).all())
    return [
        StepView(
            step.state, step.happened_at,
            BY_LINK if step.link_id is not None else names.get(step.account_id or "", ""), step.note,
        )
        for step in steps
    ]


def ask_visit(
    session: SchemeSession, household_id: str, request: VisitRequest, *, by: str | None, at: datetime
) -> Visit:
    """Ask for an inspection of some outlets of a home.

    Raises
    ------
    NotFound, Rejected, AskedAlready
        Rejected for an outlet of another home.
    """
    get_household(session, household_id)
    own = {outlet.id for outlet in list_outlets(session, household_id)}
    faults = [
        Fault(f"outlet_ids.{position}", outlet_id, "is not an outlet of this home")
        for position, outlet_id in enumerate(request.outlet_ids)
        if outlet_id not in own
    ]
    if faults:
        raise Rejected(*faults)
    waiting = session.scalars(
        select(Visit).where(Visit.household_id == household_id, Visit.state == VisitState.ASKED.value)
    )
    if any(set(visit.outlet_ids) & set(request.outlet_ids) for visit in waiting):
        raise AskedAlready("A visit to this outlet has been asked for already; a date is still to be agreed.")
    visit = Visit(
        household_id=household_id, outlet_ids=list(request.outlet_ids), reason=request.reason,
        state=VisitState.ASKED.value, asked_at=at, asked_by=by,
    )
    session.add(visit)
    session.flush()
    append_step(session, visit, VisitState.ASKED, at=at, by=by, note=request.reason)
    audit(session, account_id=by, action="ask", subject_kind="visit", subject_id=visit.id, at=at)
    return visit


def change_visit(
    session: SchemeSession, visit_id: str, changes: Mapping[str, Any], *, by: str | None, at: datetime
) -> Visit:
    """Agree or change who comes and when; naming a day moves the visit to "date agreed".

    Without a day, or on another than the one it was put off for, no due date is put off for it any more.

    Raises
    ------
    NotFound, Rejected
        Rejected for an electrician who is not on the list, or a visit whose day is past changing.
    """
    if "agreed_on" in changes:
        _end_what_rests_on(session, visit_id, changes["agreed_on"], by=by, at=at)
    visit = get_visit(session, visit_id, is_held=True)
    was = read_details(VisitTerms, visit)
    terms = replace(was, **changes)
    if terms.electrician_id is not None and terms.electrician_id != was.electrician_id:
        find_listed(session, terms.electrician_id)
    appointed = ("agreed_on", "agreed_from", "agreed_until")
    is_moved = any(getattr(terms, name) != getattr(was, name) for name in appointed)
    if is_moved:
        becomes = VisitState.ASKED if terms.agreed_on is None else VisitState.DATE_AGREED
        check_move(VisitState(visit.state), becomes, field="agreed_on")
    changed = fill(visit, terms)
    if is_moved:
        _move(session, visit, becomes, at=at, by=by)
        _open_links_on(session, visit)
    session.flush()
    if changed:
        audit(
            session, account_id=by, action="change", subject_kind="visit", subject_id=visit_id, at=at, fields=changed
        )
    return visit


def move_visit(
    session: SchemeSession, visit_id: str, move: VisitMove, *, by: str | None, at: datetime
) -> Visit:
    """Take one step with a visit; raises ``Rejected`` where it cannot be taken from where the visit stands.

    Called off, asked for again or without access, nobody is to come any more on the day that a due date was put off
    for: the date is what it was.
    """
    becomes = VisitState(move.state)
    if becomes in (VisitState.CANCELLED, VisitState.ASKED, VisitState.NO_ACCESS):
        _end_what_rests_on(session, visit_id, None, by=by, at=at)
    visit = get_visit(session, visit_id, is_held=True)
    check_move(VisitState(visit.state), becomes)
    if becomes is VisitState.ASKED:
        visit.agreed_on = visit.agreed_from = visit.agreed_until = None
    _move(session, visit, becomes, at=at, by=by, note=move.note)
    session.flush()
    audit(session, account_id=by, action=becomes.value, subject_kind="visit", subject_id=visit_id, at=at)
    return visit


def note_recorded(session: SchemeSession, visit: Visit, *, link_id: str, is_whole: bool, at: datetime) -> None:
    """Move a visit on by what its electrician recorded: done, and recorded once the readings are in too."""
    if VisitState(visit.state) in AWAITED - {VisitState.ASKED}:
        _move(session, visit, VisitState.DONE, at=at, link_id=link_id)
    if is_whole and visit.state == VisitState.DONE.value:
        _move(session, visit, VisitState.RECORDED, at=at, link_id=link_id)


def note_accepted(session: SchemeSession, visit: Visit, *, by: str | None, at: datetime) -> None:
    """Move a recorded visit to its end; one that has ended stays where it is."""
    if visit.state == VisitState.RECORDED.value:
        _move(session, visit, VisitState.ACCEPTED, at=at, by=by)


def find_listed(session: SchemeSession, electrician_id: str, *, field: str = "electrician_id") -> Electrician:
    """Return an electrician who is on the list now; raises ``Rejected``."""
    electrician = session.get(Electrician, (session.scheme_id, electrician_id))
    if electrician is None or electrician.unlisted_at is not None:
        raise Rejected(Fault(field, electrician_id, "is not an electrician on the scheme's list"))
    return electrician


def append_step(
    session: SchemeSession,
    visit: Visit,
    state: VisitState,
    *,
    at: datetime,
    by: str | None = None,
    link_id: str | None = None,
    note: str = "",
) -> None:
    """Append that a visit came to a state."""
    session.add(
        VisitStep(
            visit_id=visit.id, state=state.value, happened_at=at, account_id=by, link_id=link_id, note=note[:300]
        )
    )
    session.flush()


def _move(
    session: SchemeSession,
    visit: Visit,
    becomes: VisitState,
    *,
    at: datetime,
    by: str | None = None,
    link_id: str | None = None,
    note: str = "",
) -> None:
    visit.state = becomes.value
    visit.ended_at = at if becomes in ENDED else None
    append_step(session, visit, becomes, at=at, by=by, link_id=link_id, note=note)


def _end_what_rests_on(
    session: SchemeSession, visit_id: str, agreed_on: date | None, *, by: str | None, at: datetime
) -> None:
    """End the extensions of due dates for a visit that do not reach the day agreed now; None: there is none.

    The home is held first, so that none is made meanwhile.
    """
    visit = get_visit(session, visit_id)
    hold_household(session, visit.household_id)
    end_extensions_of(session, visit, agreed_on, by=by, at=at)


def _open_links_on(session: SchemeSession, visit: Visit) -> None:
    """Let the links that are out open the home on its new day."""
    if visit.agreed_on is None:
        return
    for linked in session.scalars(
        select(LinkedVisit)
        .join(InspectionLink, InspectionLink.id == LinkedVisit.link_id)
        .where(
            LinkedVisit.visit_id == visit.id,
            LinkedVisit.spent_at.is_(None),
            InspectionLink.kind == LinkKind.VISIT.value,
        )
    ):
        linked.opens_on = visit.agreed_on
