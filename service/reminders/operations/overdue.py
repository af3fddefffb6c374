"""What is left undone rises: weekly to the administrators by reference, and after four weeks as a safety notice."""

from __future__ import annotations

import hashlib
from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from service.accounts.operations import Recipient, list_administrators
from service.infrastructure.db.sessions import SchemeSession
from service.infrastructure.mail.queue import Postmark, Rendered, queue
from service.reminders.domain.lead_times import (
    LONG_OVERDUE_DAYS,
    WEEK_DAYS,
    is_long_overdue,
    rises,
    sending_day,
    steps_due,
)
from service.reminders.domain.news import DueItem, OverdueHome, OverdueNews, Reader
from service.reminders.domain.notice_words import long_overdue as long_overdue_words
from service.reminders.operations.notices import note_told
from service.reminders.operations.people import members_by_home
from service.reminders.operations.rechecks import DueStep, RenderDue, Told, reminder_row, told_of
from service.safety.operations import list_due

RISEN = "recheck_overdue"
LONG = "overdue_notice"
MAIL_KIND = "safety_overdue"
HOMES_A_MESSAGE = 200
"""Own choice: what a person reads of a list; homes beyond it come in the next day's message."""

ADMINISTRATORS_ZONE = ZoneInfo("Europe/London")
"""The clock by which the day and the sending hours of administrators are read."""

RenderOverdue = Callable[[OverdueNews, Reader], Rendered]


def tell_administrators(
    session: SchemeSession, *, at: datetime, render: RenderOverdue, postmark: Postmark
) -> int:
    """Queue to each administrator one message a day of the homes where a weekly step was reached; return how many.

    The homes told before and still overdue stand in it too, so that one message holds all of them.
    """
    today = sending_day(at, ADMINISTRATORS_ZONE)
    if today is None:
        return 0
    steps = risen_steps(session, at=at)
    if not steps:
        return 0
    told, administrators = told_of(session, RISEN), list_administrators(session)
    contacts = tuple(person.name for person in administrators)
    count = 0
    for person in administrators:
        new = _next_homes(steps, told, person)
        if not new:
            continue
        mail = queue(
            session,
            render(_news(steps, new), Reader(person.name, contacts)),
            kind=RISEN,
            dedupe_key=f"{RISEN}/{today.isoformat()}/{person.account_id}",
            recipient=person.email,
            household_id=None,
            at=at,
            postmark=postmark,
            account_id=person.account_id,
        )
        if mail is not None:
            session.add_all(reminder_row(step, RISEN, person.account_id, at) for due in new.values() for step in due)
            count += 1
    return count


def is_anybody_to_tell(session: SchemeSession, *, at: datetime) -> bool:
    """Tell, reading only, whether some administrator has not been told of a home where a weekly step was reached."""
    if sending_day(at, ADMINISTRATORS_ZONE) is None:
        return False
    steps, told = risen_steps(session, at=at), told_of(session, RISEN)
    return any(_next_homes(steps, told, person) for person in list_administrators(session))


def risen_steps(session: SchemeSession, *, at: datetime) -> dict[str, list[DueStep]]:
    """Return the weekly overdue steps in each home, whatever the hour there.

    Only the administrators' own hours count: else a home whose morning comes after their message of the day would
    be left out day after day.
    """
    found: dict[str, list[DueStep]] = defaultdict(list)
    for each in list_due(session, until_on=at.date() + timedelta(days=1 - WEEK_DAYS)):
        today = at.astimezone(ZoneInfo(each.zone)).date()
        step = steps_due(each.recheck.due_on, each.recheck.interval_days, today)
        if step is not None and rises(step):
            found[each.recheck.household_id].append(DueStep(each.recheck, each.reference, step, today))
    return found


def _next_homes(
    steps: dict[str, list[DueStep]], told: Told, person: Recipient
) -> dict[str, list[DueStep]]:
    """Return the untold steps of as many homes as one message holds, the longest overdue first."""
    untold = {
        home: new
        for home, due in steps.items()
        if (new := [step for step in due if person.account_id not in told.get(step.key, ())])
    }
    longest_first = sorted(untold, key=lambda home: (-_days(steps[home]), untold[home][0].reference))
    return {home: untold[home] for home in longest_first[:HOMES_A_MESSAGE]}


