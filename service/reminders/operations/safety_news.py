"""Tell everybody concerned, at any hour, that charging was stopped in a home; each telling is a notice to be read."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Sequence
from datetime import datetime

from service.accounts.operations import list_administrators, list_members
from service.common.errors import NotFound
from service.households.domain.events import OutletsChanged
from service.households.models import Lead, Outlet
from service.households.operations import get_household
from service.infrastructure.db.sessions import SchemeSession
from service.infrastructure.mail.queue import Postmark, Rendered, queue
from service.reminders.domain.news import Reader, StopNews, StoppedThing
from service.reminders.domain.notice_words import for_the_home, for_the_scheme
from service.reminders.operations.notices import note_told
from service.safety.domain.events import ExtensionStopped, InspectionStopped, MadeStricter, UseStopped
from service.safety.domain.extension_use import DO_NOW as LEAVE_EXTENSION
from service.safety.domain.levels import Clearance
from service.safety.models import Override
from service.safety.operations import ReportedStop, describe_extension, describe_outlet_stop, describe_stop

KIND = "safety_stop"
STOP_NOW = ("Do not charge from it, and end a charge under way at the car.", "Cancel the car's timer.")
KEEP_TO_LIMIT = ("Set the lead or the car to this current or less before the next charge.",)
INSPECT_AGAIN = "an electrician's inspection of this outlet, made after the change"
DECIDED = {
    Clearance.DO_NOT_USE: "do not use",
    Clearance.NOT_KNOWN: "not known whether it is fit to use, so it is not to be charged from",
    Clearance.USE_WITH_LIMITS: "use with limits",
    Clearance.FIT_TO_USE: "no change",
}
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
    renders = (render_member, render_administrator)
    return _tell(session, news, name, kind="stop", at=at, renders=renders, postmark=postmark)


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
    news = StopNews(event.household_id, reference, True, seen, (stopped,), STOP_NOW)
    renders = (render_member, render_administrator)
    name = event.inspection_id
    return _tell(session, news, name, kind="inspection_stop", at=at, renders=renders, postmark=postmark)


def tell_extension_stopped(
    session: SchemeSession,
    event: ExtensionStopped,
    *,
    at: datetime,
    render_member: Render,
    render_administrator: Render,
    postmark: Postmark,
) -> int:
    """Queue one message to each member of the home and each administrator, keyed by the use that was recorded."""
    try:
        found = describe_extension(session, event.household_id, event.extension_id, at=at)
    except NotFound:
        return 0  # the home is gone
    if found is None:
        return 0
    reference, view = found
    if view.answer is None or view.answer.limit_a is not None:
        return 0  # an inspection names it meanwhile
    seen = (f"{view.row.label}, an extension lead, is used at {view.outlet_label}", *view.answer.reasons)
    things = (StoppedThing(view.outlet_label, view.answer.part.missing),)
    news = StopNews(event.household_id, reference, True, seen, things, LEAVE_EXTENSION)
    renders = (render_member, render_administrator)
    return _tell(session, news, event.extension_id, kind="stop", at=at, renders=renders, postmark=postmark)


def tell_outlets_lost(
    session: SchemeSession,
    event: OutletsChanged,
    *,
    at: datetime,
    render_member: Render,
    render_administrator: Render,
    postmark: Postmark,
) -> int:
    """Queue one message to each member of the home and each administrator, keyed by outlets and instant of the edit.

    So two edits that were saved in one go are told once. Of an outlet that could not be used before nobody is told.
    """
    try:
        stop = describe_outlet_stop(session, event.household_id, event.change_ids, event.was, now=at)
    except NotFound:
        return 0  # the home is gone
    if stop is None:
        return 0
    seen: list[str] = []
    things: list[StoppedThing] = []
    for lost in stop.outlets:
        is_stopped = lost.clearance is Clearance.DO_NOT_USE
        until = "do not use" if is_stopped else "not known until an electrician has looked; do not charge from it"
        seen += [f"{lost.label}: something that its last inspection rests on was changed: {lost.what}"]
        seen += [f"{lost.label}: {until}"]
        things += [StoppedThing(lost.label, lost.missing if is_stopped else (INSPECT_AGAIN,))]
    is_danger = any(lost.clearance is Clearance.DO_NOT_USE for lost in stop.outlets)
    news = StopNews(event.household_id, stop.reference, is_danger, tuple(seen), tuple(things), STOP_NOW)
    renders = (render_member, render_administrator)
    name = _name_of([*(lost.outlet_id for lost in stop.outlets), stop.changed_at.isoformat()])
    return _tell(session, news, name, kind="stop", at=at, renders=renders, postmark=postmark)


def tell_made_stricter(
    session: SchemeSession,
    event: MadeStricter,
    *,
    at: datetime,
    render_member: Render,
    render_administrator: Render,
    postmark: Postmark,
) -> int:
    """Queue one message to each member of the home and each administrator, keyed by the decision."""
    override = session.get(Override, (session.scheme_id, event.override_id))
    try:
        reference = get_household(session, event.household_id).reference
    except NotFound:
        return 0  # the home is gone
    if override is None or override.household_id != event.household_id or override.ended_at is not None:
        return 0
    is_danger = override.clearance == Clearance.DO_NOT_USE
    label, words = _label(session, override), DECIDED[Clearance(override.clearance or Clearance.NOT_KNOWN)]
    limit = f" {override.limit_a} A at most." if override.limit_a else ""
    seen = (f"{label}: {words}.{limit}", f"His reason: {override.reason}")
    is_limited = override.clearance == Clearance.USE_WITH_LIMITS
    do_now = KEEP_TO_LIMIT if is_limited else (*STOP_NOW, "Look at the app for what is missing.")
    things = (StoppedThing(label, ("the safety officer's ending of the decision, on new evidence",)),)
    news = StopNews(event.household_id, reference, is_danger, seen, things, do_now)
    renders = (render_member, render_administrator)
    return _tell(session, news, event.override_id, kind="override", at=at, renders=renders, postmark=postmark)


def _label(session: SchemeSession, override: Override) -> str:
    key = (session.scheme_id, override.item_id)
    item = session.get(Lead, key) if override.item_kind == "lead" else session.get(Outlet, key)
    return item.label if item is not None and item.label else f"A {override.item_kind}"


def _tell(
    session: SchemeSession,
    news: StopNews,
    name: str,
    *,
    kind: str,
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
    count = 0
    for person, render in people:
        message = render(news, Reader(person.name, contacts))
        mail = queue(
            session,
            message,
            kind=KIND,
            dedupe_key=f"{KIND}/{name}/{news.household_id}/{person.account_id}",
            recipient=person.email,
            household_id=news.household_id,
            at=at,
            postmark=postmark,
            account_id=person.account_id,
        )
        if mail is None:
            continue
        count += 1
        text = (for_the_home if person.account_id in at_home else for_the_scheme)(news)
        note_told(
            session, account_id=person.account_id, household_id=news.household_id, kind=kind,
            subject_key=f"{kind}/{name}", subject=message.subject, text=text, mail=mail, at=at,
        )
    return count


def _news(household_id: str, stop: ReportedStop) -> StopNews:
    lifts: dict[tuple[str, str, str], list[str]] = {}
    for item in stop.items:
        lifts.setdefault((item.item_kind, item.item_id, item.label), []).append(item.lifts)
    things = tuple(StoppedThing(label, tuple(each)) for (_, _, label), each in lifts.items())
    is_danger = stop.effect is Clearance.DO_NOT_USE
    return StopNews(household_id, stop.reference, is_danger, stop.seen, things, stop.do_now)


def _name_of(parts: Sequence[str]) -> str:
    """Return one short name for what is told of, whatever its order."""
    return hashlib.sha256("/".join(sorted(parts)).encode()).hexdigest()[:32]
