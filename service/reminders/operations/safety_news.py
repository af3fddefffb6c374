"""Tell everybody concerned, at any hour, that charging was stopped in a home."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Sequence
from datetime import datetime

from service.accounts.operations import list_administrators, list_members
from service.common.errors import NotFound
from service.households.operations import get_household
from service.infrastructure.db.sessions import SchemeSession
from service.infrastructure.mail.queue import Postmark, Rendered, queue
from service.reminders.domain.news import Reader, StopNews, StoppedThing
from service.safety.domain.events import InspectionStopped, UseStopped
from service.safety.domain.levels import Clearance
from service.safety.operations import ReportedStop, describe_stop

KIND = "safety_stop"
Render = Callable[[StopNews, Reader], Rendered]


def tell_use_stopped(
    session: SchemeSession,
    event: UseStopped,
    *,
    at: datetime,
    render_member: Render,
    render_administrator: Render,
    postmark: Postmark,
) -> int:
    """Queue one message to each member of the home and each administrator; return how many are new.

    Who is both reads the member's.  No hour is too early, and asked again for the same reports it queues nothing:
    the key names home, reports and person.  Reports withdrawn before anybody was told are left out.
    """
    try:
        stop = describe_stop(session, event.household_id, event.report_ids, at=at)
    except NotFound:
        return 0  # the home is gone
    if stop is None:
        return 0
    news, name = _news(event.household_id, stop), _name_of(event.report_ids)
    return _tell(session, news, name, at=at, renders=(render_member, render_administrator), postmark=postmark)


def tell_inspection_stopped(
    session: SchemeSession,
    event: InspectionStopped,
    *,
    at: datetime,
    render_member: Render,
    render_administrator: Render,
    postmark: Postmark,
) -> int:
    """Queue one message to each member of the home and each administrator, keyed by the inspection."""
    try:
        reference = get_household(session, event.household_id).reference
    except NotFound:
        return 0  # the home is gone
    codes = ", ".join(event.codes)
    stopped = StoppedThing(event.outlet_label, (f"the work on {codes} is done and the date is recorded",))
    seen = (f"an inspection found {codes}: dangerous, possibly dangerous, or to be looked into without delay",)
    do_now = ("Do not charge from it, and end a charge under way at the car.", "Cancel the car's timer.")
    news = StopNews(event.household_id, reference, True, seen, (stopped,), do_now)
    renders = (render_member, render_administrator)
    return _tell(session, news, event.inspection_id, at=at, renders=renders, postmark=postmark)


def _tell(
    session: SchemeSession,
    news: StopNews,
    name: str,
    *,
    at: datetime,
    renders: tuple[Render, Render],
    postmark: Postmark,
) -> int:
    """Queue the news once to each person; who is both member and administrator reads the member's words."""
    members, administrators = list_members(session, news.household_id), list_administrators(session)
    contacts = tuple(person.name for person in administrators)
    at_home = {member.account_id for member in members}
    people = [(member, renders[0]) for member in members]
    people += [(person, renders[1]) for person in administrators if person.account_id not in at_home]
    queued = [
        queue(
            session,
            render(news, Reader(person.name, contacts)),
            kind=KIND,
            dedupe_key=f"{KIND}/{name}/{news.household_id}/{person.account_id}",
            recipient=person.email,
            household_id=news.household_id,
            at=at,
            postmark=postmark,
        )
        for person, render in people
    ]
    return sum(mail is not None for mail in queued)


def _news(household_id: str, stop: ReportedStop) -> StopNews:
    lifts: dict[tuple[str, str, str], list[str]] = {}
    for item in stop.items:
        lifts.setdefault((item.item_kind, item.item_id, item.label), []).append(item.lifts)
    things = tuple(StoppedThing(label, tuple(each)) for (_, _, label), each in lifts.items())
    is_danger = stop.effect is Clearance.DO_NOT_USE
    return StopNews(household_id, stop.reference, is_danger, stop.seen, things, stop.do_now)


def _name_of(report_ids: Sequence[str]) -> str:
    """Return one short name for a set of reports, whatever their order."""
    return hashlib.sha256("/".join(sorted(report_ids)).encode()).hexdigest()[:32]
