"""One request is one transaction: it waits for a lock or says so, loses no update, and repeats no effect."""

import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import timedelta
from typing import Any

import pytest
from argon2 import PasswordHasher
from sqlalchemy import func, select, text

from service.accounts import operations as accounts
from service.accounts.models import AuditEntry, Role
from service.common.clock import FixedClock
from service.households.models import Household, Lead
from service.infrastructure.db.sessions import Database
from service.infrastructure.idempotency import KeptReply
from service.infrastructure.settings import Settings
from service.safety.models import ShownAnswer
from tests.conftest import NOON, PASSWORD, sign_in
from tests.factories.apps import app_on
from tests.factories.households import furnished_home
from tests.factories.threads import at_once, background, is_blocked

pytestmark = [pytest.mark.both_databases, pytest.mark.faults]

LEAD = {"label": "Spare", "kind": "mode_2", "rated_a": 10, "set_a": 8}
PROBLEM = "application/problem+json"


class Rig:
    """The whole app on a database of its own, with a home in it and administrators to ask."""

    def __init__(self, settings: Settings, hasher: PasswordHasher, scheme: str, busy_timeout_ms: int) -> None:
        self.database = Database(settings.database_url, busy_timeout_ms=busy_timeout_ms)
        self.clock = FixedClock(NOON)
        self.app = app_on(settings, self.database, self.clock)
        self.scheme, self._hasher, self._people = scheme, hasher, 0
        with self.database.scheme(scheme, write=True) as session:
            self.home_id = furnished_home(session).id
        self.path = f"/api/v1/households/{self.home_id}"

    def administrator(self) -> Any:
        """Return the signed-in client of a new administrator."""
        self._people += 1
        email = f"admin{self._people}@scheme.example"
        with self.database.system(write=True) as session:
            account = accounts.create_account(
                session, email=email, name="Ada", password=PASSWORD, hasher=self._hasher, now=NOON
            )
        with self.database.scheme(self.scheme, write=True) as session:
            accounts.add_membership(
                session, account_id=account.id, role=Role.ADMINISTRATOR, household_id=None, now=NOON
            )
        return sign_in(self.app, email)

    def count(self, model: type) -> int:
        """Return how many rows of a table there are."""
        with self.database.scheme(self.scheme, write=False) as session:
            return session.scalar(select(func.count()).select_from(model)) or 0

    def home(self) -> Household:
        """Return the home as it is stored."""
        with self.database.scheme(self.scheme, write=False) as session:
            return session.scalars(select(Household).where(Household.id == self.home_id)).one()

    @contextmanager
    def locked(self) -> Iterator[None]:
        """Hold what a writer of the home needs, as another process would."""
        other = Database(self.database.engine.url.render_as_string(hide_password=False))
        try:
            with other.system(write=True) as session:  # on SQLite this alone is the one write lock
                if not other.is_sqlite:
                    session.execute(text("LOCK TABLE households, leads, sign_in_sessions IN EXCLUSIVE MODE"))
                session.execute(select(1))
                yield
                session.rollback()
        finally:
            other.close()


@pytest.fixture
def make_rig(settings: Settings, hasher: PasswordHasher, scheme: str) -> Iterator[Callable[..., Rig]]:
    made: list[Rig] = []

    def make(busy_timeout_ms: int = 5_000) -> Rig:
        made.append(Rig(settings, hasher, scheme, busy_timeout_ms))
        return made[-1]

    yield make
    for rig in made:
        rig.database.close()


@pytest.mark.parametrize("held_s", [0.1, 1.5])
def test_a_change_waits_for_a_lock_and_then_succeeds(make_rig: Callable[..., Rig], held_s: float) -> None:
    rig = make_rig()
    client = rig.administrator()
    replies = []

    def change() -> None:
        replies.append(client.patch(rig.path, json={"member_name": "Changed"}, headers={"If-Match": "*"}))

    with rig.locked():
        waiting = background(change)
        assert is_blocked(waiting, rig.database)
        time.sleep(held_s)
        assert client.get(rig.path).status_code == 200, "a read must not wait"
    waiting.join()
    assert [reply.status_code for reply in replies] == [200]
    assert rig.home().member_name == "Changed"


