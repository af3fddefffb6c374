"""What is left undone rises weekly to the administrators by reference, and after four weeks to everybody at home."""

from datetime import datetime, timedelta
from functools import partial

import pytest
from sqlalchemy import select

from service.accounts.models import Role
from service.infrastructure.db.sessions import SchemeSession
from service.reminders import emails, operations
from service.reminders.models import Reminder, SafetyNotice
from service.reminders.operations import overdue
from service.safety.models import Recheck
from tests.factories.reminders import (
    ADDRESS,
    NOON,
    POSTCODE,
    POSTMARK,
    add_home,
    add_lead,
    add_person,
    add_recheck,
    queued_mail,
)

TODAY = NOON.date()
NIGHT = NOON.replace(hour=2)
BASE = "https://charging.example"


@pytest.fixture
def home(session: SchemeSession) -> str:
    """A home with a member, in a scheme with an administrator."""
    home = add_home(session, "H-7")
    add_person(session, "Ada Finch", home)
    add_person(session, "Rowan Ellery", None, Role.ADMINISTRATOR)
    return home


def _due(session: SchemeSession, home: str, days_ago: int) -> str:
    return add_recheck(session, home, add_lead(session, home), TODAY - timedelta(days=days_ago))


def _rise(session: SchemeSession, at: datetime = NOON) -> int:
    session.flush()
    assert operations.is_anybody_to_tell(session, at=at) in (True, False)
    render = partial(emails.overdue_in_scheme, base_url=BASE)
    return operations.tell_administrators(session, at=at, render=render, postmark=POSTMARK)


def _long(session: SchemeSession, at: datetime = NOON) -> int:
    session.flush()
    homes = operations.homes_long_overdue(session, at=at)
    render = partial(emails.long_overdue, base_url=BASE)
    return operations.tell_long_overdue(session, homes, at=at, render=render, postmark=POSTMARK)


@pytest.mark.parametrize(("days", "count"), [(0, 0), (6, 0), (7, 1), (8, 1), (13, 1)])
def test_an_administrator_hears_of_a_home_from_a_week_on(
    session: SchemeSession, home: str, days: int, count: int
) -> None:
    _due(session, home, days)
    assert operations.is_anybody_to_tell(session, at=NOON) == bool(count)
    assert [_rise(session), _rise(session)] == [count, 0]


def test_it_says_the_reference_and_nothing_else_of_the_home(session: SchemeSession, home: str) -> None:
    _due(session, home, 8)
    _rise(session)
    [mail] = queued_mail(session)
    assert (mail.recipient, mail.household_id, mail.kind) == ("rowan@people.example", None, "recheck_overdue")
    assert "- H-7: 1 thing, overdue by up to 8 days" in mail.text
    assert not any(word in mail.text + mail.html for word in (ADDRESS, POSTCODE, "Ada Finch", "Blue lead"))


def test_one_message_a_day_holds_all_homes_the_new_ones_first(session: SchemeSession, home: str) -> None:
    _due(session, home, 7)
    _rise(session)
    other = add_home(session, "H-8")
    _due(session, other, 9)
    assert _rise(session, NOON + timedelta(hours=2)) == 0, "the day's message has gone out"
    assert _rise(session, NOON + timedelta(days=1)) == 1
    text = queued_mail(session)[-1].text
    assert text.index("New in this message") < text.index("H-8:") < text.index("Told before") < text.index("H-7:")


def test_each_week_rises_again_until_it_is_done(session: SchemeSession, home: str) -> None:
    recheck = session.get_one(Recheck, (session.scheme_id, _due(session, home, 7)))
    rises = [_rise(session, NOON + timedelta(days=day)) for day in range(22)]
    assert [day for day, count in enumerate(rises) if count] == [0, 7, 14, 21]
    recheck.done_on = TODAY
    assert _rise(session, NOON + timedelta(days=28)) == 0


@pytest.mark.parametrize("hour", [7, 20, 23])
def test_outside_the_sending_hours_nothing_rises(session: SchemeSession, home: str, hour: int) -> None:
    _due(session, home, 8)
    assert _rise(session, NOON.replace(hour=hour)) == 0


def test_a_long_list_goes_on_in_the_next_days_message(
    session: SchemeSession, home: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(overdue, "HOMES_A_MESSAGE", 3)
    for number in range(5):
        _due(session, add_home(session, f"L-{number}"), 7 + number)
    assert [_rise(session), _rise(session, NOON + timedelta(days=1))] == [1, 1]
    first, second = queued_mail(session)
    assert [f"L-{number}:" in first.text for number in range(5)] == [False, False, True, True, True]
    assert "And 2 more homes" in first.text
    assert first.subject == "Overdue in 3 homes of the scheme" and second.subject == "Overdue in 2 homes of the scheme"
    rows = session.scalars(select(Reminder).where(Reminder.kind == "recheck_overdue")).all()
    assert len(rows) == len({(row.subject_id, row.step) for row in rows}) == 5


@pytest.mark.parametrize(("days", "count"), [(27, 0), (28, 0), (29, 1), (60, 1)])
def test_overdue_by_more_than_28_days_everybody_at_home_is_told_at_any_hour(
    session: SchemeSession, home: str, days: int, count: int
) -> None:
    add_recheck(session, home, add_lead(session, home), NIGHT.date() - timedelta(days=days))
    assert [_long(session, NIGHT), _long(session, NIGHT)] == [count, 0]
    notices = session.scalars(select(SafetyNotice)).all()
    assert [(each.kind, each.told_at) for each in notices] == [("overdue", NIGHT)] * count
    assert [each.mail_id for each in notices] == [mail.id for mail in queued_mail(session)]


def test_it_is_said_once_for_a_date_and_together_for_a_home(session: SchemeSession, home: str) -> None:
    first, _second = _due(session, home, 40), _due(session, home, 30)
    assert _long(session) == 1
    [mail] = queued_mail(session)
    assert mail.text.count("Blue lead") == 2 and mail.kind == "safety_overdue"
    assert _long(session, NOON + timedelta(days=30)) == 0
    session.get_one(Recheck, (session.scheme_id, first)).done_on = TODAY
    add_person(session, "Bo Finch", home)
    assert _long(session) == 1, "who has moved in since is told too"