def _news(steps: dict[str, list[DueStep]], new: dict[str, list[DueStep]]) -> OverdueNews:
    others = sorted((home for home in steps if home not in new), key=lambda home: (-_days(steps[home]), home))
    shown = others[: max(0, HOMES_A_MESSAGE - len(new))]
    return OverdueNews(
        tuple(_line(steps[home]) for home in new), tuple(_line(steps[home]) for home in shown),
        len(others) - len(shown),
    )


def _line(due: Sequence[DueStep]) -> OverdueHome:
    return OverdueHome(due[0].reference, len(due), _days(due))


def _days(due: Iterable[DueStep]) -> int:
    return max((step.today - step.recheck.due_on).days for step in due)


def homes_long_overdue(session: SchemeSession, *, at: datetime) -> list[str]:
    """Return the homes in which somebody has not been told that something is overdue by more than four weeks."""
    steps = _long_steps(session, at=at)
    told, members = told_of(session, LONG), members_by_home(session, list(steps))
    return sorted(
        home
        for home, due in steps.items()
        if any(_untold(due, told, person) for person in members.get(home, ()))
    )


def tell_long_overdue(
    session: SchemeSession, household_ids: Sequence[str], *, at: datetime, render: RenderDue, postmark: Postmark
) -> int:
    """Tell everybody in the homes, as of a thing that concerns safety and at any hour; return how many messages."""
    steps = _long_steps(session, at=at, household_ids=household_ids)
    told, members = told_of(session, LONG, household_ids), members_by_home(session, household_ids)
    contacts = tuple(person.name for person in list_administrators(session))
    count = 0
    for home in sorted(steps):
        for person in members.get(home, ()):
            untold = _untold(steps[home], told, person)
            if untold and _tell(session, home, person, untold, contacts, at=at, render=render, postmark=postmark):
                count += 1
    return count


def _tell(
    session: SchemeSession, home: str, person: Recipient, untold: Sequence[DueStep], contacts: tuple[str, ...], *,
    at: datetime, render: RenderDue, postmark: Postmark,
) -> bool:  # fmt: skip
    items: list[DueItem] = [step.item for step in untold]
    message = render(items, Reader(person.name, contacts))
    name = hashlib.sha256("/".join(sorted(f"{step.key}" for step in untold)).encode()).hexdigest()[:32]
    mail = queue(
        session,
        message,
        kind=MAIL_KIND,
        dedupe_key=f"{MAIL_KIND}/{name}/{home}/{person.account_id}",
        recipient=person.email,
        household_id=home,
        at=at,
        postmark=postmark,
        account_id=person.account_id,
    )
    if mail is None:
        return False
    session.add_all(reminder_row(step, LONG, person.account_id, at) for step in untold)
    note_told(
        session, account_id=person.account_id, household_id=home, kind="overdue", subject_key=f"overdue/{name}",
        subject=message.subject, text=long_overdue_words(items), mail=mail, at=at,
    )
    return True


def _untold(due: Sequence[DueStep], told: Told, person: Recipient) -> list[DueStep]:
    return [step for step in due if person.account_id not in told.get(step.key, ())]


def _long_steps(
    session: SchemeSession, *, at: datetime, household_ids: Sequence[str] | None = None
) -> dict[str, list[DueStep]]:
    """Return what is overdue by more than four weeks in each home; its step is always the same one."""
    latest = at.date() + timedelta(days=1 - LONG_OVERDUE_DAYS)
    found: dict[str, list[DueStep]] = defaultdict(list)
    for each in list_due(session, until_on=latest, household_ids=household_ids):
        today: date = at.astimezone(ZoneInfo(each.zone)).date()
        if is_long_overdue(each.recheck.due_on, today):
            found[each.recheck.household_id].append(
                DueStep(each.recheck, each.reference, -LONG_OVERDUE_DAYS, today)
            )
    return found
