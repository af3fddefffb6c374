"""Remind members of rechecks: each step of each due date once to each person, in one message a person and day.

A step is found by its row, a day's message by its key, so it does not matter how often the clock asks.  What
falls due after a person's message of the day went out waits for the next morning.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from sqlalchemy import select

from service.accounts.operations import Recipient, list_administrators
from service.infrastructure.db.sessions import SchemeSession, SystemSession
from service.infrastructure.mail.queue import Postmark, Rendered, queue
from service.reminders.domain.lead_times import LONGEST_LEAD_DAYS, sending_day, steps_due
from service.reminders.domain.news import DueItem, Reader
from service.reminders.models import Reminder
from service.reminders.operations.people import members_by_home
from service.safety.domain.evidence import RecheckItem
from service.safety.domain.rechecks import Task
from service.safety.models import Recheck
from service.safety.operations import DueRecheck, RecheckView, list_due

KIND = "recheck_due"
NAMELESS = {
    RecheckItem.OUTLET: "An outlet",
    RecheckItem.LEAD: "A charging lead",
    RecheckItem.CIRCUIT: "A circuit",
    RecheckItem.DEVICE: "A protective device",
}
ACTS = {Task.CHECK: "/check", Task.INSPECTION: "/outlets", Task.REMEDY: "/outlets"}
RenderDue = Callable[[Sequence[DueItem], Reader], Rendered]


@dataclass(frozen=True)
class DueStep:
    """One recheck at the step it has reached on the household's local day ``today``."""

    recheck: RecheckView
    reference: str
    step: int
    today: date

    @property
    def key(self) -> tuple[str, date, int]:
        """What a person is told of once."""
        return self.recheck.item_id, self.recheck.due_on, self.step

    @property
    def item(self) -> DueItem:
        """What a message says of it."""
        return due_item(self.recheck, today=self.today)


Told = Mapping[tuple[str, date, int], set[str]]
"""Who has been told of (item, due date, step)."""


def due_item(recheck: RecheckView, *, today: date) -> DueItem:
    """Return what a message or calendar says of a recheck; a device may have no label."""
    label = recheck.item_label or NAMELESS[RecheckItem(recheck.item_kind)]
    rule = f"{recheck.rule} ({recheck.source})" if recheck.source else recheck.rule
    return DueItem(
        label, recheck.due_on, rule, (recheck.due_on - today).days, ACTS.get(recheck.task, "/reminders"), recheck.id,
        recheck.is_claimed,
    )


def schemes_with_rechecks(session: SystemSession, *, at: datetime) -> list[str]:
    """Return the schemes with an open recheck that could be due for a reminder."""
    return list(
        session.scalars(
            select(Recheck.scheme_id)
            .where(Recheck.done_on.is_(None), Recheck.due_on <= horizon(at))
            .distinct()
            .order_by(Recheck.scheme_id)
        )
    )


def people_to_remind(session: SchemeSession, *, at: datetime) -> list[str]:
    """Return the accounts of members who have not been told of a step that has come, in order."""
    steps = steps_by_home(list_due(session, until_on=horizon(at)), at=at)
    untold = _untold_by_person(steps, told_of(session, KIND), members_by_home(session, list(steps)))
    return sorted(person.account_id for person in untold)


def remind_rechecks(
    session: SchemeSession,
    account_ids: Sequence[str],
    *,
    at: datetime,
    render: RenderDue,
    postmark: Postmark,
) -> int:
    """Queue to each of these members one message of all that is due and untold; return how many are new.

    Parameters
    ----------
    account_ids : sequence of str
        The people to look at, a few at a time: the caller commits between them.
    at : datetime
        Due-ness is judged at this instant, on each household's own calendar and in its sending hours.
    """
    members = members_by_home(session, account_ids=account_ids)
    homes = sorted(members)
    steps = steps_by_home(list_due(session, until_on=horizon(at), household_ids=homes), at=at)
    untold = _untold_by_person(steps, told_of(session, KIND, homes), members)
    contacts = tuple(person.name for person in list_administrators(session))
    count = 0
    for person in sorted(untold, key=lambda person: person.account_id):
        due = untold[person]
        message = render([step.item for step in due], Reader(person.name, contacts))
        count += _queue_once_a_day(session, message, person, due, at, postmark)
    return count