def test_a_lock_held_too_long_is_answered_as_busy_with_nothing_stored(make_rig: Callable[..., Rig]) -> None:
    rig = make_rig(busy_timeout_ms=150)
    client = rig.administrator()
    before, leads = rig.home(), rig.count(Lead)
    with rig.locked():
        replies = [
            client.patch(rig.path, json={"member_name": "Changed"}, headers={"If-Match": "*"}),
            client.post(f"{rig.path}/leads", json=LEAD, headers={"Idempotency-Key": "k"}),
        ]
        assert client.get(rig.path).status_code == 200, "a read needs no lock"
    for reply in replies:
        assert (reply.status_code, reply.mimetype) == (503, PROBLEM)
        assert int(reply.headers["Retry-After"]) >= 1
        assert reply.get_json()["type"] == "/problems/busy"
    after = rig.home()
    assert (after.member_name, after.version) == (before.member_name, before.version)
    assert (rig.count(Lead), rig.count(KeptReply)) == (leads, 0)
    again = client.post(f"{rig.path}/leads", json=LEAD, headers={"Idempotency-Key": "k"})
    assert (again.status_code, rig.count(Lead)) == (201, leads + 1)


def test_a_read_does_not_fail_over_the_note_that_its_session_was_used(make_rig: Callable[..., Rig]) -> None:
    rig = make_rig(busy_timeout_ms=150)
    client = rig.administrator()
    rig.clock.move(timedelta(minutes=5))
    with rig.locked():
        assert client.get(rig.path).status_code == 200


def test_a_request_that_gets_no_connection_in_time_is_answered_as_busy(make_rig: Callable[..., Rig]) -> None:
    rig = make_rig()
    client, pool = rig.administrator(), rig.database.engine.pool
    pool._timeout = 0.1  # type: ignore[attr-defined]
    held = [rig.database.engine.connect() for _ in range(pool.size() + pool._max_overflow)]  # type: ignore[attr-defined]
    reply = client.get(rig.path)
    for connection in held:
        connection.close()
    assert (reply.status_code, reply.headers["Retry-After"]) == (503, "1")
    assert client.get(rig.path).status_code == 200


@pytest.mark.one_database("sqlite")
def test_signing_in_while_the_database_is_locked_is_answered_as_busy(make_rig: Callable[..., Rig]) -> None:
    rig = make_rig(busy_timeout_ms=150)
    rig.administrator()
    client = rig.app.test_client()
    client.environ_base["HTTP_X_REQUESTED_BY"] = "plugward"
    with rig.locked():
        reply = client.post("/api/v1/session", json={"email": "admin1@scheme.example", "password": PASSWORD})
    assert (reply.status_code, reply.mimetype) == (503, PROBLEM)


def test_of_clients_that_change_one_home_from_one_state_one_is_let_through(make_rig: Callable[..., Rig]) -> None:
    rig = make_rig()
    clients = [rig.administrator() for _ in range(8)]
    first, gate = rig.home().version, threading.Barrier(8)

    def change(number: int) -> list[tuple[int, str, str]]:
        found = []
        for turn in range(20):
            etag = clients[number].get(rig.path).headers["ETag"]
            gate.wait(30)
            name = f"Client {number}, turn {turn}"
            reply = clients[number].patch(rig.path, json={"member_name": name}, headers={"If-Match": etag})
            found.append((reply.status_code, reply.headers.get("ETag", ""), name))
            gate.wait(30)
        return found

    answers = [answer for found in at_once(8, change) for answer in found]
    accepted = {int(etag.strip('"')): name for status, etag, name in answers if status == 200}
    assert sorted(status for status, _, _ in answers) == [200] * 20 + [412] * 140
    assert sorted(accepted) == list(range(first + 1, first + 21))
    home = rig.home()
    assert (home.version, home.member_name) == (first + 20, accepted[first + 20])


