"""A made-up scheme for a year of reminders: homes with items of every interval, and what happens in them.

Random, from a seed.  The same values are written to the database and handed to the oracle.
"""

from __future__ import annotations

import random
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from sqlalchemy import update

from service.accounts.models import Account, Membership, Role
from service.common.ids import new_id
from service.households.models import Household, Lead, Outlet
from service.infrastructure.db.sessions import Database, SchemeSession
from service.safety.models import Recheck
from tests.prove.reminder_oracle import Due, Home, Person

LONDON = ZoneInfo("Europe/London")
ZONES = (LONDON, ZoneInfo("Europe/Madrid"), ZoneInfo("America/St_Johns"))
NATIONS = ("england", "scotland", "wales", "northern_ireland")
INTERVALS = (30, 31, 91, 182, 184, 365, 1826, None)
LATE_BY = (-5, -1, 0, 0, 1, 3, 9, 23)
"""How many days after its date a recheck is made."""
ADMINISTRATORS = 2


@dataclass(frozen=True)
class Happening:
    """Something that changes at an instant: a recheck is made, one is set, somebody leaves or comes."""

    at: datetime
    done: Due | None = None
    opened: Due | None = None
    left: Person | None = None
    came: Person | None = None


@dataclass
class Story:
    """Everything the oracle is told, and the happenings in the order of time."""

    homes: list[Home] = field(default_factory=list)
    people: list[Person] = field(default_factory=list)
    dues: list[Due] = field(default_factory=list)
    happenings: list[Happening] = field(default_factory=list)


def furnish(database: Database, scheme_id: str, homes: int, first: date, days: int, seed: int) -> Story:
    """Write the scheme as it is before its first day, and return what is there and what will happen."""
    chance, story = random.Random(seed), Story()
    starts_at = datetime.combine(first, time(), UTC) - timedelta(hours=12)
    with database.scheme(scheme_id, write=True) as session:
        for number in range(ADMINISTRATORS):
            story.people.append(_person(session, f"admin{number}", None, starts_at))
        for number in range(homes):
            _home(session, story, chance, number, first, days, starts_at)
    story.happenings.sort(key=lambda each: each.at)
    return story


def apply(database: Database, scheme_id: str, happening: Happening) -> None:
    """Write what happened."""
    with database.scheme(scheme_id, write=True) as session:
        if (done := happening.done) is not None:
            on = happening.at.astimezone(done.home.zone).date()
            session.execute(update(Recheck).where(Recheck.id == done.id).values(done_on=on))
        if happening.opened is not None:
            session.add(_recheck(happening.opened))
        if happening.left is not None:
            session.execute(
                update(Membership).where(Membership.account_id == happening.left.id).values(ended_at=happening.at)
            )
        if (came := happening.came) is not None and came.home is not None:
            session.add(_membership(came))


def _home(
    session: SchemeSession,
    story: Story,
    chance: random.Random,
    number: int,
    first: date,
    days: int,
    starts_at: datetime,
) -> None:
    zone = ZONES[0] if chance.random() < 0.8 else chance.choice(ZONES[1:])
    row = Household(
        id=new_id(),
        reference=f"H-{number:03}",
        member_name=f"Reader {number:03}",
        address=f"{number} Thistle Quay",
        postcode="ZZ9 4QX",
        zone=zone.key,
        nation=NATIONS[number % len(NATIONS)],
        created_at=starts_at,
    )
    session.add(row)
    session.flush()
    home = Home(row.id, row.reference, zone)
    story.homes.append(home)
    _people(session, story, chance, home, number, first, days, starts_at)
    is_twice = chance.random() < 0.3  # two items of one day: one letter
    due_on = _first_due(chance, first, days, None)
    for letter in "ab" if is_twice or chance.random() < 0.3 else "a":
        interval = INTERVALS[number % len(INTERVALS)] if letter == "a" else chance.choice(INTERVALS)
        first_due = due_on if is_twice else _first_due(chance, first, days, interval)
        label, item_id = f"Item {number:03}{letter}", new_id()
        session.add(_item(letter, home, item_id, label))
        session.flush()
        due = Due(new_id(), item_id, label, home, first_due, interval, starts_at)
        story.dues.append(due)
        session.add(_recheck(due))
        _live_on(story, chance, due, first + timedelta(days=days))