def _queue_once_a_day(
    session: SchemeSession, message: Rendered, member: Recipient, untold: Sequence[DueStep], at: datetime,
    postmark: Postmark,
) -> bool:  # fmt: skip
    """Queue the member's message of the day with a row for each step; False where that message has gone out."""
    homes = {step.recheck.household_id for step in untold}
    mail = queue(
        session,
        message,
        kind=KIND,
        dedupe_key=day_key(untold[0].today, member.account_id),
        recipient=member.email,
        household_id=homes.pop() if len(homes) == 1 else None,
        at=at,
        postmark=postmark,
        account_id=member.account_id,
    )
    if mail is None:
        return False
    session.add_all(reminder_row(step, KIND, member.account_id, at) for step in untold)
    return True


def day_key(day: date, account_id: str) -> str:
    """Return the key of a person's message of the day about rechecks, whoever asked for it."""
    return f"{KIND}/{day.isoformat()}/{account_id}"


def horizon(at: datetime) -> date:
    """Return the last due date that can have reached its first step anywhere on Earth."""
    return at.date() + timedelta(days=LONGEST_LEAD_DAYS + 1)


def steps_by_home(due: Iterable[DueRecheck], *, at: datetime) -> dict[str, list[DueStep]]:
    """Return the steps that have come in each home that is in its sending hours, the soonest due first."""
    found: dict[str, list[DueStep]] = defaultdict(list)
    for each in due:
        recheck, today = each.recheck, sending_day(at, ZoneInfo(each.zone))
        if today is None:
            continue
        step = steps_due(recheck.due_on, recheck.interval_days, today)
        if step is not None:
            found[recheck.household_id].append(DueStep(recheck, each.reference, step, today))
    return found


def told_of(session: SchemeSession, kind: str, household_ids: Sequence[str] | None = None) -> Told:
    """Return who has been told of what, as far as it is still open; None: in any home of the scheme."""
    query = (
        select(Reminder.subject_id, Reminder.due_on, Reminder.step, Reminder.recipient)
        .join(Recheck, (Recheck.item_id == Reminder.subject_id) & (Recheck.due_on == Reminder.due_on))
        .where(Reminder.kind == kind, Recheck.done_on.is_(None))
    )
    if household_ids is not None:
        query = query.where(Reminder.household_id.in_(household_ids))
    told: dict[tuple[str, date, int], set[str]] = defaultdict(set)
    for subject_id, due_on, step, recipient in session.execute(query):
        told[subject_id, due_on, step].add(recipient)
    return told


def _untold_by_person(
    steps: Mapping[str, Sequence[DueStep]], told: Told, members: Mapping[str, Sequence[Recipient]]
) -> dict[Recipient, list[DueStep]]:
    """Return what each person has still to be told, the soonest due first."""
    found: dict[Recipient, list[DueStep]] = defaultdict(list)
    for household_id, people in members.items():
        for each in steps.get(household_id, ()):
            for person in people:
                if person.account_id not in told.get(each.key, ()):
                    found[person].append(each)
    for due in found.values():
        due.sort(key=lambda each: (each.recheck.due_on, each.recheck.id))
    return found


def reminder_row(due: DueStep, kind: str, account_id: str, at: datetime) -> Reminder:
    """Return the row that says this person was told of this step."""
    return Reminder(
        household_id=due.recheck.household_id,
        kind=kind,
        subject_id=due.recheck.item_id,
        due_on=due.recheck.due_on,
        step=due.step,
        recipient=account_id,
        created_at=at,
    )
