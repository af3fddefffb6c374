"""A row is one worker's at a time, for as long as the database's clock says, and only its token may end it."""

from datetime import timedelta

import pytest
import time_machine
from sqlalchemy import update

from service.infrastructure import dispatch
from service.infrastructure.claims import Claim, LeaseLost, backoff_ms, claim_rows, finish, renew
from service.infrastructure.db.sessions import Database
from service.infrastructure.mail import queue
from service.infrastructure.outbox import Delivery
from service.planning.operations import runs
from tests.factories.queues import add_deliveries, await_lease_end, columns, database_ms, end_lease
from tests.factories.threads import at_once

pytestmark = pytest.mark.both_databases

MINUTE_MS = 60_000


def claim(database: Database, *, limit: int = 1, lease_ms: int = MINUTE_MS) -> list[Claim]:
    with database.system(write=True) as session:
        return claim_rows(session, Delivery, limit=limit, lease_ms=lease_ms)


@pytest.fixture
def row_id(database: Database, scheme: str) -> str:
    """A delivery that waits."""
    return add_deliveries(database, scheme, 1)[0]


def test_of_eight_workers_one_gets_the_one_row(database: Database, scheme: str) -> None:
    for _again in range(5):
        (row_id,) = add_deliveries(database, scheme, 1)
        taken = [held for claims in at_once(8, lambda _: claim(database)) for held in claims]
        assert taken == [Claim(scheme, row_id, 1)]


def test_eight_workers_share_many_rows_and_none_is_taken_twice(database: Database, scheme: str) -> None:
    ids = add_deliveries(database, scheme, 60)

    def take_all(_: int) -> list[Claim]:
        mine: list[Claim] = []
        while some := claim(database, limit=3):
            assert len(some) <= 3
            mine.extend(some)
        return mine

    taken = [held for claims in at_once(8, take_all) for held in claims]
    assert sorted(held.id for held in taken) == sorted(ids)
    assert {held.token for held in taken} == {1}


def test_a_claim_never_passes_its_limit_whatever_the_database_believes_of_the_table(
    database: Database, scheme: str
) -> None:
    # PostgreSQL that takes the table for a tiny one ran the subquery once a row, and each time took three more.
    add_deliveries(database, scheme, 1)
    with database.engine.connect() as connection:
        connection.exec_driver_sql("ANALYZE")
        connection.commit()
    add_deliveries(database, scheme, 8)
    assert [len(claim(database, limit=3)) for _ in range(4)] == [3, 3, 3, 0]


def test_the_row_that_is_due_longest_is_taken_first_and_one_not_due_is_left(database: Database, scheme: str) -> None:
    first, second, later = add_deliveries(database, scheme, 3)
    now_ms = database_ms(database)
    with database.system(write=True) as session:
        for row_id, due_ms in ((first, now_ms - 2000), (second, now_ms - 1000), (later, now_ms + MINUTE_MS)):
            session.execute(update(Delivery).where(Delivery.id == row_id).values(not_before_ms=due_ms))
    assert [[held.id for held in claim(database)] for _ in range(3)] == [[first], [second], []]


@pytest.mark.parametrize("status", ["done", "given_up"])
def test_a_row_that_has_ended_is_never_taken(database: Database, row_id: str, status: str) -> None:
    with database.system(write=True) as session:
        session.execute(update(Delivery).values(status=status, lease_until_ms=0))
    assert claim(database) == []


def test_a_lease_that_ran_out_by_the_databases_clock_is_taken_over(
    database: Database, scheme: str, row_id: str
) -> None:
    (held,) = claim(database, lease_ms=200)
    assert claim(database) == []
    await_lease_end(database, Delivery, row_id)
    assert claim(database) == [Claim(scheme, row_id, held.token + 1)]
    assert columns(database, Delivery, row_id)["attempts"] == 2


def test_a_workers_own_clock_ends_no_lease(database: Database, row_id: str) -> None:
    claim(database)
    with time_machine.travel(timedelta(days=1), tick=True):
        assert claim(database) == []


def test_eight_workers_take_a_lost_row_over_once(database: Database, scheme: str, row_id: str) -> None:
    claim(database)
    end_lease(database, Delivery, row_id)
    assert [held for claims in at_once(8, lambda _: claim(database)) for held in claims] == [Claim(scheme, row_id, 2)]


def test_a_stale_token_changes_nothing_and_its_other_work_is_undone(database: Database, row_id: str) -> None:
    (stale,) = claim(database)
    end_lease(database, Delivery, row_id)
    (fresh,) = claim(database)
    before = columns(database, Delivery, row_id)
    with database.scheme_session(stale.scheme_id, write=True) as session:
        session.execute(update(Delivery).where(Delivery.id == row_id).values(reason="the stale worker's"))
        with pytest.raises(LeaseLost):
            finish(session, Delivery, stale, status="done")
    with pytest.raises(LeaseLost), database.system(write=True) as session:
        renew(session, Delivery, stale, lease_ms=MINUTE_MS)
    assert columns(database, Delivery, row_id) == before
    with database.system(write=True) as session:
        finish(session, Delivery, fresh, status="done")
    assert columns(database, Delivery, row_id)["status"] == "done"


def test_a_row_is_ended_once(database: Database, row_id: str) -> None:
    (held,) = claim(database)
    with database.system(write=True) as session:
        finish(session, Delivery, held, status="done")
    with pytest.raises(LeaseLost), database.system(write=True) as session:
        finish(session, Delivery, held, status="given_up")
    assert columns(database, Delivery, row_id)["status"] == "done"


def test_a_renewed_lease_counts_from_now(database: Database, row_id: str) -> None:
    (held,) = claim(database, lease_ms=50)
    with database.system(write=True) as session:
        renew(session, Delivery, held, lease_ms=MINUTE_MS)
    lease_until_ms = columns(database, Delivery, row_id)["lease_until_ms"]
    assert isinstance(lease_until_ms, int)
    assert 0 < lease_until_ms - database_ms(database) <= MINUTE_MS
    assert claim(database) == []


def test_a_claim_that_is_rolled_back_was_never_made(database: Database, row_id: str) -> None:
    with database.system(write=True) as session:
        assert claim_rows(session, Delivery, limit=1, lease_ms=MINUTE_MS)
        session.rollback()
    assert [held.token for held in claim(database)] == [1]


@pytest.mark.one_database("postgresql")  # SQLite has one writer at a time
def test_a_claim_in_an_open_transaction_does_not_hold_up_other_rows(database: Database, scheme: str) -> None:
    add_deliveries(database, scheme, 2)
    with database.system(write=True) as session:
        held = claim_rows(session, Delivery, limit=1, lease_ms=MINUTE_MS)
        others = claim(database, limit=2)
    assert len(held) == len(others) == 1
    assert held[0].id != others[0].id


@pytest.mark.parametrize(("attempts", "wait_ms"), [(1, 1000), (2, 5000), (3, 30_000), (4, None), (5, None)], ids=str)
def test_each_try_waits_as_the_table_says_and_after_the_last_it_is_given_up(attempts: int, wait_ms: int | None) -> None:
    assert backoff_ms(attempts, (1, 5, 30)) == wait_ms


@pytest.mark.parametrize("delays_s", [dispatch.RETRY_DELAYS_S, queue.RETRY_DELAYS_S, runs.RETRY_DELAYS_S])
def test_no_table_of_delays_ever_shrinks(delays_s: tuple[int, ...]) -> None:
    assert list(delays_s) == sorted(delays_s)
    assert delays_s[0] >= 1