def _first_due(chance: random.Random, first: date, days: int, interval: int | None) -> date:
    """Return a date within the time told of, mostly soon where the item comes again often."""
    reach = days if interval is None or interval > 184 else min(days, interval)
    return first + timedelta(days=chance.randrange(-20, reach + 20))


def _people(
    session: SchemeSession,
    story: Story,
    chance: random.Random,
    home: Home,
    number: int,
    first: date,
    days: int,
    starts_at: datetime,
) -> None:
    one = _person(session, f"reader{number:03}a", home, starts_at)
    story.people.append(one)
    if chance.random() < 0.35:
        story.people.append(_person(session, f"reader{number:03}b", home, starts_at))
    if chance.random() < 0.08:
        one.until_at = _some_afternoon(chance, first, days)
        story.happenings.append(Happening(one.until_at, left=one))
    if chance.random() < 0.08:
        at = _some_afternoon(chance, first, days)
        newcomer = _person(session, f"reader{number:03}c", home, at, is_there=False)
        story.people.append(newcomer)
        story.happenings.append(Happening(at, came=newcomer))


def _some_afternoon(chance: random.Random, first: date, days: int) -> datetime:
    day = first + timedelta(days=chance.randrange(max(1, days - 1)))
    return datetime.combine(day, time(14, chance.randrange(60)), UTC)


def _live_on(story: Story, chance: random.Random, due: Due, end: date) -> None:
    """Let the item be done and fall due again, until the end or until nobody cares for it any more."""
    while due.due_on < end:
        if chance.random() < 0.08:
            return  # never done: weekly reminders to the end
        earliest = (due.opened_at + timedelta(days=2)).date()
        day = max(due.due_on + timedelta(days=chance.choice(LATE_BY)), earliest)
        due.done_at = datetime.combine(day, time(13, chance.randrange(60)), UTC)
        again = None
        if due.interval_days is not None:
            again = Due(
                new_id(),
                due.item_id,
                due.label,
                due.home,
                day + timedelta(days=due.interval_days),
                due.interval_days,
                due.done_at,
            )
            story.dues.append(again)
        story.happenings.append(Happening(due.done_at, done=due, opened=again))
        if again is None:
            return
        due = again


def _person(session: SchemeSession, name: str, home: Home | None, at: datetime, *, is_there: bool = True) -> Person:
    account = Account(
        id=new_id(), email=f"{name}@people.example", name=name.capitalize(), password_hash="!", created_at=at
    )
    session.add(account)
    session.flush()
    person = Person(account.id, account.email, home, at)
    if is_there:
        session.add(_membership(person))
    return person


def _membership(person: Person) -> Membership:
    role, home_id = (Role.ADMINISTRATOR, None) if person.home is None else (Role.MEMBER, person.home.id)
    return Membership(account_id=person.id, role=role.value, household_id=home_id, since_at=person.since_at)


def _item(letter: str, home: Home, item_id: str, label: str) -> Outlet | Lead:
    if letter == "a":
        return Outlet(id=item_id, household_id=home.id, ordinal=1, label=label, kind="socket_13a", limit_a=10)
    return Lead(id=item_id, household_id=home.id, label=label, kind="mode_2", rated_a=10, set_a=10)


def _recheck(due: Due) -> Recheck:
    kind = "outlet" if due.label.endswith("a") else "lead"
    return Recheck(
        id=due.id,
        household_id=due.home.id,
        item_kind=kind,
        item_id=due.item_id,
        due_on=due.due_on,
        rule="looked at every so often",
        interval_days=due.interval_days,
    )
