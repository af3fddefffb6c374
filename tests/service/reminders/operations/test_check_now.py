"""The check asked for from the desk: one message a person and day, of what may be touched, in the home's hours."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from functools import partial

import pytest
from sqlalchemy import select

from service.infrastructure.db.sessions import SchemeSession
from service.reminders import operations
from service.reminders.emails import check_asked, recheck_due
from service.reminders.models import Reminder
from service.reminders.operations import AskedPerson, WhyNot
from service.safety import operations as safety
from service.safety.domain.report_details import IncidentDetails
from service.safety.models import Recheck
from tests.factories.households import WRITING, FurnishedHome, furnished_home
from tests.factories.reminders import NOON, POSTMARK, add_person, add_recheck, queued_mail
from tests.factories.safety import claim, inspect, make_counting
from tests.factories.tariffs import counted_statements

pytestmark = pytest.mark.both_databases

RENDER = partial(check_asked, base_url="https://charging.example")
TODAY = NOON.date()


@pytest.fixture
def home(session: SchemeSession) -> FurnishedHome:
    """A home whose socket and lead are clear, with one member."""
    made = furnished_home(session)
    inspect(session, made.id, made.outlet_id)
    add_person(session, "Ada Finch", made.id)
    return made


def ask(session: SchemeSession, *homes: FurnishedHome, at: datetime = NOON) -> list[AskedPerson]:
    return operations.ask_for_checks(session, [home.id for home in homes], at=at, render=RENDER, postmark=POSTMARK)


def due_in(session: SchemeSession, home: FurnishedHome, days: int) -> None:
    """Let the check of the socket fall due, and nothing else."""
    for recheck in session.scalars(select(Recheck)):
        session.delete(recheck)
    session.flush()
    add_recheck(
        session, home.id, home.outlet_id, TODAY + timedelta(days=days), kind="outlet", rule_name="check_socket"
    )


def why_not(outcomes: list[AskedPerson]) -> list[WhyNot | None]:
    return [one.why_not for one in outcomes]


def test_each_member_gets_one_message_that_leads_to_the_check(session: SchemeSession, home: FurnishedHome) -> None:
    add_person(session, "Bo Finch", home.id)
    due_in(session, home, 10)
    outcomes = ask(session, home)
    assert [(one.name, one.why_not, one.goes_out_at) for one in outcomes] == [
        ("Ada Finch", None, NOON), ("Bo Finch", None, NOON)
    ]
    first, second = queued_mail(session)
    assert {first.recipient, second.recipient} == {"ada@people.example", "bo@people.example"}
    assert (first.kind, first.household_id, first.unsubscribe_url) == ("check_asked", home.id, None)
    assert "in 10 days" in first.text and "https://charging.example/check" in first.text


def test_asked_again_on_the_day_nobody_is_written_to_and_on_the_next_they_are(
    session: SchemeSession, home: FurnishedHome
) -> None:
    due_in(session, home, 10)
    assert why_not(ask(session, home)) == [None]
    assert why_not(ask(session, home, at=NOON + timedelta(hours=3))) == [WhyNot.MAILED_TODAY]
    assert why_not(ask(session, home, at=NOON + timedelta(days=1))) == [None]
    assert len(queued_mail(session)) == 2


def test_it_is_the_message_of_the_day_so_that_the_clock_does_not_tell_it_again(
    session: SchemeSession, home: FurnishedHome
) -> None:
    due_in(session, home, -8)
    assert why_not(ask(session, home)) == [None]
    assert operations.people_to_remind(session, at=NOON) == []
    assert list(session.scalars(select(Reminder.step).where(Reminder.kind == "recheck_due"))) == [-7]


def test_who_was_reminded_today_is_not_written_to_again(session: SchemeSession, home: FurnishedHome) -> None:
    due_in(session, home, -8)
    remind = partial(recheck_due, base_url="https://charging.example")
    people = operations.people_to_remind(session, at=NOON)
    assert operations.remind_rechecks(session, people, at=NOON, render=remind, postmark=POSTMARK) == 1
    assert why_not(ask(session, home)) == [WhyNot.MAILED_TODAY]


def test_what_is_clear_for_longer_is_not_asked_for(session: SchemeSession, home: FurnishedHome) -> None:
    due_in(session, home, 15)
    assert why_not(ask(session, home)) == [WhyNot.NOTHING_DUE]
    assert queued_mail(session) == []


def test_a_check_that_was_never_made_is_asked_for_by_its_name(session: SchemeSession) -> None:
    home = furnished_home(session)
    add_person(session, "Ada Finch", home.id)
    make_counting(session, claim(session, home.id, home.outlet_id).id)
    assert why_not(ask(session, home)) == [None]
    [mail] = queued_mail(session)
    print(mail.text)
    assert "garage socket\n- No check that counts is recorded." in mail.text


def test_nobody_is_sent_to_touch_what_was_reported(session: SchemeSession, home: FurnishedHome) -> None:
    due_in(session, home, -8)
    details = IncidentDetails("scorch", home.outlet_id, home.lead_id)
    safety.report_incident(session, home.id, details, **{**WRITING, "at": NOON})
    assert why_not(ask(session, home)) == [WhyNot.STOPPED]
    assert queued_mail(session) == []


def test_a_home_without_a_member_is_named(session: SchemeSession) -> None:
    home = furnished_home(session)
    assert [(one.name, one.why_not) for one in ask(session, home)] == [(None, WhyNot.NOBODY)]


def test_in_the_evening_it_waits_for_the_morning_whose_message_it_is(
    session: SchemeSession, home: FurnishedHome
) -> None:
    due_in(session, home, 10)
    evening, morning = datetime(2026, 11, 25, 21, tzinfo=UTC), datetime(2026, 11, 26, 8, tzinfo=UTC)
    [one] = ask(session, home, at=evening)
    [mail] = queued_mail(session)
    assert (one.goes_out_at, mail.not_before_ms) == (morning, int(morning.timestamp() * 1000))
    assert "in 9 days" in mail.text
    assert why_not(ask(session, home, at=morning)) == [WhyNot.MAILED_TODAY]


def test_the_number_of_reads_does_not_grow_with_the_homes(session: SchemeSession) -> None:
    homes = [furnished_home(session, reference=f"H-{number}") for number in range(6)]
    counts = []
    for some in (homes[:2], homes):
        with counted_statements(session) as seen:
            ask(session, *some)
        counts.append(len(seen))
    assert counts[0] == counts[1]
