"""Signing in and out: what a cookie is worth, when it ends, and how guessing is slowed down."""

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest
from argon2 import PasswordHasher
from sqlalchemy import select, update

from service.accounts import operations as accounts
from service.accounts.api import COOKIE
from service.accounts.domain import ATTEMPT_WINDOW, ATTEMPTS_PER_ACCOUNT, ATTEMPTS_PER_ACCOUNT_AND_SOURCE
from service.accounts.models import Account, Membership, Role, SignInAttempt, SignInSession
from service.app import create_app
from service.common.clock import FixedClock
from service.infrastructure.db.sessions import Database
from service.infrastructure.settings import Settings
from tests.conftest import NOON, PASSWORD, sign_in

URL = "/api/v1/session"
EMAIL = "ada@works.example"


@pytest.fixture
def ada(database: Database, scheme: str, hasher: PasswordHasher) -> str:
    """An administrator's account id."""
    with database.system(write=True) as session:
        account = accounts.create_account(
            session, email=" Ada@Works.example ", name="Ada", password=PASSWORD, hasher=hasher, now=NOON
        )
    with database.scheme(scheme, write=True) as session:
        accounts.add_membership(session, account_id=account.id, role=Role.ADMINISTRATOR, household_id=None, now=NOON)
    return account.id


def browser(app: Any, address: str = "203.0.113.7") -> Any:
    client = app.test_client()
    client.environ_base.update({"HTTP_X_REQUESTED_BY": "plugward", "wsgi.url_scheme": "https", "REMOTE_ADDR": address})
    return client


def attempt(client: Any, password: str = "a wrong password, long", email: str = EMAIL) -> Any:
    return client.post(URL, json={"email": email, "password": password})


def test_signing_in_tells_who_and_sets_a_cookie_scripts_cannot_read(app: Any, ada: str) -> None:
    reply = attempt(browser(app), PASSWORD)
    assert reply.status_code == 200
    assert reply.get_json()["roles"] == ["administrator"]
    cookie = reply.headers["Set-Cookie"]
    assert cookie.startswith(f"{COOKIE}=")
    for part in ("Secure", "HttpOnly", "SameSite=Strict", "Path=/"):
        assert part in cookie
    assert "Domain" not in cookie


def test_the_table_holds_no_token_that_opens_a_session(app: Any, ada: str, database: Database) -> None:
    reply = attempt(browser(app), PASSWORD)
    token = reply.headers["Set-Cookie"].split("=", 1)[1].split(";")[0]
    with database.system(write=False) as session:
        stored = session.scalars(select(SignInSession.token_hash)).all()
    assert token not in repr(stored)
    client = browser(app)
    client.set_cookie(COOKIE, stored[0], secure=True)
    assert client.get(URL).status_code == 401


def test_a_wrong_password_and_an_unknown_address_read_the_same(app: Any, ada: str) -> None:
    wrong = attempt(browser(app)).get_json()
    unknown = attempt(browser(app), email="nobody@works.example").get_json()
    assert {k: v for k, v in wrong.items() if k != "request_id"} == {
        k: v for k, v in unknown.items() if k != "request_id"
    }
    assert wrong["status"] == 401


def test_signing_in_again_ends_the_browsers_earlier_session(app: Any, ada: str, database: Database) -> None:
    client = browser(app)
    attempt(client, PASSWORD)
    old = client.get_cookie(COOKIE).value
    attempt(client, PASSWORD)
    other = browser(app)
    other.set_cookie(COOKIE, old, secure=True)
    assert client.get_cookie(COOKIE).value != old
    assert (other.get(URL).status_code, client.get(URL).status_code) == (401, 200)


def test_signing_out_ends_the_session_on_the_server(app: Any, ada: str) -> None:
    client = browser(app)
    attempt(client, PASSWORD)
    token = client.get_cookie(COOKIE).value
    assert client.delete(URL).status_code == 204
    thief = browser(app)
    thief.set_cookie(COOKIE, token, secure=True)
    assert thief.get(URL).status_code == 401


def test_a_session_ends_after_rest_and_after_its_longest_time(app: Any, ada: str, clock: FixedClock) -> None:
    rested = sign_in(app, EMAIL)
    clock.move(timedelta(minutes=29))
    assert rested.get(URL).status_code == 200
    clock.move(timedelta(minutes=31))
    assert rested.get(URL).status_code == 401
    busy = sign_in(app, EMAIL)
    for _half_hour in range(26):
        clock.move(timedelta(minutes=28))
        last = busy.get(URL).status_code
    assert last == 401  # twelve hours are over, however busy


