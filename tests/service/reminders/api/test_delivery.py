"""A message goes out again as a new row with the same words, to those it may still go to."""

from collections.abc import Callable
from typing import Any

import pytest
from sqlalchemy import select

from service.accounts.models import Account, Membership
from service.infrastructure.db.sessions import Database
from service.infrastructure.mail.queue import Mail
from service.reminders.models import SafetyNotice
from tests.conftest import NOON
from tests.factories.notices import add_told_person
from tests.factories.reminders import add_home

Clients = Callable[..., Any]


@pytest.fixture
def mail_id(client: Clients, database: Database, scheme: str) -> str:
    """A refused safety notice to a member."""
    with database.scheme(scheme, write=True) as session:
        home = add_home(session)
    client("member", scheme, home)
    with database.scheme(scheme, write=True) as session:
        return add_told_person(session, home, session.scalars(select(Account.id)).one())["mail_id"]


@pytest.fixture
def administrator(client: Clients, scheme: str, mail_id: str) -> Any:
    return client("administrator", scheme)


def change(database: Database, scheme: str, mail_id: str, **values: object) -> None:
    with database.scheme(scheme, write=True) as session:
        mail = session.get_one(Mail, (scheme, mail_id))
        for name, value in values.items():
            setattr(mail, name, value)


def test_the_same_words_are_queued_under_a_new_key_each_time(
    administrator: Any, database: Database, scheme: str, mail_id: str
) -> None:
    replies = [administrator.post(f"/api/v1/mail/{mail_id}/resend") for _ in range(2)]
    assert [reply.status_code for reply in replies] == [201, 201]
    assert replies[0].get_json()["resend_of_id"] == mail_id and replies[0].get_json()["status"] == "waiting"
    with database.scheme(scheme, write=False) as session:
        first, *again = session.scalars(select(Mail).order_by(Mail.queued_at)).all()
        assert {(each.subject, each.text, each.recipient, each.account_id) for each in again} == {
            (first.subject, first.text, first.recipient, first.account_id)
        }
        assert len({each.message_id for each in (first, *again)}) == 3
        # The unread notice follows the newest message of the first one: its fate decides whether somebody is rung.
        assert session.scalars(select(SafetyNotice.mail_id)).one() == replies[0].get_json()["id"]


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({"status": "waiting"}, "has not been sent yet"),
        ({"status": "claimed"}, "has not been sent yet"),
        ({"text": ""}, "kept for seven days"),
        ({"kind": "inspection_link"}, "Make a new link"),
    ],
)
def test_it_is_refused_where_it_would_be_wrong(
    administrator: Any, database: Database, scheme: str, mail_id: str, values: dict[str, object], words: str
) -> None:
    change(database, scheme, mail_id, **values)
    reply = administrator.post(f"/api/v1/mail/{mail_id}/resend")
    assert reply.status_code == 409 and words in reply.get_json()["detail"]


def test_it_is_refused_for_who_has_left(administrator: Any, database: Database, scheme: str, mail_id: str) -> None:
    with database.scheme(scheme, write=True) as session:
        session.scalars(select(Membership).where(Membership.role == "member")).one().ended_at = NOON
    reply = administrator.post(f"/api/v1/mail/{mail_id}/resend")
    assert reply.status_code == 409 and "has left" in reply.get_json()["detail"]


def test_an_unknown_message_is_not_there(administrator: Any) -> None:
    assert administrator.post(f"/api/v1/mail/{'f' * 32}/resend").status_code == 404
