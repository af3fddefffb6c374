"""Two hundred and twenty days on a moving clock: every step told once, none early, days of silence caught up once."""

import random
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from sqlalchemy import select
from sqlalchemy.exc import IntegrityError

from service.accounts.operations import create_scheme
from service.common.clock import FixedClock
from service.infrastructure.db.sessions import Database, SchemeSession
from service.infrastructure.mail.queue import Mail
from service.infrastructure.settings import Settings
from service.infrastructure.tasks import JobContext
from service.planning.domain.events import PlanChanged
from service.reminders import jobs, operations
from service.reminders.models import Reminder
from service.safety.models import Recheck
from tests.factories.reminders import (
    NOON,
    POSTMARK,
    add_home,
    add_lead,
    add_outlet,
    add_person,
    add_recheck,
    queued_mail,
)

FIRST_DAY, DAYS = date(2026, 9, 1), 220  # holds the clock changes of October 2026 and March 2027
SILENT_DAYS = (range(60, 64), range(150, 171))  # the worker is down
STEPS = {30: (2, 0), 120: (14, 3, 0), 365: (30, 14, 7, 1, 0), None: (30, 14, 7, 1, 0)}


@dataclass
class Item:
    """A recheck of the simulation, as the test itself reckons with it."""

    household_id: str
    zone: ZoneInfo
    people: tuple[str, ...]
    item_id: str
    due_on: date
    interval_days: int | None
    done_at: datetime | None = None
    told: dict[tuple[int, str], datetime] = field(default_factory=dict)

    def steps(self) -> Iterator[tuple[int, datetime, datetime]]:
        """Yield each step with the instants from which it is due and from which the next one takes its place."""
        before = STEPS[self.interval_days]
        steps = [*before, *range(-7, -DAYS, -7)]
        starts = [self._morning(self.due_on - timedelta(days=step)) for step in steps]
        yield from zip(steps, starts, [*starts[1:], datetime(2100, 1, 1, tzinfo=UTC)], strict=True)

    def _morning(self, day: date) -> datetime:
        return datetime.combine(day, time(8), self.zone).astimezone(UTC)

    def expected(self, ticks: list[datetime]) -> dict[tuple[int, str], datetime]:
        """Return (step, person) -> the first tick at which it could be told, in the morning hours or later."""
        found: dict[tuple[int, str], datetime] = {}
        for step, start, end in self.steps():
            able = (tick for tick in ticks if start <= tick < end and 8 <= tick.astimezone(self.zone).hour < 20)
            first = next((tick for tick in able if self.done_at is None or tick <= self.done_at), None)
            if first is not None:
                found.update(dict.fromkeys(((step, person) for person in self.people), first))
        return found


@pytest.fixture
def context(settings: Settings, database: Database, clock: FixedClock) -> JobContext:
    """What the worker hands to a job."""
    return JobContext(settings, database, clock, POSTMARK)


def _ticks(chance: random.Random) -> list[datetime]:
    """Return instants at which the clock asks: two a day, some twice, none in the silent days."""
    found = []
    for number in range(DAYS):
        if any(number in silent for silent in SILENT_DAYS):
            continue
        midnight = datetime.combine(FIRST_DAY + timedelta(days=number), time(), UTC)
        # One of these is in the sending hours of each zone of the test, whatever its summer time.
        minutes = sorted([chance.randrange(1379), 270, 780, 1379])
        found += [midnight + timedelta(minutes=minute) for minute in minutes]
        if chance.random() < 0.2:
            found.append(found[-1])
    return found


def _furnish(session: SchemeSession) -> list[Item]:
    """Add homes in zones on both sides of the globe with rechecks of every interval."""
    items = []
    for number, zone in enumerate(("Europe/London", "Australia/Adelaide", "America/St_Johns")):
        home = add_home(session, f"H-{number}", zone=zone)
        people = tuple(add_person(session, f"P{number}{each} Reed", home) for each in "ab"[: 1 + number % 2])
        for interval_days, offset in ((30, 55), (120, 100), (365, 207 + number), (None, 209), (365, 380)):
            due_on = FIRST_DAY + timedelta(days=offset)
            if interval_days is None:
                item_id = add_lead(session, home)
                add_recheck(session, home, item_id, due_on)
            else:
                item_id = add_outlet(session, home)
                inspected_on = due_on - timedelta(days=interval_days)
                add_recheck(session, home, item_id, due_on, kind="outlet", inspected_on=inspected_on)
            items.append(Item(home, ZoneInfo(zone), people, item_id, due_on, interval_days))
    return items


