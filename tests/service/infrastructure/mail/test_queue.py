"""A message is frozen when it is queued, under a key that lets it in once."""

import pytest
from sqlalchemy import func, select
from sqlalchemy.exc import IntegrityError

from service.accounts.operations import create_scheme
from service.infrastructure.db.sessions import Database, SchemeSession
from service.infrastructure.mail.queue import Mail, Postmark, Rendered, queue
from tests.conftest import NOON
from tests.factories.threads import at_once

pytestmark = pytest.mark.both_databases

POSTMARK = Postmark("k" * 32, "mail.example")


def put(session: SchemeSession, key: str, subject: str = "New times") -> Mail | None:
    return queue(
        session,
        Rendered(subject, "text", "<p>text</p>"),
        kind="test",
        dedupe_key=key,
        recipient="ada@home.example",
        household_id=None,
        at=NOON,
        postmark=POSTMARK,
    )


def test_a_key_lets_one_message_in_and_the_first_stays_as_it_was(database: Database, scheme: str) -> None:
    with database.scheme(scheme, write=True) as session:
        assert put(session, "a") is not None
    with database.scheme(scheme, write=True) as session:
        assert put(session, "a", "Other times") is None
        assert put(session, "b") is not None
    with database.scheme(scheme, write=False) as session:
        rows = session.execute(select(Mail.dedupe_key, Mail.subject, Mail.status).order_by(Mail.dedupe_key)).all()
    assert rows == [("a", "New times", "waiting"), ("b", "New times", "waiting")]


def test_the_message_id_follows_from_scheme_and_key_and_tells_neither(database: Database, scheme: str) -> None:
    other = "b" * 32
    with database.system(write=True) as session:
        create_scheme(session, scheme_id=other, name="Other", now=NOON)
    found = set()
    for scheme_id in (scheme, other):
        with database.scheme(scheme_id, write=True) as session:
            for key in ("a secret key", "b"):
                mail = put(session, key)
                assert mail is not None
                found.add(mail.message_id)
                assert mail.message_id == POSTMARK.message_id(scheme_id, key)
                assert "secret" not in mail.message_id
    assert len(found) == 4
    assert all(message_id.endswith("@mail.example>") for message_id in found)
    assert Postmark("other key", "mail.example").message_id(scheme, "b") not in found


def test_a_message_of_a_transaction_that_failed_is_not_sent(database: Database, scheme: str) -> None:
    with database.scheme_session(scheme, write=True) as session:
        put(session, "a")
        session.flush()
        session.rollback()
    with database.scheme(scheme, write=False) as session:
        assert session.scalar(select(func.count()).select_from(Mail)) == 0


def test_transactions_that_queue_one_key_together_queue_it_once(database: Database, scheme: str) -> None:
    def one(_: int) -> str:
        try:
            with database.scheme(scheme, write=True) as session:
                return "known" if put(session, "a") is None else "queued"
        except IntegrityError:
            return "clash"  # PostgreSQL: its job is tried again and finds the key known

    answers = at_once(6, one)
    assert answers.count("queued") == 1
    with database.scheme(scheme, write=False) as session:
        assert session.scalar(select(func.count()).select_from(Mail)) == 1
