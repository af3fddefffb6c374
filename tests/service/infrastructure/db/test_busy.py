"""What will pass if tried again is told apart from what will not, by the databases' own codes."""

import threading
from collections.abc import Iterator

import pytest
from sqlalchemy import text
from sqlalchemy.exc import DBAPIError, OperationalError

from service.infrastructure.db.busy import is_busy
from service.infrastructure.db.sessions import Database

pytestmark = pytest.mark.faults


@pytest.fixture
def hasty(database: Database) -> Iterator[Database]:
    """The test's database, opened by somebody who waits 100 ms for a lock."""
    hasty = Database(database.engine.url.render_as_string(hide_password=False), busy_timeout_ms=100)
    yield hasty
    hasty.close()


def error_of(database: Database, *statements: str) -> DBAPIError:
    """Return what a transaction of these statements fails with."""
    try:
        with database.system(write=True) as session:
            for statement in statements:
                session.execute(text(statement))
    except DBAPIError as error:
        return error
    raise AssertionError("it did not fail")


@pytest.mark.both_databases
def test_a_lock_held_too_long_is_busy(database: Database, hasty: Database) -> None:
    with database.system(write=True) as session:
        if not database.is_sqlite:
            session.execute(text("LOCK TABLE schemes IN EXCLUSIVE MODE"))
        session.execute(text("SELECT 1"))
        error = error_of(hasty, "DELETE FROM schemes")
    assert is_busy(error)
    with hasty.system(write=True) as session:
        session.execute(text("DELETE FROM schemes"))


@pytest.mark.one_database("sqlite")
def test_a_missing_table_is_not_busy_though_sqlite_calls_it_operational(database: Database) -> None:
    error = error_of(database, "DELETE FROM no_such_table")
    assert isinstance(error, OperationalError)
    assert not is_busy(error)


@pytest.mark.one_database("postgresql")
def test_a_statement_that_was_cut_off_for_its_length_is_not_busy(database: Database) -> None:
    error = error_of(database, "SET LOCAL statement_timeout = 20", "SELECT pg_sleep(5)")
    assert isinstance(error, OperationalError)
    assert not is_busy(error)


@pytest.mark.one_database("postgresql")
def test_the_loser_of_a_deadlock_is_busy(database: Database) -> None:
    both_hold, errors = threading.Barrier(2), []

    def lock(first: int, second: int) -> None:
        try:
            with database.system(write=True) as session:
                session.execute(text("SET LOCAL deadlock_timeout = '20ms'"))
                session.execute(text(f"SELECT pg_advisory_xact_lock({first})"))
                both_hold.wait(10)
                session.execute(text(f"SELECT pg_advisory_xact_lock({second})"))
        except OperationalError as error:
            errors.append(error)

    threads = [threading.Thread(target=lock, args=order) for order in ((1, 2), (2, 1))]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert [is_busy(error) for error in errors] == [True]
    assert "deadlock" in str(errors[0].orig)


@pytest.mark.one_database("postgresql")
def test_a_connection_that_the_server_ended_is_busy_and_the_next_is_a_fresh_one(database: Database) -> None:
    error = error_of(database, "SELECT pg_terminate_backend(pg_backend_pid())", "SELECT 1")
    assert is_busy(error)
    with database.system(write=False) as session:
        assert session.scalar(text("SELECT 1")) == 1


@pytest.mark.one_database("postgresql")
def test_an_idle_connection_that_the_server_ended_costs_nobody_an_error(database: Database) -> None:
    with database.system(write=False) as session:
        ended = session.scalar(text("SELECT pg_backend_pid()"))
    other = Database(database.engine.url.render_as_string(hide_password=False))
    with other.system(write=True) as session:
        assert session.scalar(text("SELECT pg_terminate_backend(:pid, 2000)"), {"pid": ended})
    other.close()
    with database.system(write=False) as session:
        assert session.scalar(text("SELECT pg_backend_pid()")) != ended


@pytest.mark.one_database("postgresql")
def test_a_server_that_is_away_is_busy(database: Database) -> None:
    away = Database(database.engine.url.set(port=1).render_as_string(hide_password=False))
    with pytest.raises(OperationalError) as caught, away.system(write=False) as session:
        session.execute(text("SELECT 1"))
    assert is_busy(caught.value)
    away.close()
