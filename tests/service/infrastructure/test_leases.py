"""A lease is one holder's at a time by the database's clock, and a token that was passed over is worth nothing."""

import logging
import time
from datetime import timedelta

import pytest
import time_machine
from sqlalchemy import select, update

from service.infrastructure.db.sessions import Database
from service.infrastructure.leases import ClockLease, Hold, LeaseKeeper, give_up, renew, take
from tests.factories.queues import database_ms
from tests.factories.threads import at_once

pytestmark = pytest.mark.both_databases

MINUTE_MS = 60_000


def taken(database: Database, holder: str, *, lease_ms: int = MINUTE_MS, name: str = "clock") -> Hold | None:
    with database.system(write=True) as session:
        return take(session, name, holder, lease_ms=lease_ms)


def renewed(database: Database, hold: Hold) -> bool:
    with database.system(write=True) as session:
        return renew(session, hold, lease_ms=MINUTE_MS)


def given_up(database: Database, hold: Hold) -> bool:
    with database.system(write=True) as session:
        return give_up(session, hold)


def run_out(database: Database) -> None:
    """Let every lease have run out just now."""
    with database.system(write=True) as session:
        session.execute(update(ClockLease).values(lease_until_ms=0))


def stored(database: Database, name: str = "clock") -> tuple[str, int, int]:
    with database.system(write=False) as session:
        row = session.execute(
            select(ClockLease.holder, ClockLease.token, ClockLease.lease_until_ms).where(ClockLease.name == name)
        ).one()
    return row.holder, row.token, row.lease_until_ms


def test_the_first_who_asks_holds_it_until_about_the_end_of_the_lease(database: Database) -> None:
    assert taken(database, "a") == Hold("clock", "a", 1)
    holder, token, until_ms = stored(database)
    assert (holder, token) == ("a", 1)
    assert MINUTE_MS - 5000 < until_ms - database_ms(database) <= MINUTE_MS


def test_while_it_runs_nobody_else_gets_it(database: Database) -> None:
    taken(database, "a")
    assert taken(database, "b") is None
    assert stored(database)[:2] == ("a", 1)


def test_of_eight_who_ask_at_once_one_gets_it_and_again_when_it_ran_out(database: Database) -> None:
    for token in (1, 2, 3):
        holds = [hold for hold in at_once(8, lambda number: taken(database, f"w{number}")) if hold is not None]
        assert [hold.token for hold in holds] == [token]
        run_out(database)


def test_who_holds_it_may_take_it_again_under_the_same_token(database: Database) -> None:
    first = taken(database, "a", lease_ms=1000)
    assert taken(database, "a") == first
    assert stored(database)[2] - database_ms(database) > 10_000


def test_each_take_over_raises_the_token_even_the_former_holders_own(database: Database) -> None:
    assert taken(database, "a") == Hold("clock", "a", 1)
    run_out(database)
    assert taken(database, "a") == Hold("clock", "a", 2)
    run_out(database)
    assert taken(database, "b") == Hold("clock", "b", 3)


def test_leases_of_different_names_have_nothing_to_do_with_each_other(database: Database) -> None:
    assert taken(database, "a") is not None
    assert taken(database, "b", name="another") == Hold("another", "b", 1)


def test_a_running_lease_is_renewed_from_now(database: Database) -> None:
    hold = taken(database, "a", lease_ms=5000)
    assert hold is not None
    assert renewed(database, hold)
    assert stored(database)[2] - database_ms(database) > 10_000


def test_a_lease_that_ran_out_is_not_renewed_though_nobody_took_it(database: Database) -> None:
    hold = taken(database, "a")
    assert hold is not None
    run_out(database)
    assert not renewed(database, hold)
    assert stored(database)[2] == 0


def test_a_holder_that_was_passed_over_changes_nothing(database: Database) -> None:
    paused = taken(database, "a")
    assert paused is not None
    run_out(database)
    taken(database, "b")
    before = stored(database)
    assert not renewed(database, paused)
    assert not given_up(database, paused)
    assert taken(database, "a") is None
    assert stored(database) == before


def test_an_old_token_of_the_same_name_changes_nothing(database: Database) -> None:
    old = taken(database, "a")
    assert old is not None
    run_out(database)
    taken(database, "a")
    before = stored(database)
    assert not renewed(database, old)
    assert not given_up(database, old)
    assert stored(database) == before


def test_what_is_given_up_the_next_has_at_once(database: Database) -> None:
    hold = taken(database, "a")
    assert hold is not None
    assert given_up(database, hold)
    assert taken(database, "b") == Hold("clock", "b", 2)


def test_a_workers_own_clock_ends_no_lease(database: Database) -> None:
    taken(database, "a")
    with time_machine.travel(timedelta(days=1), tick=True):
        assert taken(database, "b") is None


def test_a_lease_ends_by_itself(database: Database) -> None:
    taken(database, "a", lease_ms=200)
    ends = time.monotonic() + 10
    while (hold := taken(database, "b")) is None:
        assert time.monotonic() < ends, "the lease does not end"
        time.sleep(0.02)
    assert hold.token == 2


def test_of_two_keepers_one_holds_and_the_other_follows_when_it_gives_up(database: Database) -> None:
    one, other = (LeaseKeeper(database, "clock", lease_s=60) for _ in range(2))
    assert one.holder != other.holder
    assert (one.look(), other.look()) == (True, False)
    one.give_up()
    assert other.look() is False, "it asks a few times a lease, not each time"
    assert other.confirm() is True
    assert (one.look(), other.look()) == (False, True)


def test_a_keeper_that_was_passed_over_says_so_once_and_holds_nothing(
    database: Database, caplog: pytest.LogCaptureFixture
) -> None:
    caplog.set_level(logging.INFO, "service.infrastructure.leases")
    paused, other = (LeaseKeeper(database, "clock", lease_s=60) for _ in range(2))
    assert paused.confirm()
    run_out(database)
    assert other.confirm()
    assert [paused.confirm() for _ in range(3)] == [False] * 3
    told = [(record.message, record.token) for record in caplog.records]  # type: ignore[attr-defined]
    assert told == [("a lease was taken", 1), ("a lease was taken", 2), ("a lease was lost", 1)]


def test_a_keeper_takes_no_hold_for_granted_after_an_error(
    database: Database, monkeypatch: pytest.MonkeyPatch
) -> None:
    keeper = LeaseKeeper(database, "clock", lease_s=60)
    assert keeper.confirm()
    with monkeypatch.context() as broken:
        broken.setattr("service.infrastructure.leases.renew", lambda *_, **__: 1 / 0)
        with pytest.raises(ZeroDivisionError):
            keeper.confirm()
        assert keeper.look() is False
    assert keeper.confirm()
    assert stored(database)[1] == 1


def test_giving_up_what_is_not_held_does_nothing(database: Database) -> None:
    one, other = (LeaseKeeper(database, "clock", lease_s=60) for _ in range(2))
    assert one.confirm()
    other.give_up()
    assert stored(database)[0] == one.holder
    one.give_up()
    one.give_up()
    assert other.confirm()
