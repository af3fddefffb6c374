"""What a year of reminders must be, reckoned in plain Python from the table of lead times as it was agreed.

Nothing of the service is used.  A month or less: 2 days before and on the day.  Up to six months: 14, 3 and 0
days before.  Longer, or not known: 30, 14, 7, 1 and 0.  Then weekly until it is done, and of the weekly steps the
administrators are told as well.  Overdue by more than four weeks, everybody in the home is told once more, as of a
thing that concerns safety.  All but that goes out from eight in the morning until eight in the evening on the
reader's own clock, and one person gets one letter of reminders a day.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from functools import cached_property
from zoneinfo import ZoneInfo

DAYS_BEFORE = {31: (2, 0), 184: (14, 3, 0), 100_000: (30, 14, 7, 1, 0)}
SENDING_HOURS = range(8, 20)
ADMINISTRATORS_ZONE = ZoneInfo("Europe/London")


@dataclass(frozen=True)
class Home:
    """A home with its clock."""

    id: str
    reference: str
    zone: ZoneInfo


@dataclass
class Person:
    """Somebody of a home, or (``home`` None) of the scheme's administration, for as long as they are."""

    id: str
    email: str
    home: Home | None
    since_at: datetime
    until_at: datetime | None = None

    def is_there(self, at: datetime) -> bool:
        """Tell whether they belong to it at an instant."""
        return self.since_at <= at and (self.until_at is None or at < self.until_at)


@dataclass
class Due:
    """One due date of one item: known from one instant on, and open until another."""

    id: str
    item_id: str
    label: str
    home: Home
    due_on: date
    interval_days: int | None
    opened_at: datetime
    done_at: datetime | None = None

    def is_open(self, at: datetime) -> bool:
        """Tell whether it is to be done at an instant."""
        return self.opened_at <= at and (self.done_at is None or at < self.done_at)

    def step_on(self, day: date) -> int | None:
        """Return the last step that has come by a day: days before the due date, or minus weeks after it."""
        found = None
        for step, on in self.steps:
            if on > day:
                break
            found = step
        return found

    @cached_property
    def steps(self) -> tuple[tuple[int, date], ...]:
        """Every step with its day, in the order of time."""
        return tuple(self._steps())

    def _steps(self) -> Iterator[tuple[int, date]]:
        longest = self.interval_days or 100_000
        for days, before in DAYS_BEFORE.items():
            if longest <= days:
                for step in before:
                    yield step, self.due_on - timedelta(days=step)
                break
        for week in range(1, 300):
            yield -7 * week, self.due_on + timedelta(days=7 * week)


Line = tuple[str, date, int]
"""What a letter says of an item: its label, its due date, and the days left."""
Key = tuple[str, str, date, int, str]
"""A kind of telling, an item, its due date, a step, a person: told once."""
REMIND, RISE, OVERDUE = "recheck_due", "recheck_overdue", "overdue_notice"


@dataclass
class Expected:
    """Each key with the instant of its telling; and the letters.

    A reminder and a notice of what is long overdue list items, the administrators' letter of the day names homes.
    """

    told_at: dict[Key, datetime] = field(default_factory=dict)
    reminders: dict[tuple[str, datetime], frozenset[Line]] = field(default_factory=dict)
    notices: dict[tuple[str, datetime], frozenset[Line]] = field(default_factory=dict)
    risen: dict[tuple[str, datetime], frozenset[str]] = field(default_factory=dict)

    @property
    def ticks(self) -> set[datetime]:
        """Return the instants at which anybody is told of anything."""
        return set(self.told_at.values())

    @property
    def letter_count(self) -> int:
        """Return how many letters this makes, without those that ask a duty contact to ring."""
        return len(self.reminders) + len(self.notices) + len(self.risen)


def expected(
    homes: Sequence[Home], people: Sequence[Person], dues: Sequence[Due], ticks: Sequence[datetime]
) -> Expected:
    """Go through the instants at which the clock asks, and note what must be told at each."""
    found, had = Expected(), set[tuple[str, date]]()
    members: dict[str, list[Person]] = defaultdict(list)
    for person in people:
        members["" if person.home is None else person.home.id].append(person)
    for at in ticks:
        is_open: dict[str, list[Due]] = defaultdict(list)
        for due in dues:
            if due.is_open(at):
                is_open[due.home.id].append(due)
        risen = [
            (due, step)
            for home in homes
            for due in is_open[home.id]
            if (step := due.step_on(at.astimezone(home.zone).date())) is not None and step <= -7
        ]
        for administrator in members[""]:
            _tell_administrator(found, had, administrator, risen, at)
        for home in homes:
            for person in members[home.id]:
                if is_open[home.id] and person.is_there(at):
                    _tell_member(found, had, person, is_open[home.id], at.astimezone(home.zone), at)
    return found


def _tell_administrator(
    found: Expected, had: set[tuple[str, date]], person: Person, risen: list[tuple[Due, int]], at: datetime
) -> None:
    """Note the letter of the day about every weekly step that the administrator was not told of."""
    local = at.astimezone(ADMINISTRATORS_ZONE)
    if local.hour not in SENDING_HOURS or (person.email, local.date()) in had:
        return
    if new := [pair for pair in risen if _is_new(found, RISE, *pair, person)]:
        had.add((person.email, local.date()))
        found.risen[person.email, at] = frozenset(due.home.reference for due, _ in new)
        _note(found, RISE, new, person, at)


def _tell_member(
    found: Expected, had: set[tuple[str, date]], person: Person, dues: list[Due], local: datetime, at: datetime
) -> None:
    """Note, at any hour, what has been overdue for four weeks; and in the sending hours the letter of the day."""
    today = local.date()
    long = [(due, -28) for due in dues if (today - due.due_on).days > 28]
    if new := [pair for pair in long if _is_new(found, OVERDUE, *pair, person)]:
        found.notices[person.email, at] = _lines(new, today)
        _note(found, OVERDUE, new, person, at)
    if local.hour not in SENDING_HOURS or (person.email, today) in had:
        return
    coming = [(due, step) for due in dues if (step := due.step_on(today)) is not None]
    if new := [pair for pair in coming if _is_new(found, REMIND, *pair, person)]:
        had.add((person.email, today))
        found.reminders[person.email, at] = _lines(new, today)
        _note(found, REMIND, new, person, at)


def _is_new(found: Expected, kind: str, due: Due, step: int, person: Person) -> bool:
    return (kind, due.item_id, due.due_on, step, person.id) not in found.told_at


def _note(found: Expected, kind: str, new: list[tuple[Due, int]], person: Person, at: datetime) -> None:
    for due, step in new:
        found.told_at[kind, due.item_id, due.due_on, step, person.id] = at


def _lines(new: list[tuple[Due, int]], today: date) -> frozenset[Line]:
    return frozenset((due.label, due.due_on, (due.due_on - today).days) for due, _ in new)


def asking_instants(first: date, days: int, zones: Sequence[ZoneInfo]) -> list[datetime]:
    """Return when the clock asks: each day just before and at the first sending hour of every zone, and in the
    first zone just before and at the last as well."""
    found = set()
    for number in range(days):
        day = first + timedelta(days=number)
        for zone in zones:
            for hour, minute in ((7, 59), (8, 0), *(((19, 59), (20, 0)) if zone is zones[0] else ())):
                found.add(datetime(day.year, day.month, day.day, hour, minute, tzinfo=zone).astimezone(UTC))
    return sorted(found)