@pytest.mark.parametrize("what", ["membership ended", "account disabled"])
def test_a_leaver_loses_every_session_at_once(app: Any, ada: str, database: Database, scheme: str, what: str) -> None:
    client = sign_in(app, EMAIL)
    if what == "membership ended":
        with database.scheme(scheme, write=True) as session:
            session.execute(update(Membership).values(ended_at=NOON))
    else:
        with database.system(write=True) as session:
            session.execute(update(Account).values(disabled_at=NOON))
    assert client.get(URL).status_code == 401
    assert attempt(browser(app), PASSWORD).status_code == 401


def test_guessing_from_one_place_is_slowed_down_there_and_nowhere_else(app: Any, ada: str, clock: FixedClock) -> None:
    guesser, owner = browser(app, "203.0.113.66"), browser(app, "198.51.100.4")
    codes = [attempt(guesser).status_code for _try in range(ATTEMPTS_PER_ACCOUNT_AND_SOURCE)]
    assert codes == [401] * ATTEMPTS_PER_ACCOUNT_AND_SOURCE
    refused = attempt(guesser, PASSWORD)
    assert refused.status_code == 429
    assert 0 < int(refused.headers["Retry-After"]) <= ATTEMPT_WINDOW.total_seconds() + 1
    assert attempt(owner, PASSWORD).status_code == 200
    clock.move(ATTEMPT_WINDOW)
    assert attempt(guesser, PASSWORD).status_code == 200


def test_an_account_guessed_at_from_many_places_slows_down_too(app: Any, ada: str) -> None:
    codes = [attempt(browser(app, f"203.0.{n // 4}.9")).status_code for n in range(ATTEMPTS_PER_ACCOUNT)]
    assert set(codes) == {401}
    assert attempt(browser(app, "198.51.100.4"), PASSWORD).status_code == 429


def test_a_made_up_forwarded_address_changes_nothing_without_a_trusted_proxy(app: Any, ada: str) -> None:
    client = browser(app)
    for n in range(ATTEMPTS_PER_ACCOUNT_AND_SOURCE):
        client.post(
            URL, json={"email": EMAIL, "password": "wrong wrong wrong"}, headers={"X-Forwarded-For": f"10.1.1.{n}"}
        )
    assert attempt(client, PASSWORD).status_code == 429


def test_behind_a_trusted_proxy_the_address_it_saw_counts(
    settings: Settings, database: Database, clock: FixedClock, ada: str
) -> None:
    app = create_app(replace(settings, trusted_proxies=1), database=database, clock=clock)
    client = browser(app, "127.0.0.1")

    def from_address(address: str, password: str) -> int:
        # The caller may write what they like before the address that the proxy appends.
        forwarded = {"X-Forwarded-For": f"1.2.3.4, {address}"}
        reply = client.post(URL, json={"email": EMAIL, "password": password}, headers=forwarded)
        return int(reply.status_code)

    for _try in range(ATTEMPTS_PER_ACCOUNT_AND_SOURCE):
        assert from_address("203.0.113.66", "wrong wrong wrong") == 401
    assert from_address("203.0.113.66", PASSWORD) == 429
    assert from_address("198.51.100.4", PASSWORD) == 200


def test_one_place_behind_an_unknown_proxy_does_not_lock_the_scheme_out(app: Any, ada: str) -> None:
    client = browser(app, "127.0.0.1")
    for n in range(80):
        attempt(client, email=f"guess{n}@works.example")
    assert attempt(client, PASSWORD).status_code == 200


def test_attempts_are_counted_under_hashes_only(app: Any, ada: str, database: Database) -> None:
    attempt(browser(app))
    with database.system(write=False) as session:
        subjects = session.scalars(select(SignInAttempt.subject)).all()
    assert len(subjects) == 3
    assert not any("ada" in subject or "203.0" in subject for subject in subjects)


def test_a_change_without_our_header_is_refused(app: Any, ada: str) -> None:
    client = app.test_client()
    assert client.post(URL, json={"email": EMAIL, "password": PASSWORD}).status_code == 403


@pytest.mark.parametrize("password", ["short", "aaaaaaaaaaaaaaaa", "x" * 300])
def test_a_weak_password_is_refused_and_not_repeated(
    database: Database, hasher: PasswordHasher, password: str, scheme: Callable[..., Any]
) -> None:
    from service.common.errors import Rejected

    with database.system(write=True) as session, pytest.raises(Rejected) as refusal:
        accounts.create_account(session, email="b@c.example", name="B", password=password, hasher=hasher, now=NOON)
    assert password not in str(refusal.value)
