"""A safety officer's decisions: make an answer stricter, or put one due date off; and that such a decision ends."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime

from sqlalchemy import func, select

from service.accounts.operations import audit
from service.common.errors import Conflict, Fault, NotFound, Rejected
from service.households.domain.ranges import refuse
from service.households.operations import get_household, hold_household, note_change, note_stop
from service.infrastructure.db.sessions import SchemeSession
from service.infrastructure.outbox import announce
from service.safety.domain.counting import known_of, newest_counting
from service.safety.domain.events import MadeStricter
from service.safety.domain.overrides import OverrideDetails, OverrideItem, OverrideKind
from service.safety.domain.visit_states import VisitState
from service.safety.models import Override, Visit
from service.safety.operations.changes import CauseKind, follow_record
from service.safety.operations.clearances import HomeEvidence, get_home_evidence
from service.safety.operations.own_home import refuse_own_home


def list_overrides(
    session: SchemeSession, household_id: str, *, first: int, limit: int
) -> tuple[list[Override], int]:
    """Return one page of the home's overrides, the newest first, and how many there are; raises ``NotFound``."""
    get_household(session, household_id)
    wanted = select(Override).where(Override.household_id == household_id)
    total = session.scalar(select(func.count()).select_from(wanted.subquery())) or 0
    page = wanted.order_by(Override.made_at.desc(), Override.id).offset(first).limit(limit)
    return list(session.scalars(page)), total


def make_override(
    session: SchemeSession, household_id: str, details: OverrideDetails, *, by: str | None, at: datetime
) -> Override:
    """Record a safety officer's decision; it acts in this transaction, and a stricter one is told to all concerned.

    Raises
    ------
    NotFound, Rejected, OwnHousehold, Conflict
        OwnHousehold where who lives there would put a date off; stricter they may make it.
        Rejected for an item of another home, and for a due date that cannot be put off: it is not that of the
        inspection in force, has come already, or no visit is booked. Conflict where it was put off before.
    """
    is_stricter = details.kind == OverrideKind.STRICTER
    (note_stop if is_stricter else note_change)(session, household_id, at=at)
    evidence = get_home_evidence(session, household_id, at=at)
    _check_item(evidence, details)
    if not is_stricter:
        refuse_own_home(session, by, household_id)
        refuse(_extension_faults(session, evidence, details, at))
        if _was_put_off(session, details):
            raise Conflict(f"The due date {details.due_on} of this outlet was put off before; it moves only once.")
    before = evidence.clearance_at(at)
    override = Override(
        household_id=household_id, kind=details.kind, item_kind=details.item_kind, item_id=details.item_id,
        clearance=details.clearance, limit_a=details.limit_a, due_on=details.due_on, new_due_on=details.new_due_on,
        visit_id=details.visit_id, reason=details.reason, made_at=at, made_by=by,
    )
    session.add(override)
    session.flush()
    follow_record(session, household_id, before, cause=CauseKind.OVERRIDE, cause_id=override.id, at=at)
    audit(session, account_id=by, action="override", subject_kind="override", subject_id=override.id, at=at)
    if is_stricter:
        announce(session, MadeStricter(household_id, override.id), at=at)
    return override


def end_override(
    session: SchemeSession, household_id: str, override_id: str, *, by: str | None, at: datetime
) -> Override:
    """End a decision: from now on evidence alone speaks. Asked twice, done once; both instants are kept.

    Raises ``NotFound``, or ``OwnHousehold`` where who lives there would end a stricter one.
    """
    # The home's row comes first, as everywhere: a visit called off ends the extension at this very moment.
    hold_household(session, household_id)
    # Held: of two people who end it at once, the second must see the first's instant.
    override = session.get(Override, (session.scheme_id, override_id), with_for_update=True)
    if override is None or override.household_id != household_id:
        raise NotFound("This home has no such override.")
    if override.ended_at is None:
        is_extension = override.kind == OverrideKind.EXTENSION
        if not is_extension:
            refuse_own_home(session, by, household_id)
        # Without the extension a due date may have passed: what was planned on it must not be shown any more.
        (note_stop if is_extension else note_change)(session, household_id, at=at)
        before = get_home_evidence(session, household_id, at=at).clearance_at(at)
        override.ended_at, override.ended_by = at, by
        follow_record(session, household_id, before, cause=CauseKind.OVERRIDE, cause_id=override.id, at=at)
        audit(
            session, account_id=by, action="end_override", subject_kind="override", subject_id=override.id, at=at,
            fields=("ended_at",),
        )
    return override


def end_extensions_of(
    session: SchemeSession, visit: Visit, agreed_on: date | None, *, by: str | None, at: datetime
) -> None:
    """End the extensions that rest on a visit and do not reach its day; None: it is booked no longer, and none does.

    Call it before the visit's row is held: the home's row comes first, as everywhere.
    """
    resting = select(Override.id).where(
        Override.visit_id == visit.id, Override.kind == OverrideKind.EXTENSION.value, Override.ended_at.is_(None)
    )
    if agreed_on is not None:
        resting = resting.where(Override.new_due_on < agreed_on)
    for override_id in session.scalars(resting).all():
        end_override(session, visit.household_id, override_id, by=by, at=at)


def _check_item(evidence: HomeEvidence, details: OverrideDetails) -> None:
    items = evidence.home.leads if details.item_kind == OverrideItem.LEAD else evidence.home.outlets
    if details.item_id not in [item.id for item in items]:
        raise Rejected(Fault("item_id", details.item_id, f"is not a {details.item_kind} of this home"))


def _extension_faults(
    session: SchemeSession, evidence: HomeEvidence, details: OverrideDetails, at: datetime
) -> Iterator[Fault]:
    due_on, today = details.due_on, at.astimezone(evidence.zone).date()
    outlet = next(outlet for outlet in evidence.home.outlets if outlet.id == details.item_id)
    known = known_of(outlet, evidence.inspections, at=at, day=today)
    record = newest_counting(outlet, known, at=at)
    if record is None or record.next_due_on != due_on:
        rule = "is not the next due date of the inspection that counts for this outlet"
        yield Fault("due_on", due_on and due_on.isoformat(), rule)
    elif due_on <= today:
        yield Fault("due_on", due_on.isoformat(), "has come already: what has lapsed is not known, and is not put off")
    visit = session.get(Visit, (session.scheme_id, details.visit_id))
    yield from _visit_faults(visit, evidence.home.id, details, today)


def _visit_faults(
    visit: Visit | None, household_id: str, details: OverrideDetails, today: date
) -> Iterator[Fault]:
    if visit is None or visit.household_id != household_id or details.item_id not in visit.outlet_ids:
        yield Fault("visit_id", details.visit_id, "is not a visit of this home to this outlet")
    elif visit.state != VisitState.DATE_AGREED or visit.agreed_on is None or visit.agreed_on < today:
        yield Fault("visit_id", details.visit_id, "has no day agreed that is still to come")
    elif details.new_due_on is not None and visit.agreed_on > details.new_due_on:
        rule = f"must not be before the visit on {visit.agreed_on}"
        yield Fault("new_due_on", details.new_due_on.isoformat(), rule)


def _was_put_off(session: SchemeSession, details: OverrideDetails) -> bool:
    found = session.scalars(
        select(Override.id).where(
            Override.kind == OverrideKind.EXTENSION.value,
            Override.item_kind == details.item_kind,
            Override.item_id == details.item_id,
            # Neither the same date again, nor the one that it was put off to.
            (Override.due_on == details.due_on) | (Override.new_due_on == details.due_on),
        )
    ).first()
    return found is not None
