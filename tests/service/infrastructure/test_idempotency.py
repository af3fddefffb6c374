"""A key is claimed with the transaction that answers it, and its reply is kept no longer than it may be asked for."""

from datetime import timedelta

import pytest
from sqlalchemy import select

from service.common.clock import FixedClock
from service.common.errors import Rejected
from service.infrastructure.db.sessions import Database, SchemeSession
from service.infrastructure.idempotency import KEEP_REPLIES, KeptReply, claim_key, forget_old_replies
from service.infrastructure.mail.queue import Postmark
from service.infrastructure.settings import Settings
from service.infrastructure.tasks import JobContext
from tests.conftest import NOON
from tests.factories.threads import background, is_blocked

pytestmark = pytest.mark.both_databases


def claim(session: SchemeSession, key: str = "k", *, fingerprint: str = "f", account_id: str = "a") -> KeptReply:
    return claim_key(session, account_id=account_id, route="r", key=key, fingerprint=fingerprint, at=NOON)


def answer(database: Database, scheme: str, key: str) -> None:
    with database.scheme(scheme, write=True) as session:
        kept = claim(session, key)
        kept.status, kept.reply = 201, {"body": key, "etag": None}


def test_who_repeats_a_key_waits_for_the_first_and_is_given_its_reply(database: Database, scheme: str) -> None:
    seen: list[tuple[bool, object]] = []

    def repeat() -> None:
        with database.scheme(scheme, write=True) as session:
            kept = claim(session)
            seen.append((kept.is_finished, kept.reply))

    with database.scheme(scheme, write=True) as session:
        first = claim(session)
        assert not first.is_finished
        waiting = background(repeat)
        assert is_blocked(waiting, database)
        first.status, first.reply = 201, {"body": "{}", "etag": '"1"'}
    waiting.join()
    assert seen == [(True, {"body": "{}", "etag": '"1"'})]


def test_a_key_whose_first_request_failed_is_the_next_ones(database: Database, scheme: str) -> None:
    seen: list[bool] = []

    def repeat() -> None:
        with database.scheme(scheme, write=True) as session:
            seen.append(claim(session).is_finished)

    with database.scheme_session(scheme, write=True) as session:
        claim(session)
        waiting = background(repeat)
        assert is_blocked(waiting, database)
        session.rollback()
    waiting.join()
    assert seen == [False]


def test_a_key_stands_for_one_request(database: Database, scheme: str) -> None:
    answer(database, scheme, "k")
    with database.scheme_session(scheme, write=True) as session:
        assert claim(session).is_finished
        with pytest.raises(Rejected):
            claim(session, fingerprint="another")
        assert not claim(session, account_id="b", fingerprint="another").is_finished


def test_replies_are_forgotten_when_nobody_repeats_their_request_any_more(
    database: Database, scheme: str, settings: Settings, clock: FixedClock
) -> None:
    context = JobContext(settings, database, clock, Postmark("k" * 32, "mail.example"))
    answer(database, scheme, "old")
    clock.move(KEEP_REPLIES)
    assert forget_old_replies(context) == 0
    clock.move(timedelta(seconds=1))
    with database.scheme(scheme, write=True) as session:
        claim_key(session, account_id="a", route="r", key="new", fingerprint="f", at=clock.now())
    assert forget_old_replies(context) == 1
    with database.scheme(scheme, write=False) as session:
        assert session.scalars(select(KeptReply.key)).all() == ["new"]
