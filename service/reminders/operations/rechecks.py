"""Remind members of rechecks: each step of each due date once to each person, in one message a day.

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

from service.accounts.operations import Recipient, list_administrators, list_members
from service.infrastructure.db.sessions import SchemeSession, SystemSession
from service.infrastructure.mail.queue import Postmark, Rendered, queue
from service.reminders.domain.lead_times import LONGEST_LEAD_DAYS, sending_day, steps_due
from service.reminders.domain.news import DueItem, Reader
from service.reminders.models import Reminder
from service.safety.domain.evidence import InspectionRecord, RecheckItem
from service.safety.models import Recheck
from service.safety.operations import DueRecheck, RecheckView, list_due, load_evidence

KIND = "recheck_due"
NAMELESS = {
    RecheckItem.OUTLET: "An outlet",
    RecheckItem.LEAD: "A charging lead",
    RecheckItem.CIRCUIT: "A circuit",
    RecheckItem.DEVICE: "A protective device",
}


@dataclass(frozen=True)
class _DueStep:
    """One recheck at the step it has reached on the household's local day ``today``."""

    recheck: RecheckView
    step: int
    today: date

    @property
    def key(self) -> tuple[str, date, int]:
        """What a person is told of once."""
        return self.recheck.item_id, self.recheck.due_on, self.step

    @property
    def item(self) -> DueItem:
        """What a message says of it; a device may have no label."""
        label = self.recheck.item_label or NAMELESS[RecheckItem(self.recheck.item_kind)]
        return DueItem(label, self.recheck.due_on, self.recheck.rule, (self.recheck.due_on - self.today).days)


_Told = Mapping[tuple[str, date, int], set[str]]
"""Who has been told of (item, due date, step)."""


def schemes_with_rechecks(session: SystemSession, *, at: datetime) -> list[str]:
    """Return the schemes with an open recheck that could be due for a reminder."""
    return list(
        session.scalars(
            select(Recheck.scheme_id)
            .where(Recheck.done_on.is_(None), Recheck.due_on <= _horizon(at))
            .distinct()
            .order_by(Recheck.scheme_id)
        )
    )


def households_to_remind(session: SchemeSession, *, at: datetime) -> list[str]:
    """Return the homes where some member has not been told of a step that has come, in the order of their ids."""
    steps = _steps_by_home(session, at, list_due(session, until_on=_horizon(at)))
    told = _told(session)
    return [
        household_id
        for household_id, due in sorted(steps.items())
        if any(_untold(due, told, member) for member in list_members(session, household_id))
    ]


def remind_rechecks(
    session: SchemeSession,
    household_ids: Sequence[str],
    *,
    at: datetime,
    render: Callable[[Sequence[DueItem], Reader], Rendered],
    postmark: Postmark,
) -> int:
    """Queue to each member of the homes one message of all that is due and untold; return how many are new.

    Parameters
    ----------
    household_ids : sequence of str
        The homes to look at, a few at a time: the caller commits between them.
    at : datetime
        Due-ness is judged at this instant, on each household's own calendar and not before its morning.
    """
    due = [
        each
        for household_id in household_ids
        for each in list_due(session, until_on=_horizon(at), household_id=household_id)
    ]
    told = _told(session, household_ids)
    contacts = tuple(person.name for person in list_administrators(session))
    count = 0
    for household_id, steps in sorted(_steps_by_home(session, at, due).items()):
        for member in list_members(session, household_id):
            untold = _untold(steps, told, member)
            if untold:
                message = render([step.item for step in untold], Reader(member.name, contacts))
                count += _queue_once_a_day(session, message, member, untold, at, postmark)
    return count


def _queue_once_a_day(
    session: SchemeSession,
    message: Rendered,
    member: Recipient,
    untold: Sequence[_DueStep],
    at: datetime,
    postmark: Postmark,
) -> bool:
    """Queue the member's message of the day with a row for each step; False where that message has gone out."""
    first = untold[0]
    mail = queue(
        session,
        message,
        kind=KIND,
        dedupe_key=f"{KIND}/{first.today.isoformat()}/{first.recheck.household_id}/{member.account_id}",
        recipient=member.email,
        household_id=first.recheck.household_id,
        at=at,
        postmark=postmark,
    )
    if mail is None:
        return False
    session.add_all(_row(step, member, at) for step in untold)
    return True


def _horizon(at: datetime) -> date:
    """Return the last due date that can have reached its first step anywhere on Earth."""
    return at.date() + timedelta(days=LONGEST_LEAD_DAYS + 1)


def _steps_by_home(session: SchemeSession, at: datetime, due: Sequence[DueRecheck]) -> dict[str, list[_DueStep]]:
    """Return the steps that have come in each home, the soonest due first."""
    evidence = load_evidence(session, sorted({each.recheck.household_id for each in due}))
    found: dict[str, list[_DueStep]] = defaultdict(list)
    for each in due:
        recheck, today = each.recheck, sending_day(at, ZoneInfo(each.zone))
        if today is None:
            continue
        step = steps_due(recheck.due_on, _interval_days(evidence.get(recheck.household_id, ()), recheck), today)
        if step is not None:
            found[recheck.household_id].append(_DueStep(recheck, step, today))
    return found


def _interval_days(inspections: Iterable[InspectionRecord], recheck: RecheckView) -> int | None:
    """Return the days from the inspection that set a due date to that date; None where none did."""
    set_by = [
        each.inspected_on
        for each in inspections
        if each.outlet_id == recheck.item_id and each.next_due_on == recheck.due_on
    ]
    return (recheck.due_on - max(set_by)).days if set_by else None


def _told(session: SchemeSession, household_ids: Sequence[str] | None = None) -> _Told:
    """Return who has been told of what, as far as it is still open; None: in any home of the scheme."""
    query = (
        select(Reminder.subject_id, Reminder.due_on, Reminder.step, Reminder.recipient)
        .join(Recheck, (Recheck.item_id == Reminder.subject_id) & (Recheck.due_on == Reminder.due_on))
        .where(Reminder.kind == KIND, Recheck.done_on.is_(None))
    )
    if household_ids is not None:
        query = query.where(Reminder.household_id.in_(household_ids))
    told: dict[tuple[str, date, int], set[str]] = defaultdict(set)
    for subject_id, due_on, step, recipient in session.execute(query):
        told[subject_id, due_on, step].add(recipient)
    return told


def _untold(due: Iterable[_DueStep], told: _Told, member: Recipient) -> list[_DueStep]:
    return [each for each in due if member.account_id not in told.get(each.key, ())]


def _row(due: _DueStep, member: Recipient, at: datetime) -> Reminder:
    return Reminder(
        household_id=due.recheck.household_id,
        kind=KIND,
        subject_id=due.recheck.item_id,
        due_on=due.recheck.due_on,
        step=due.step,
        recipient=member.account_id,
        created_at=at,
    )
