"""Safety notices: who was told of what, who read it, and which rise to the duty contacts by telephone."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from sqlalchemy import func, or_, select

from service.accounts.models import Account, Membership
from service.accounts.operations import audit, list_administrators
from service.common.errors import Conflict, NotFound
from service.households.models import Household
from service.infrastructure.db.sessions import SchemeSession, SystemSession
from service.infrastructure.mail.queue import Mail, Postmark, Rendered, queue
from service.reminders.domain.news import Reader, UnreadNotice
from service.reminders.models import SafetyNotice
from service.reminders.operations.people import duty_contacts

READ_WITHIN = timedelta(hours=24)
"""Own choice: unread for longer than this, somebody is rung."""

UNREAD, NOT_ARRIVED = "unread for 24 hours", "the mail did not arrive"
FAILED = ("refused", "given_up")
RING_KIND = "safety_ring"
BATCH = 50
RenderRing = Callable[[Sequence[UnreadNotice], Reader], Rendered]


@dataclass(frozen=True)
class RaisedNotice:
    """One line of the list of whom to ring: who, of which home, what they were told, and who rang."""

    id: str
    household_id: str
    reference: str
    person: str
    telephone: str
    kind: str
    subject: str
    text: str
    told_at: datetime
    read_at: datetime | None
    raised_at: datetime
    raised_why: str
    rung_at: datetime | None
    rung_by_name: str | None
    rung_note: str


def note_told(
    session: SchemeSession, *, account_id: str, household_id: str, kind: str, subject_key: str, subject: str,
    text: str, mail: Mail | None, at: datetime,
) -> bool:  # fmt: skip
    """Keep that a person was told of a thing, once; return whether it is new."""
    found = session.scalar(
        select(SafetyNotice.id).where(
            SafetyNotice.account_id == account_id, SafetyNotice.subject_key == subject_key
        )
    )
    if found is not None:
        return False
    session.flush()  # the mail's id
    session.add(
        SafetyNotice(
            account_id=account_id, household_id=household_id, kind=kind, subject_key=subject_key, subject=subject,
            text=text, mail_id=mail.id if mail else None, told_at=at,
        )
    )
    return True


def list_notices(
    session: SchemeSession, account_id: str, *, is_unread: bool | None, first: int, limit: int
) -> tuple[list[SafetyNotice], int]:
    """Return one page of a person's own notices, the newest first, and how many there are."""
    query = select(SafetyNotice).where(SafetyNotice.account_id == account_id)
    if is_unread is not None:
        query = query.where(SafetyNotice.read_at.is_(None) if is_unread else SafetyNotice.read_at.is_not(None))
    total = session.scalar(select(func.count()).select_from(query.subquery())) or 0
    page = query.order_by(SafetyNotice.told_at.desc(), SafetyNotice.id).offset(first).limit(limit)
    return list(session.scalars(page)), total


def read_notice(session: SchemeSession, notice_id: str, *, by: str, at: datetime) -> SafetyNotice:
    """Keep when a person first read their notice; raises ``NotFound`` for another's."""
    notice = session.get(SafetyNotice, (session.scheme_id, notice_id), with_for_update=True)
    if notice is None or notice.account_id != by:
        raise NotFound("You have no such notice.")
    if notice.read_at is None:
        notice.read_at = at
        audit(session, account_id=by, action="read", subject_kind="safety_notice", subject_id=notice_id, at=at)
    return notice


def schemes_to_raise_in(session: SystemSession, *, at: datetime) -> list[str]:
    """Return the schemes with a notice that must rise to the duty contacts."""
    query = select(SafetyNotice.scheme_id).outerjoin(
        Mail, (Mail.scheme_id == SafetyNotice.scheme_id) & (Mail.id == SafetyNotice.mail_id)
    )
    return list(session.scalars(query.where(*_must_rise(at)).distinct().order_by(SafetyNotice.scheme_id)))


def raise_unread(session: SchemeSession, *, at: datetime, render: RenderRing, postmark: Postmark) -> int:
    """Raise a batch of notices that went unread, or whose mail did not arrive; return how many.

    Two workers at once take different notices: the rows are held until the messages are queued with them.
    """
    query = (
        select(SafetyNotice, Household.reference)
        .join(Household, (Household.scheme_id == SafetyNotice.scheme_id) & (Household.id == SafetyNotice.household_id))
        .outerjoin(Mail, (Mail.scheme_id == SafetyNotice.scheme_id) & (Mail.id == SafetyNotice.mail_id))
        .where(*_must_rise(at))
        .order_by(SafetyNotice.told_at, SafetyNotice.id)
        .limit(BATCH)
        .with_for_update(of=SafetyNotice, skip_locked=True)
    )
    rows = [(row[0], row[1]) for row in session.execute(query)]
    for notice, _ in rows:
        notice.raised_at, notice.raised_why = at, UNREAD if notice.told_at <= at - READ_WITHIN else NOT_ARRIVED
    if rows:
        _ask_to_ring(session, rows, at=at, render=render, postmark=postmark)
    return len(rows)


