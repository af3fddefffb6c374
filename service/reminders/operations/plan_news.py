"""Tell each member of a home once, for one cause, that charging times moved: a tip, for who has not muted tips."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime
from zoneinfo import ZoneInfo

from service.accounts.operations import list_administrators, list_members
from service.infrastructure.db.sessions import SchemeSession
from service.infrastructure.mail.queue import Postmark, Rendered, queue
from service.planning.domain.events import PlanChanged
from service.planning.operations.reads import current_document
from service.reminders.domain.news import PlanNews, Reader, Why, car_times, has_shortfall
from service.reminders.domain.secret_addresses import MutedPerson
from service.reminders.operations.people import muted_accounts
from service.tariffs.operations import find_version

KIND = "plan_changed"
TOLD_REASONS = frozenset({"tariff_change", "prices_arrived"})
"""A member who changes a car sees the new plan at once, and a new day's plan is no news."""


def tell_plan_changed(
    session: SchemeSession,
    event: PlanChanged,
    *,
    at: datetime,
    render: Callable[[PlanNews, Reader, str], Rendered],
    mute_url_of: Callable[[MutedPerson], str],
    postmark: Postmark,
) -> int:
    """Queue one message to each member of the home who wants tips, and return how many are new.

    The times are those of the plan in force now, which may be newer than the event's.  Asked again for the same
    occasion it queues nothing: the key names occasion, home and person.
    """
    if event.reason not in TOLD_REASONS:
        return 0
    document = current_document(session, event.household_id)
    if document is None:
        return 0
    zone = ZoneInfo(document["zone"])
    news = PlanNews(
        why=Why(event.reason),
        since_on=_since(session, event),
        zone=zone,
        today=at.astimezone(zone).date(),
        cars=car_times(document, after=at),
        is_short=has_shortfall(document),
    )
    contacts = tuple(person.name for person in list_administrators(session))
    members = list_members(session, event.household_id)
    muted = muted_accounts(session, [member.account_id for member in members])
    count = 0
    for member in members:
        if member.account_id in muted:
            continue
        mute_url = mute_url_of(MutedPerson(session.scheme_id, member.account_id))
        mail = queue(
            session,
            render(news, Reader(member.name, contacts), mute_url),
            kind=KIND,
            dedupe_key=f"{KIND}/{event.occasion}/{event.household_id}/{member.account_id}",
            recipient=member.email,
            household_id=event.household_id,
            at=at,
            postmark=postmark,
            account_id=member.account_id,
            unsubscribe_url=mute_url,
        )
        count += mail is not None
    return count


def _since(session: SchemeSession, event: PlanChanged) -> date | None:
    """Return the day on which the changed tariff takes over; planning's occasion of such a change names its version."""
    if event.reason != Why.TARIFF_CHANGE.value:
        return None
    version = find_version(session, event.occasion.rpartition("/")[2])
    return version.valid_from_on if version else None
