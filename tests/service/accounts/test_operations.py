"""Failed sign-ins are counted exactly, also where many fail at the same moment."""

from datetime import timedelta

import pytest
from sqlalchemy import select

from service.accounts.domain import ATTEMPT_WINDOW, ATTEMPTS_PER_ACCOUNT_AND_SOURCE
from service.accounts.models import SignInAttempt
from service.accounts.operations import check_throttle, note_failure
from service.common.errors import TooMany
from service.infrastructure.db.sessions import Database
from tests.conftest import NOON
from tests.factories.threads import at_once

pytestmark = pytest.mark.both_databases


def fail(database: Database, *, email: str = "ada@home.example", minutes: float = 0) -> None:
    with database.system(write=True) as session:
        note_failure(session, email=email, source="192.0.2.1", now=NOON + timedelta(minutes=minutes))


def failures(database: Database) -> dict[str, list[int]]:
    """Return the counts by what they count against: an account, a source, or both together."""
    found: dict[str, list[int]] = {"account": [], "both": [], "source": []}
    with database.system(write=False) as session:
        for subject, count in session.execute(select(SignInAttempt.subject, SignInAttempt.failures)):
            found[subject.partition(":")[0]].append(count)
    return found


def test_failures_at_the_same_moment_are_all_counted(database: Database) -> None:
    at_once(8, lambda _: [fail(database) for _again in range(5)])
    assert failures(database) == {"account": [40], "both": [40], "source": [40]}


def test_a_source_is_counted_over_all_accounts(database: Database) -> None:
    at_once(4, lambda number: fail(database, email=f"person{number}@home.example"))
    assert failures(database) == {"account": [1] * 4, "both": [1] * 4, "source": [4]}


def test_a_window_that_is_over_begins_anew(database: Database) -> None:
    minutes = ATTEMPT_WINDOW / timedelta(minutes=1)
    fail(database)
    fail(database, minutes=minutes - 0.1)
    assert failures(database) == {"account": [2], "both": [2], "source": [2]}
    fail(database, minutes=minutes)
    assert failures(database) == {"account": [1], "both": [1], "source": [1]}
    with database.system(write=False) as session:
        starts = set(session.scalars(select(SignInAttempt.window_starts_at)))
    assert starts == {NOON + ATTEMPT_WINDOW}


def test_the_last_attempt_that_is_allowed_fills_the_window(database: Database) -> None:
    for _ in range(ATTEMPTS_PER_ACCOUNT_AND_SOURCE):
        with database.system(write=False) as session:
            check_throttle(session, email="ada@home.example", source="192.0.2.1", now=NOON)
        fail(database)
    with database.system(write=False) as session, pytest.raises(TooMany):
        check_throttle(session, email="ada@home.example", source="192.0.2.1", now=NOON)
