"""A step of a recheck is told once to each member, with all that is due that day in one message."""

from collections.abc import Sequence
from datetime import UTC, date, datetime, timedelta
from functools import partial

import pytest
from sqlalchemy import select

from service.accounts.models import Account, Role
from service.accounts.operations import add_membership, create_scheme
from service.infrastructure.db.sessions import Database, SchemeSession
from service.reminders import operations
from service.reminders.emails import recheck_due
from service.reminders.models import Reminder
from service.safety.models import Recheck
from tests.factories.reminders import (
    ADDRESS,
    NOON,
    POSTCODE,
    POSTMARK,
    add_home,
    add_lead,
    add_outlet,
    add_person,
    add_recheck,
    queued_mail,
)

RENDER = partial(recheck_due, base_url="https://charging.example")
TODAY = NOON.date()


@pytest.fixture
def home(session: SchemeSession) -> str:
    """A home with one member."""
    home = add_home(session)
    add_person(session, "Ada Finch", home)
    return home


def _remind(session: SchemeSession, at: datetime = NOON, people: Sequence[str] | None = None) -> int:
    session.flush()
    found = operations.people_to_remind(session, at=at) if people is None else people
    return operations.remind_rechecks(session, found, at=at, render=RENDER, postmark=POSTMARK)


def _told(session: SchemeSession) -> set[tuple[str, date, int]]:
    session.flush()
    rows = session.execute(select(Reminder.subject_id, Reminder.due_on, Reminder.step))
    return {(item_id, due_on, step) for item_id, due_on, step in rows}


def test_a_step_is_told_once_however_often_it_is_asked(session: SchemeSession, home: str) -> None:
    lead, due_on = add_lead(session, home), TODAY + timedelta(days=14)
    add_recheck(session, home, lead, due_on)
    everybody = list(session.scalars(select(Account.id)))
    assert [_remind(session), _remind(session), _remind(session, people=everybody)] == [1, 0, 0]
    assert _told(session) == {(lead, due_on, 14)}
    [mail] = queued_mail(session)
    assert (mail.recipient, mail.kind, mail.household_id) == ("ada@people.example", "recheck_due", home)
    assert [mail.account_id] == everybody and mail.unsubscribe_url is None
    assert "Blue lead\n- Due Wednesday 9 December 2026: in 14 days." in mail.text


def test_all_that_is_due_on_a_day_comes_in_one_message_the_soonest_first(session: SchemeSession, home: str) -> None:
    lead, outlet = add_lead(session, home), add_outlet(session, home)
    add_recheck(session, home, lead, TODAY + timedelta(days=7))
    add_recheck(session, home, outlet, TODAY - timedelta(days=8), kind="outlet")
    assert _remind(session) == 1
    [mail] = queued_mail(session)
    assert mail.subject == "2 rechecks are due"
    assert mail.text.index("Drive socket") < mail.text.index("Blue lead")
    assert "overdue by 8 days" in mail.text
    assert {step for _, _, step in _told(session)} == {7, -7}


def test_missed_days_are_caught_up_with_one_reminder_in_todays_words(session: SchemeSession, home: str) -> None:
    lead, due_on = add_lead(session, home), TODAY + timedelta(days=5)
    add_recheck(session, home, lead, due_on)
    assert _remind(session) == 1
    assert _told(session) == {(lead, due_on, 7)}
    assert "in 5 days" in queued_mail(session)[0].text


def test_what_falls_due_after_the_days_message_waits_for_the_next_morning(session: SchemeSession, home: str) -> None:
    first, second = add_lead(session, home), add_lead(session, home, "Red lead")
    add_recheck(session, home, first, TODAY)
    _remind(session)
    add_recheck(session, home, second, TODAY)
    assert _remind(session, NOON + timedelta(hours=3)) == 0
    assert _told(session) == {(first, TODAY, 0)}
    assert _remind(session, NOON + timedelta(days=1)) == 1
    assert _told(session) == {(first, TODAY, 0), (second, TODAY, 0)}
    text = queued_mail(session)[1].text
    assert "Red lead" in text and "overdue by 1 day." in text and "Blue lead" not in text


@pytest.mark.parametrize(
    ("zone", "eight"),
    [
        ("Europe/London", datetime(2026, 11, 25, 8, 0, tzinfo=UTC)),
        ("Australia/Adelaide", datetime(2026, 11, 24, 21, 30, tzinfo=UTC)),
    ],
)
def test_nothing_is_told_before_eight_or_after_twenty_on_the_households_clock(
    session: SchemeSession, zone: str, eight: datetime
) -> None:
    home = add_home(session, zone=zone)
    add_person(session, "Ada Finch", home)
    add_recheck(session, home, add_lead(session, home), TODAY + timedelta(days=30))
    assert _remind(session, eight - timedelta(minutes=1)) == 0
    assert _remind(session, eight + timedelta(hours=12)) == 0
    assert _remind(session, eight) == 1
    assert "in 30 days" in queued_mail(session)[0].text


