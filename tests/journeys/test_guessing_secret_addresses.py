"""Secret addresses that open nothing: whoever tries many from one place waits, there and nowhere else."""

from typing import Any

import pytest
from argon2 import PasswordHasher
from sqlalchemy import select

from service.accounts.domain import ATTEMPT_WINDOW, GUESSES_PER_PLACE
from service.accounts.models import SignInAttempt
from service.common.clock import FixedClock
from service.infrastructure.db.sessions import Database
from tests.factories.visits import BASE, Doorstep, doorstep

GUESSER, ELSEWHERE = "203.0.113.66", "198.51.100.4"


@pytest.fixture
def door(app: Any, database: Database, hasher: PasswordHasher, clock: FixedClock, scheme: str) -> Doorstep:
    return doorstep(app, database, hasher, clock, scheme)


def guess(app: Any, what: str, number: int, place: str) -> Any:
    """Try a made-up address of a kind from a place."""
    client = app.test_client()
    client.environ_base.update({"REMOTE_ADDR": place, "HTTP_X_REQUESTED_BY": "plugward"})
    secret = f"{number:043}"
    if what == "link":
        return client.get(f"{BASE}/inspection_link", headers={"Inspection-Link": secret})
    if what == "mute":
        return client.post(f"{BASE}/mute/{secret}", data={"List-Unsubscribe": "One-Click"})
    return client.get(f"{BASE}/feeds/{secret}.ics")


def test_many_guesses_from_one_place_wait_there_and_nowhere_else(door: Doorstep, clock: FixedClock) -> None:
    kinds = ("link", "feed", "mute")
    codes = [guess(door.app, kinds[n % 3], n, GUESSER).status_code for n in range(GUESSES_PER_PLACE)]
    assert codes == [404] * GUESSES_PER_PLACE
    for what in kinds:
        refused = guess(door.app, what, 0, GUESSER)
        assert (refused.status_code, refused.mimetype) == (429, "application/problem+json"), what
        assert 0 < int(refused.headers["Retry-After"]) <= ATTEMPT_WINDOW.total_seconds() + 1
        assert guess(door.app, what, 0, ELSEWHERE).status_code == 404
    clock.move(ATTEMPT_WINDOW)
    assert guess(door.app, "link", 0, GUESSER).status_code == 404


def test_where_somebody_guessed_whoever_holds_a_secret_is_still_served(door: Doorstep) -> None:
    holder = door.link(door.ask())
    holder.client.environ_base["REMOTE_ADDR"] = GUESSER
    for n in range(GUESSES_PER_PLACE):
        guess(door.app, "link", n, GUESSER)
    assert guess(door.app, "link", 0, GUESSER).status_code == 429
    assert holder.get().status_code == 200


def test_what_opens_something_or_did_counts_as_no_guess(door: Doorstep, database: Database) -> None:
    visit_id = door.ask()
    holder = door.link(visit_id)
    holder.client.environ_base["REMOTE_ADDR"] = GUESSER
    assert holder.get().status_code == 200
    assert door.administrator.post(f"{BASE}/inspection_links/{holder.made['id']}/revocation").status_code == 200
    assert holder.get().status_code == 410
    with database.system(write=False) as session:
        assert not [row for row in session.scalars(select(SignInAttempt.subject)) if row.startswith("guess:")]
    guess(door.app, "link", 0, GUESSER)
    with database.system(write=False) as session:
        (subject,) = [row for row in session.scalars(select(SignInAttempt.subject)) if row.startswith("guess:")]
    assert GUESSER not in subject


def test_behind_a_proxy_that_nobody_trusts_no_place_is_known_and_none_is_slowed(door: Doorstep) -> None:
    codes = {guess(door.app, "feed", n, "127.0.0.1").status_code for n in range(GUESSES_PER_PLACE + 5)}
    assert codes == {404}


def test_that_they_may_have_to_wait_stands_in_the_document_of_each_secret_address(door: Doorstep) -> None:
    paths = door.app.test_client().get(f"{BASE}/openapi.json").json["paths"]
    found = {path: operations for path, operations in paths.items() if path.startswith(f"{BASE}/inspection_link/")}
    found |= {path: paths[path] for path in (f"{BASE}/inspection_link", f"{BASE}/feeds/{{token}}.ics")}
    found[f"{BASE}/mute/{{token}}"] = paths[f"{BASE}/mute/{{token}}"]
    for path, operations in found.items():
        for method in set(operations) & {"get", "put", "post"}:
            assert "429" in operations[method]["responses"], (method, path)
    assert len(found) >= 6
