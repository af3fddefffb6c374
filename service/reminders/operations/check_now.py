"""Ask the members of chosen homes for the check now: a person at the desk decides, once a person and day.

It is the person's message of the day, with the key of the reminders that the clock asks for: whoever was reminded
today is not written to again, and what this message tells is not told once more.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from enum import StrEnum
from zoneinfo import ZoneInfo

from sqlalchemy import select
from sqlalchemy.exc import IntegrityError

from service.accounts.operations import Recipient, list_administrators
from service.households.domain.homes import LeadInputs, OutletInputs
from service.households.models import Household
from service.households.operations.planning_inputs import load_homes
from service.infrastructure.db.sessions import SchemeSession
from service.infrastructure.mail.queue import Postmark, Rendered, queue
from service.reminders.domain.lead_times import ASKED_WITHIN_DAYS, next_sending, steps_due
from service.reminders.domain.news import AskedCheck, Reader
from service.reminders.models import Reminder
from service.reminders.operations.people import members_by_home
from service.reminders.operations.rechecks import KIND as REMINDED
from service.reminders.operations.rechecks import DueStep, day_key, due_item, horizon, reminder_row, told_of
from service.safety.domain.clearance import OutletClearance
from service.safety.domain.lead_clearance import LeadClearance
from service.safety.domain.levels import Clearance
from service.safety.domain.needs import Need
from service.safety.domain.rechecks import Task
from service.safety.operations import DueRecheck, list_due
from service.safety.operations.clearances import HomeEvidence, load_home_evidence

KIND = "check_asked"
RenderAsked = Callable[[AskedCheck, Reader], Rendered]


class WhyNot(StrEnum):
    """Why somebody, or a home, was not written to."""

    NOBODY = "nobody"
    STOPPED = "stopped"
    NOTHING_DUE = "nothing_due"
    MAILED_TODAY = "mailed_today"


@dataclass(frozen=True, slots=True)
class AskedPerson:
    """What became of a person of a chosen home; ``name`` is None where the home has nobody to write to.

    ``goes_out_at`` is None where nothing does; it is later than now outside the home's sending hours.
    """

    household_id: str
    reference: str
    name: str | None
    why_not: WhyNot | None
    goes_out_at: datetime | None = None


@dataclass
class _Home:
    """One chosen home: what is due, what lacks a check, and what charging is stopped from."""

    id: str
    reference: str
    goes_out_at: datetime
    today: date
    due: list[DueRecheck] = field(default_factory=list)
    without: list[str] = field(default_factory=list)
    stopped: set[str] = field(default_factory=set)
    dated: set[str] = field(default_factory=set)

    @property
    def why_not(self) -> WhyNot | None:
        """Tell why nobody of this home is asked, whoever they are."""
        if self.without or self.dated:
            return None
        return WhyNot.STOPPED if self.stopped else WhyNot.NOTHING_DUE


def ask_for_checks(
    session: SchemeSession,
    household_ids: Sequence[str],
    *,
    at: datetime,
    render: RenderAsked,
    postmark: Postmark,
) -> list[AskedPerson]:
    """Queue to each member of these homes one message that asks for the check; return what became of each.

    A check is asked for where one falls due within ``ASKED_WITHIN_DAYS`` or where none counts; never of what is
    stopped: nobody is sent to touch what was reported.  Asked again on a day it queues nothing.
    """
    homes = _homes(session, household_ids, at)
    members = members_by_home(session, list(homes))
    told = told_of(session, REMINDED, list(homes))
    contacts = tuple(person.name for person in list_administrators(session))
    outcomes = [
        AskedPerson(home.id, home.reference, None, WhyNot.NOBODY) for home in homes.values() if home.id not in members
    ]
    for person, own in _by_person(homes, members).items():
        asked = [home for home in own if home.why_not is None]
        outcomes += [AskedPerson(home.id, home.reference, person.name, home.why_not) for home in own if home.why_not]
        if not asked:
            continue
        message = render(_asked_check(asked), Reader(person.name, contacts))
        is_new = _queue_once_a_day(session, message, person, asked, _rows(asked, told, person, at), at, postmark)
        why_not, goes_out_at = (None, asked[0].goes_out_at) if is_new else (WhyNot.MAILED_TODAY, None)
        outcomes += [AskedPerson(home.id, home.reference, person.name, why_not, goes_out_at) for home in asked]
    return sorted(outcomes, key=lambda one: (one.reference, one.name or ""))


def _queue_once_a_day(
    session: SchemeSession, message: Rendered, person: Recipient, homes: Sequence[_Home], rows: Sequence[Reminder],
    at: datetime, postmark: Postmark,
) -> bool:  # fmt: skip
    """Queue the person's message of the day with the rows of what it tells; False where that message is queued."""
    goes_out_at = homes[0].goes_out_at
    try:
        with session.begin_nested():
            mail = queue(
                session,
                message,
                kind=KIND,
                dedupe_key=day_key(homes[0].today, person.account_id),
                recipient=person.email,
                household_id=homes[0].id if len(homes) == 1 else None,
                at=at,
                postmark=postmark,
                account_id=person.account_id,
            )
            if mail is not None and goes_out_at > at:
                mail.not_before_ms = int(goes_out_at.timestamp() * 1000)
            if mail is not None:
                session.add_all(rows)
    except IntegrityError:
        return False  # the clock asked for it at this very moment
    return mail is not None


