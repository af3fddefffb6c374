"""Tell members of a shortfall ahead on the day it becomes known, once a week for each car and cause: a tip."""

from __future__ import annotations

from collections.abc import Callable, Sequence, Set
from datetime import datetime, timedelta

from sqlalchemy import select

from service.accounts.operations import Recipient, list_administrators, list_members
from service.infrastructure.db.sessions import SchemeSession, SystemSession
from service.infrastructure.mail.queue import Mail, Postmark, Rendered, queue
from service.planning.models import CurrentPlan
from service.planning.operations.reads import get_shown_plan
from service.reminders.domain.news import ComingShortfall, Reader, coming_shortfalls
from service.reminders.domain.secret_addresses import MutedPerson
from service.reminders.operations.people import muted_accounts

KIND = "coming_shortfall"
TOLD_FOR = timedelta(days=21)
"""A key names a week within the ten days that a plan looks ahead: what was told before is no such week any more."""
NEWS_A_MESSAGE = 2
"""As many as one key of 200 characters can name."""
LOOKED_BACK = timedelta(hours=26)
"""A plan is looked at for a day and a bit after it was made: the next one tells of what it still lacks."""


def schemes_short(session: SystemSession, *, at: datetime) -> list[str]:
    """Return the schemes that have a new plan with a shortfall."""
    statement = select(CurrentPlan.scheme_id).where(CurrentPlan.short_wh > 0, CurrentPlan.planned_at > at - LOOKED_BACK)
    return sorted(session.scalars(statement.distinct()))


def homes_short(session: SchemeSession, *, at: datetime) -> list[str]:
    """Return the homes whose new plan has a shortfall that somebody was not told of, by id; reads only."""
    statement = select(CurrentPlan.id).where(CurrentPlan.short_wh > 0, CurrentPlan.planned_at > at - LOOKED_BACK)
    homes = list(session.scalars(statement.order_by(CurrentPlan.id)))
    told = _told(session, at=at)
    return [home for home in homes if any(news for _, news in _news(session, home, told, at=at))]


def tell_coming_shortfalls(
    session: SchemeSession,
    household_ids: Sequence[str],
    *,
    at: datetime,
    render: Callable[[Sequence[ComingShortfall], Reader, str], Rendered],
    mute_url_of: Callable[[MutedPerson], str],
    postmark: Postmark,
) -> int:
    """Queue one message to each member who wants tips about what is news to them; return how many are new.

    While charging is stopped nothing is said here: the safety notice says it.
    """
    contacts = tuple(person.name for person in list_administrators(session))
    told = _told(session, at=at)
    count = 0
    for household_id in household_ids:
        for member, news in _news(session, household_id, told, at=at):
            mute_url = mute_url_of(MutedPerson(session.scheme_id, member.account_id))
            for start in range(0, len(news), NEWS_A_MESSAGE):
                some = news[start : start + NEWS_A_MESSAGE]
                mail = queue(
                    session,
                    render(some, Reader(member.name, contacts), mute_url),
                    kind=KIND,
                    dedupe_key="+".join(_key(short, member.account_id) for short in some),
                    recipient=member.email,
                    household_id=household_id,
                    at=at,
                    postmark=postmark,
                    account_id=member.account_id,
                    unsubscribe_url=mute_url,
                )
                count += mail is not None
    return count


def _news(
    session: SchemeSession, household_id: str, told: Set[str], *, at: datetime
) -> list[tuple[Recipient, list[ComingShortfall]]]:
    """Return each member who wants tips, with the shortfalls that are news to them."""
    shown = get_shown_plan(session, household_id)
    shorts = () if shown.stopped_at else coming_shortfalls(shown.document, after=at)
    members = list_members(session, household_id) if shorts else ()
    muted = muted_accounts(session, [member.account_id for member in members])
    return [
        (member, [short for short in shorts if _key(short, member.account_id) not in told])
        for member in members
        if member.account_id not in muted
    ]


def _told(session: SchemeSession, *, at: datetime) -> Set[str]:
    """Return the keys of what members were told lately, in one statement."""
    keys = session.scalars(select(Mail.dedupe_key).where(Mail.kind == KIND, Mail.queued_at > at - TOLD_FOR))
    return {part for key in keys for part in key.split("+")}


def _key(short: ComingShortfall, account_id: str) -> str:
    """Return what makes it the same news: person, car, cause and the week of the first departure."""
    week = short.first_on.isocalendar()
    return f"{KIND}/{account_id[:12]}/{short.vehicle_id[:12]}/{short.cause}/{week.year}-{week.week}"
