"""Run work in several threads at the same moment, and see one of them wait for a lock of the database."""

import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from threading import Barrier, Thread
from typing import Any, TypeVar

from sqlalchemy import text

from service.infrastructure.db.sessions import Database

SQLITE_WAIT_S = 0.5
LOCK_WAITS = text(
    "SELECT count(*) FROM pg_stat_activity WHERE datname = current_database() AND wait_event_type = 'Lock'"
)
Result = TypeVar("Result")


def at_once(count: int, work: Callable[[int], Result]) -> list[Result]:
    """Call ``work(0)`` ... ``work(count - 1)``, each in a thread of its own, all let go together.

    Returns their results in order; raises what the first of them raised.
    """
    gate = Barrier(count)

    def one(number: int) -> Result:
        gate.wait(timeout=30)
        return work(number)

    with ThreadPoolExecutor(count) as pool:
        return [future.result(timeout=120) for future in [pool.submit(one, number) for number in range(count)]]


def background(work: Callable[[], Any]) -> Thread:
    """Start the work in a thread of its own."""
    thread = Thread(target=work)
    thread.start()
    return thread


def is_blocked(thread: Thread, database: Database) -> bool:
    """Tell whether a thread comes to wait for a lock that somebody holds; False where it ends instead.

    PostgreSQL says who waits. SQLite does not: there, not to have ended after a while counts as waiting.
    """
    if database.is_sqlite:
        thread.join(SQLITE_WAIT_S)
        return thread.is_alive()
    ends = time.monotonic() + 30
    while thread.is_alive() and time.monotonic() < ends:
        with database.system(write=False) as session:
            if session.scalar(LOCK_WAITS):
                return True
        time.sleep(0.01)
    return False
