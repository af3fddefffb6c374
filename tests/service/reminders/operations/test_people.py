"""Who is rung, and why a message does not go out any more when its turn comes."""

from datetime import timedelta
from typing import Any

import pytest
from sqlalchemy import select, update

from service.accounts.models import Account, Membership, Role
from service.infrastructure.db.sessions import SchemeSession
from service.infrastructure.mail.queue import Mail, Rendered, queue
from service.reminders.operations.people import HAS_LEFT, HAS_MUTED, duty_contacts, why_not_to_send
from tests.factories.reminders import NOON, POSTMARK, add_home, add_person


@pytest.fixture
def home(session: SchemeSession) -> str:
    return add_home(session)


def queued(session: SchemeSession, account_id: str | None, household_id: str | None, **changes: Any) -> Mail:
    mail = queue(
        session, Rendered("s", "t", "h"), kind="k", dedupe_key=f"k/{account_id}/{household_id}",
        recipient="a@b.example",
        household_id=household_id, at=NOON, postmark=POSTMARK, account_id=account_id, **changes,
    )  # fmt: skip
    assert mail is not None
    session.flush()
    return mail


def end(session: SchemeSession, account_id: str) -> None:
    session.execute(update(Membership).where(Membership.account_id == account_id).values(ended_at=NOON))


def test_the_named_duty_contacts_are_rung_else_every_administrator(session: SchemeSession, home: str) -> None:
    add_person(session, "Ada Finch", home)
    first = add_person(session, "Rowan Ellery", None, Role.ADMINISTRATOR)
    second = add_person(session, "Jo Marsh", None, Role.ADMINISTRATOR, is_duty_contact=True)
    assert [each.account_id for each in duty_contacts(session)] == [second]
    end(session, second)
    assert [each.account_id for each in duty_contacts(session)] == [first]


def test_a_leavers_message_is_not_sent(session: SchemeSession, home: str) -> None:
    ada = add_person(session, "Ada Finch", home)
    mail = queued(session, ada, home)
    assert why_not_to_send(session, mail) is None
    end(session, ada)
    assert why_not_to_send(session, mail) == HAS_LEFT


def test_nor_that_of_a_closed_account_or_of_who_moved_to_another_home(session: SchemeSession, home: str) -> None:
    ada, bo = add_person(session, "Ada Finch", home), add_person(session, "Bo Finch", home)
    session.get_one(Account, ada).disabled_at = NOON
    assert why_not_to_send(session, queued(session, ada, home)) == HAS_LEFT
    moved = session.scalars(select(Membership).where(Membership.account_id == bo)).one()
    moved.household_id = add_home(session, "H-2")
    assert why_not_to_send(session, queued(session, bo, home)) == HAS_LEFT
    assert why_not_to_send(session, queued(session, bo, None)) is None


def test_who_runs_the_scheme_is_told_of_any_home(session: SchemeSession, home: str) -> None:
    rowan = add_person(session, "Rowan Ellery", None, Role.ADMINISTRATOR)
    assert why_not_to_send(session, queued(session, rowan, home)) is None


def test_muting_stops_tips_that_wait_and_nothing_else(session: SchemeSession, home: str) -> None:
    ada = add_person(session, "Ada Finch", home, tips_muted_at=NOON - timedelta(hours=1))
    tip = queued(session, ada, home, unsubscribe_url="https://charging.example/mute/x")
    assert why_not_to_send(session, tip) == HAS_MUTED
    assert why_not_to_send(session, queued(session, ada, None)) is None


def test_mail_to_somebody_without_an_account_is_sent(session: SchemeSession) -> None:
    assert why_not_to_send(session, queued(session, None, None)) is None