def _must_rise(at: datetime) -> tuple[Any, ...]:
    has_failed = or_(Mail.status.in_(FAILED), Mail.bounced_at.is_not(None))
    return (
        SafetyNotice.read_at.is_(None),
        SafetyNotice.raised_at.is_(None),
        or_(SafetyNotice.told_at <= at - READ_WITHIN, has_failed),
        # Who has left is not rung.
        or_(Mail.id.is_(None), Mail.status != "suppressed"),
    )


def _ask_to_ring(
    session: SchemeSession, rows: Sequence[tuple[SafetyNotice, str]], *, at: datetime, render: RenderRing,
    postmark: Postmark,
) -> None:  # fmt: skip
    """Queue to each duty contact one message that names the homes by reference."""
    unread = [
        UnreadNotice(reference, notice.subject, notice.told_at, notice.raised_why or "") for notice, reference in rows
    ]
    name = hashlib.sha256("/".join(sorted(notice.id for notice, _ in rows)).encode()).hexdigest()[:32]
    contacts = tuple(person.name for person in list_administrators(session))
    for person in duty_contacts(session):
        queue(
            session,
            render(unread, Reader(person.name, contacts)),
            kind=RING_KIND,
            dedupe_key=f"{RING_KIND}/{name}/{person.account_id}",
            recipient=person.email,
            household_id=None,
            at=at,
            postmark=postmark,
            account_id=person.account_id,
        )


def list_raised(
    session: SchemeSession, *, is_rung: bool | None, first: int, limit: int
) -> tuple[list[RaisedNotice], int]:
    """Return one page of the notices that rose, those told longest ago first, and how many there are.

    A notice that was read before anybody rang is not among those to ring.
    """
    query = (
        select(SafetyNotice, Household.reference, Account.name)
        .join(Household, (Household.scheme_id == SafetyNotice.scheme_id) & (Household.id == SafetyNotice.household_id))
        .join(Account, Account.id == SafetyNotice.account_id)
        .where(SafetyNotice.raised_at.is_not(None))
    )
    if is_rung is True:
        query = query.where(or_(SafetyNotice.rung_at.is_not(None), SafetyNotice.read_at.is_not(None)))
    elif is_rung is False:
        query = query.where(SafetyNotice.rung_at.is_(None), SafetyNotice.read_at.is_(None))
    total = session.scalar(select(func.count()).select_from(query.with_only_columns(SafetyNotice.id).subquery())) or 0
    page = query.order_by(SafetyNotice.told_at, SafetyNotice.id).offset(first).limit(limit)
    return _raised(session, [(row[0], row[1], row[2]) for row in session.execute(page)]), total


def get_raised(session: SchemeSession, notice_id: str) -> RaisedNotice:
    """Return one notice that rose; raises ``NotFound``."""
    row = session.execute(
        select(SafetyNotice, Household.reference, Account.name)
        .join(Household, (Household.scheme_id == SafetyNotice.scheme_id) & (Household.id == SafetyNotice.household_id))
        .join(Account, Account.id == SafetyNotice.account_id)
        .where(SafetyNotice.id == notice_id, SafetyNotice.raised_at.is_not(None))
    ).first()
    if row is None:
        raise NotFound("No such notice waits for a call.")
    return _raised(session, [(row[0], row[1], row[2])])[0]


def _raised(session: SchemeSession, rows: Sequence[tuple[SafetyNotice, str, str]]) -> list[RaisedNotice]:
    accounts = [notice.account_id for notice, _, _ in rows]
    known = session.execute(
        select(Membership.account_id, Membership.telephone)
        .where(Membership.account_id.in_(accounts), Membership.telephone != "")
        .order_by(Membership.since_at)
    )
    numbers: dict[str, str] = {row[0]: row[1] for row in known}
    callers = [notice.rung_by for notice, _, _ in rows if notice.rung_by]
    named = session.execute(select(Account.id, Account.name).where(Account.id.in_(callers)))
    names: dict[str, str] = {row[0]: row[1] for row in named}
    return [
        RaisedNotice(
            notice.id, notice.household_id, reference, person, numbers.get(notice.account_id, ""), notice.kind,
            notice.subject, notice.text, notice.told_at, notice.read_at, notice.raised_at or notice.told_at,
            notice.raised_why or "", notice.rung_at, names.get(notice.rung_by or ""), notice.rung_note,
        )
        for notice, reference, person in rows
    ]


def ring_notice(session: SchemeSession, notice_id: str, note: str, *, by: str, at: datetime) -> RaisedNotice:
    """Keep that a duty contact rang, and what came of it; asked twice by one person, done once.

    Raises
    ------
    NotFound, Conflict
        Conflict where somebody else has rung already.
    """
    notice = session.get(SafetyNotice, (session.scheme_id, notice_id), with_for_update=True)
    if notice is None or notice.raised_at is None:
        raise NotFound("No such notice waits for a call.")
    if notice.rung_at is not None and (notice.rung_by, notice.rung_note) != (by, note):
        raise Conflict("Somebody has rung already; the list shows who, and what came of it.")
    if notice.rung_at is None:
        notice.rung_at, notice.rung_by, notice.rung_note = at, by, note
        audit(session, account_id=by, action="ring", subject_kind="safety_notice", subject_id=notice_id, at=at)
    return get_raised(session, notice_id)