def test_one_key_sent_ten_times_at_once_has_one_effect_and_one_answer(make_rig: Callable[..., Rig]) -> None:
    rig = make_rig()
    leads, signed_in = rig.count(Lead), rig.administrator()
    cookie = signed_in.get_cookie("__Host-plugward")

    def post(_: int) -> Any:
        client = rig.app.test_client()
        client.environ_base = signed_in.environ_base
        client.set_cookie("__Host-plugward", cookie.value, secure=True)
        return client.post(f"{rig.path}/leads", json=LEAD, headers={"Idempotency-Key": "once"})

    replies = at_once(10, post)
    assert rig.count(Lead) == leads + 1
    assert {(reply.status_code, reply.get_data(), reply.headers["ETag"]) for reply in replies} == {
        (201, replies[0].get_data(), replies[0].headers["ETag"])
    }
    assert sum("Idempotent-Replay" in reply.headers for reply in replies) == 9


def test_a_key_belongs_to_one_request_of_one_person(make_rig: Callable[..., Rig]) -> None:
    rig = make_rig()
    client, other = rig.administrator(), rig.administrator()
    leads, key = rig.count(Lead), {"Idempotency-Key": "k"}
    assert client.post(f"{rig.path}/leads", json=LEAD, headers=key).status_code == 201
    changed = client.post(f"{rig.path}/leads", json={**LEAD, "label": "Other"}, headers=key)
    assert (changed.status_code, changed.mimetype) == (422, PROBLEM)
    assert [entry["pointer"] for entry in changed.get_json()["errors"]] == ["#/Idempotency-Key"]
    elsewhere = client.post(f"{rig.path}/circuits", json={"label": "x", "runs": []}, headers=key)
    assert "Idempotent-Replay" not in elsewhere.headers
    theirs = other.post(f"{rig.path}/leads", json=LEAD, headers=key)
    assert (theirs.status_code, "Idempotent-Replay" in theirs.headers) == (201, False)
    assert rig.count(Lead) == leads + 2


def test_a_request_that_failed_leaves_its_key_free(make_rig: Callable[..., Rig]) -> None:
    rig = make_rig()
    client = rig.administrator()
    key = {"Idempotency-Key": "k"}
    assert client.post(f"{rig.path}/leads", json={**LEAD, "set_a": 99}, headers=key).status_code == 422
    assert rig.count(KeptReply) == 0
    reply = client.post(f"{rig.path}/leads", json=LEAD, headers=key)
    assert (reply.status_code, "Idempotent-Replay" in reply.headers) == (201, False)


def test_an_error_in_the_commit_leaves_nothing_stored(
    make_rig: Callable[..., Rig], monkeypatch: pytest.MonkeyPatch
) -> None:
    from service.infrastructure.db.sessions import SchemeSession

    rig = make_rig()
    client, leads = rig.administrator(), rig.count(Lead)
    monkeypatch.setattr(SchemeSession, "commit", lambda self: 1 // 0)
    reply = client.post(f"{rig.path}/leads", json=LEAD, headers={"Idempotency-Key": "k"})
    monkeypatch.undo()
    assert (reply.status_code, reply.mimetype) == (500, PROBLEM)
    assert (rig.count(Lead), rig.count(KeptReply)) == (leads, 0)


def test_a_note_of_what_was_read_goes_in_with_the_answer(make_rig: Callable[..., Rig]) -> None:
    rig = make_rig()
    assert rig.administrator().get(rig.path).status_code == 200
    assert rig.count(ShownAnswer) == 2  # an outlet and a lead


def test_a_busy_database_loses_the_note_and_not_the_answer(
    make_rig: Callable[..., Rig], caplog: pytest.LogCaptureFixture
) -> None:
    rig = make_rig()
    client = rig.administrator()
    with rig.locked():
        started = time.monotonic()
        reply = client.get(rig.path)
        waited_s = time.monotonic() - started
    assert reply.status_code == 200
    assert waited_s < 3, "a reader waits for no lock of the usual length"
    assert rig.count(ShownAnswer) == 0
    assert "could not be written" in caplog.text
    assert client.get(rig.path).status_code == 200
    assert rig.count(ShownAnswer) == 2, "what was lost is noted at the next look"


def test_a_refused_request_leaves_no_note(make_rig: Callable[..., Rig]) -> None:
    rig = make_rig()
    client, before = rig.administrator(), rig.count(AuditEntry)
    assert client.get(f"/api/v1/households/{'0' * 32}").status_code == 404
    assert (rig.count(AuditEntry), rig.count(ShownAnswer)) == (before, 0)
