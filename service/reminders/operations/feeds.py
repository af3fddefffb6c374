"""Calendars by a secret address: made, listed, revoked, and what stands in them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime
from zoneinfo import ZoneInfo

from sqlalchemy import select

from service.accounts.models import Account, Membership, Role
from service.accounts.operations import audit
from service.common.errors import Conflict, Gone, NotFound
from service.households.models import Household
from service.infrastructure.db.sessions import SchemeSession, SystemSession
from service.planning.operations.reads import current_document
from service.reminders.domain.news import CarTimes, DueItem, car_times
from service.reminders.domain.secret_addresses import hashed_feed_token, new_feed_token
from service.reminders.models import FeedAddress
from service.reminders.operations.rechecks import due_item
from service.safety.operations import list_due

FEEDS_MAX = 20
"""Own choice: calendars in force that one person may have in a scheme."""


@dataclass(frozen=True)
class FoundFeed:
    """Whose calendar an address is; enough to open a session of its scheme."""

    scheme_id: str
    id: str


@dataclass(frozen=True)
class FeedContent:
    """What stands in a calendar: due dates, or charging times; with the day on which they were asked for."""

    kind: str
    on: date
    items: tuple[DueItem, ...] = ()
    cars: tuple[CarTimes, ...] = ()


def make_feed(
    session: SchemeSession,
    kind: str,
    *,
    household_id: str | None,
    by: str,
    at: datetime,
    token: str | None = None,
) -> tuple[FeedAddress, str]:
    """Make a calendar and return it with its token, which is told this once.

    Of rechecks: of the person's own home, or of every home for an administrator without one.  A ``token`` that made
    one before is a repeated request, and gives that one again.  Raises ``Conflict`` where the person has too many,
    ``NotFound`` where a plan's is asked for without a home.
    """
    if kind == "plan" and household_id is None:
        raise NotFound("You have no home in this scheme whose plan could be shown.")
    if token is not None:
        before = session.scalar(select(FeedAddress).where(FeedAddress.token_hash == hashed_feed_token(token)))
        if before is not None:
            if before.kind != kind:
                raise Conflict("This Idempotency-Key made another kind of calendar before.")
            return before, token
    in_force = select(FeedAddress).where(FeedAddress.account_id == by, FeedAddress.revoked_at.is_(None))
    if len(session.scalars(in_force).all()) >= FEEDS_MAX:
        raise Conflict(f"You have {FEEDS_MAX} calendars already. Revoke one that you do not use.")
    token = token or new_feed_token()
    feed = FeedAddress(
        account_id=by, household_id=household_id, kind=kind, token_hash=hashed_feed_token(token), made_at=at
    )
    session.add(feed)
    session.flush()
    audit(session, account_id=by, action="make", subject_kind="feed", subject_id=feed.id, at=at)
    return feed, token


def list_feeds(session: SchemeSession, account_id: str) -> list[FeedAddress]:
    """Return a person's calendars, the newest first; their addresses are not known any more."""
    return list(
        session.scalars(
            select(FeedAddress)
            .where(FeedAddress.account_id == account_id)
            .order_by(FeedAddress.made_at.desc(), FeedAddress.id)
        )
    )


def revoke_feed(session: SchemeSession, feed_id: str, *, by: str, at: datetime) -> FeedAddress:
    """End a calendar for good; asked twice, done once.  Raises ``NotFound`` for another's."""
    feed = session.get(FeedAddress, (session.scheme_id, feed_id))
    if feed is None or feed.account_id != by:
        raise NotFound("You have no such calendar.")
    if feed.revoked_at is None:
        feed.revoked_at = at
        audit(session, account_id=by, action="revoke", subject_kind="feed", subject_id=feed_id, at=at)
    return feed


def find_feed(session: SystemSession, token: str) -> FoundFeed:
    """Return whose calendar a token opens; raises ``NotFound``."""
    hashed = hashed_feed_token(token)
    row = hashed and session.execute(
        select(FeedAddress.scheme_id, FeedAddress.id).where(FeedAddress.token_hash == hashed)
    ).first()
    if not row:
        raise NotFound("No such calendar.")
    return FoundFeed(*row)


def read_feed(session: SchemeSession, feed_id: str, *, at: datetime) -> FeedContent:
    """Return what stands in a calendar now.

    Raises
    ------
    Gone
        If it was revoked, or its person has left the home or the scheme.
    """
    feed = session.get(FeedAddress, (session.scheme_id, feed_id))
    if feed is None or feed.revoked_at is not None or not _is_theirs(session, feed):
        raise Gone("This calendar was ended. Make a new one in the app.")
    if feed.kind == "plan":
        return _plan(session, feed, at)
    due = list_due(session, until_on=date.max, household_id=feed.household_id)
    items = []
    for each in due:
        item = due_item(each.recheck, today=at.astimezone(ZoneInfo(each.zone)).date())
        items.append(item if feed.household_id else replace(item, label=f"{each.reference}: {item.label}"))
    return FeedContent(feed.kind, at.date(), tuple(items))


def _plan(session: SchemeSession, feed: FeedAddress, at: datetime) -> FeedContent:
    """Return the charging times that the plan in force shows; none at all while charging is stopped."""
    document = current_document(session, feed.household_id or "")
    return FeedContent(feed.kind, at.date(), cars=car_times(document, after=at) if document else ())


def _is_theirs(session: SchemeSession, feed: FeedAddress) -> bool:
    rows = session.execute(
        select(Membership.role, Membership.household_id)
        .join(Account, Account.id == Membership.account_id)
        .where(
            Membership.account_id == feed.account_id, Membership.ended_at.is_(None), Account.disabled_at.is_(None)
        )
    ).all()
    if feed.household_id is None:
        return any(role == Role.ADMINISTRATOR for role, _ in rows)
    is_there = session.get(Household, (session.scheme_id, feed.household_id)) is not None
    return is_there and any(household_id == feed.household_id for _, household_id in rows)