def test_every_member_is_told_and_nobody_else(session: SchemeSession, home: str) -> None:
    add_person(session, "Bo Finch", home)
    add_person(session, "Cy Left", home, ended_at=NOON - timedelta(days=1))
    add_person(session, "Di Other", add_home(session, "H-2"))
    add_person(session, "Rowan Ellery", None, Role.ADMINISTRATOR)
    add_recheck(session, home, add_lead(session, home), TODAY)
    assert _remind(session) == 2
    assert sorted(each.recipient for each in queued_mail(session)) == ["ada@people.example", "bo@people.example"]


def test_who_lives_in_two_homes_gets_one_message_for_both(session: SchemeSession, home: str) -> None:
    second = add_home(session, "H-2")
    ada = session.scalars(select(Account.id)).one()
    add_membership(session, account_id=ada, role=Role.MEMBER, household_id=second, now=NOON)
    for each in (home, second):
        add_recheck(session, each, add_lead(session, each), TODAY)
    assert _remind(session) == 1
    [mail] = queued_mail(session)
    assert (mail.subject, mail.household_id, len(_told(session))) == ("2 rechecks are due", None, 2)


@pytest.mark.parametrize(
    ("rule_name", "kind", "link", "source"),
    [
        ("check_mode_2", "lead", "/check", "common practice, no source"),
        ("report_states", "outlet", "/outlets", "as the electrician stated it"),
        ("", "lead", "/reminders", None),
    ],
)
def test_the_link_leads_to_the_act_and_the_rule_names_its_source(
    session: SchemeSession, home: str, rule_name: str, kind: str, link: str, source: str | None
) -> None:
    item = add_lead(session, home) if kind == "lead" else add_outlet(session, home)
    add_recheck(session, home, item, TODAY, kind=kind, rule_name=rule_name)
    _remind(session)
    [mail] = queued_mail(session)
    assert f"https://charging.example{link}\n" in mail.text
    assert ("(" in mail.text) == (source is not None) and (source is None or source in " ".join(mail.text.split()))


def test_a_new_member_is_told_of_the_step_that_stands(session: SchemeSession, home: str) -> None:
    add_recheck(session, home, add_lead(session, home), TODAY)
    _remind(session)
    add_person(session, "Bo Finch", home)
    assert _remind(session, NOON + timedelta(days=3)) == 1
    assert [each.recipient for each in queued_mail(session)] == ["ada@people.example", "bo@people.example"]


def test_a_home_without_members_is_not_looked_at_and_keeps_its_step_for_who_comes(session: SchemeSession) -> None:
    home = add_home(session)
    add_recheck(session, home, add_lead(session, home), TODAY)
    assert operations.people_to_remind(session, at=NOON) == []
    assert _told(session) == set()


def test_a_done_recheck_is_not_reminded_of(session: SchemeSession, home: str) -> None:
    recheck_id = add_recheck(session, home, add_lead(session, home), TODAY - timedelta(days=1))
    recheck = session.get(Recheck, (session.scheme_id, recheck_id))
    assert recheck is not None
    recheck.done_on = TODAY
    session.flush()
    assert _remind(session) == 0


@pytest.mark.parametrize(
    ("interval_days", "days_before", "step"),
    [(30, 3, None), (30, 2, 2), (180, 15, None), (180, 14, 14), (180, 7, 14), (365, 30, 30), (365, 7, 7)],
)
def test_how_often_it_recurs_sets_the_lead_times(
    session: SchemeSession, home: str, interval_days: int, days_before: int, step: int | None
) -> None:
    outlet, due_on = add_outlet(session, home), TODAY + timedelta(days=days_before)
    inspected_on = due_on - timedelta(days=interval_days)
    add_recheck(session, home, outlet, due_on, kind="outlet", inspected_on=inspected_on)
    _remind(session)
    assert _told(session) == (set() if step is None else {(outlet, due_on, step)})


def test_an_item_without_a_label_is_told_by_its_kind(session: SchemeSession, home: str) -> None:
    add_recheck(session, home, add_lead(session, home, ""), TODAY)
    _remind(session)
    assert "A charging lead\n- Due" in queued_mail(session)[0].text


def test_no_address_is_in_a_message(session: SchemeSession, home: str) -> None:
    add_recheck(session, home, add_lead(session, home), TODAY)
    _remind(session)
    [mail] = queued_mail(session)
    assert not any(word in mail.subject + mail.text + mail.html for word in (ADDRESS, POSTCODE))


def test_schemes_are_found_by_what_could_be_due_in_them(database: Database, session: SchemeSession, home: str) -> None:
    lead = add_lead(session, home)
    add_recheck(session, home, lead, TODAY + timedelta(days=32))
    session.commit()
    with database.system(write=True) as system:
        create_scheme(system, scheme_id="b" * 32, name="Other", now=NOON)
        assert operations.schemes_with_rechecks(system, at=NOON) == []
        assert operations.schemes_with_rechecks(system, at=NOON + timedelta(days=1)) == [session.scheme_id]