def _complete(database: Database, scheme: str, item: Item, at: datetime) -> None:
    with database.scheme(scheme, write=True) as session:
        recheck = session.scalars(select(Recheck).where(Recheck.item_id == item.item_id)).one()
        recheck.done_on = at.astimezone(item.zone).date()
    item.done_at = at


def test_in_220_days_every_step_is_told_once_to_each_person_and_none_early(
    context: JobContext, database: Database, clock: FixedClock, scheme: str, record_property: Any
) -> None:
    seed = 4006
    print(f"seed {seed}")
    chance = random.Random(seed)
    with database.scheme(scheme, write=True) as session:
        items = _furnish(session)
    ticks = _ticks(chance)
    done_after = {chance.randrange(len(ticks) // 2, len(ticks)): item for item in chance.sample(items, 6)}
    queued = 0
    for position, tick in enumerate(ticks):
        clock.move(tick - clock.now())
        queued += jobs.remind_rechecks_due(context)
        if position in done_after:
            _complete(database, scheme, done_after[position], tick)
    expected = {
        (item.item_id, item.due_on, step, person): at
        for item in items
        for (step, person), at in item.expected(ticks).items()
    }
    with database.scheme(scheme, write=False) as session:
        rows = session.scalars(select(Reminder)).all()
        mail = queued_mail(session)
    told = {(row.subject_id, row.due_on, row.step, row.recipient): row.created_at for row in rows}
    assert told == expected
    assert len(rows) == len(told)
    # What the messages say is what the rows say: as many items, one message a person and local day.
    assert sum(len(_due_lines(each)) for each in mail) == len(rows)
    days = Counter(each.dedupe_key for each in mail)
    assert queued == len(mail) == len(days)
    assert len({(row.recipient, row.created_at) for row in rows}) == len(mail)
    figures = {"ticks": len(ticks), "reminders": len(rows), "messages": len(mail)}
    record_property("figures", figures)
    print(figures)


def _due_lines(mail: Mail) -> list[str]:
    return [line for line in mail.text.splitlines() if line.startswith("- Due ")]


def test_a_job_serves_every_scheme_and_returns_the_number_of_messages(
    context: JobContext, database: Database, scheme: str
) -> None:
    with database.system(write=True) as system:
        create_scheme(system, scheme_id="b" * 32, name="Other", now=NOON)
    for position, scheme_id in enumerate((scheme, "b" * 32)):
        with database.scheme(scheme_id, write=True) as session:
            home = add_home(session)
            add_person(session, f"P{position} Reed", home)
            add_recheck(session, home, add_lead(session, home), NOON.date())
    assert [jobs.remind_rechecks_due(context), jobs.remind_rechecks_due(context)] == [2, 0]
    for position, scheme_id in enumerate((scheme, "b" * 32)):
        with database.scheme(scheme_id, write=False) as session:
            assert [each.recipient for each in queued_mail(session)] == [f"p{position}@people.example"]


def test_people_come_in_several_transactions_and_a_clash_with_another_worker_stops_only_its_own(
    context: JobContext, database: Database, scheme: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(jobs, "PEOPLE_A_TRANSACTION", 2)
    with database.scheme(scheme, write=True) as session:
        for number in range(5):
            home = add_home(session, f"H-{number}")
            add_person(session, f"P{number} Reed", home)
            add_recheck(session, home, add_lead(session, home), NOON.date())
    remind, asked = operations.remind_rechecks, []

    def clash_once(session: SchemeSession, account_ids: list[str], **options: Any) -> int:
        count = remind(session, account_ids, **options)
        asked.append(len(account_ids))
        if len(asked) == 2:
            raise IntegrityError("INSERT", {}, Exception("unique"))
        return count

    monkeypatch.setattr(operations, "remind_rechecks", clash_once)
    assert jobs.remind_rechecks_due(context) == 3
    assert asked == [2, 2, 1]
    assert jobs.remind_rechecks_due(context) == 2


def test_a_changed_plan_without_a_plan_in_force_is_done_without_a_message(
    context: JobContext, database: Database, scheme: str
) -> None:
    with database.scheme(scheme, write=True) as session:
        home = add_home(session)
        add_person(session, "Ada Finch", home)
        jobs.tell_members_of_plan_change(context, session, PlanChanged(home, "p", "new_day", "day/1"))
        assert queued_mail(session) == []