def _homes(session: SchemeSession, household_ids: Sequence[str], at: datetime) -> dict[str, _Home]:
    rows = session.execute(
        select(Household.id, Household.reference, Household.zone).where(Household.id.in_(household_ids))
    )
    homes: dict[str, _Home] = {}
    for household_id, reference, zone in rows:
        goes_out_at = next_sending(at, ZoneInfo(zone))
        today = goes_out_at.astimezone(ZoneInfo(zone)).date()
        homes[household_id] = _Home(household_id, reference, goes_out_at, today)
    due: dict[str, list[DueRecheck]] = defaultdict(list)
    for each in list_due(session, until_on=horizon(at), household_ids=list(homes)):
        due[each.recheck.household_id].append(each)
    for evidence in load_home_evidence(session, load_homes(session, list(homes), from_at=at)):
        _add(homes[evidence.home.id], evidence, due[evidence.home.id], at)
    return homes


def _add(home: _Home, evidence: HomeEvidence, due: Sequence[DueRecheck], at: datetime) -> None:
    clearance = evidence.clearance_at(at)
    standings: list[tuple[OutletInputs | LeadInputs, OutletClearance | LeadClearance]] = [
        *zip(evidence.home.outlets, clearance.outlets, strict=True),
        *zip(evidence.home.leads, clearance.leads, strict=True),
    ]
    home.stopped = {item.id for item, standing in standings if standing.clearance is Clearance.DO_NOT_USE}
    last = home.today + timedelta(days=ASKED_WITHIN_DAYS)
    home.due = [
        each
        for each in due
        if not _is_check(each) or (each.recheck.due_on <= last and each.recheck.item_id not in home.stopped)
    ]
    home.dated = {each.recheck.item_id for each in home.due if _is_check(each)}
    home.without = [
        item.label
        for item, standing in standings
        if Need.CHECK in standing.needs and item.id not in home.stopped | home.dated
    ]


def _is_check(due: DueRecheck) -> bool:
    return due.recheck.task == Task.CHECK


def _by_person(
    homes: Mapping[str, _Home], members: Mapping[str, Sequence[Recipient]]
) -> dict[Recipient, list[_Home]]:
    found: dict[Recipient, list[_Home]] = defaultdict(list)
    for home in homes.values():
        for person in members.get(home.id, ()):
            found[person].append(home)
    return found


def _asked_check(homes: Sequence[_Home]) -> AskedCheck:
    due = [(home, each) for home in homes for each in home.due]
    due.sort(key=lambda pair: (pair[1].recheck.due_on, pair[1].recheck.id))
    items = [(_is_check(each), due_item(each.recheck, today=home.today)) for home, each in due]
    return AskedCheck(
        tuple(item for is_check, item in items if is_check),
        tuple(label for home in homes for label in home.without),
        tuple(item for is_check, item in items if not is_check),
    )


def _rows(
    homes: Sequence[_Home], told: Mapping[tuple[str, date, int], set[str]], person: Recipient, at: datetime
) -> list[Reminder]:
    """Return the rows of the steps that this message tells, so that they are not told again."""
    rows = []
    for home in homes:
        for each in home.due:
            step = steps_due(each.recheck.due_on, each.recheck.interval_days, home.today)
            if step is None:
                continue
            reached = DueStep(each.recheck, each.reference, step, home.today)
            if person.account_id not in told.get(reached.key, ()):
                rows.append(reminder_row(reached, REMINDED, person.account_id, at))
    return rows
