"""Of several workers one asks the clock; it is followed when it dies, is paused, or stops."""

import os
import signal
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from sqlalchemy import update

from service.common.clock import FixedClock
from service.infrastructure.db.sessions import Database
from service.infrastructure.leases import ClockLease
from service.infrastructure.settings import Settings
from service.infrastructure.tasks import ClockJob
from service.worker import Worker, create_worker
from tests.factories.ticking_worker import LEASE_S, Strike, TickingWorker, strikes

HEARTBEAT_S = 1


class Fleet:
    """Several workers on one database, each of whose jobs note whose they were."""

    def __init__(self, settings: Settings, database: Database, clock: FixedClock) -> None:
        self._parts = (settings, database, clock)
        self.ran: list[tuple[str, str]] = []

    def worker(self, name: str, jobs: tuple[str, ...] = ("first", "second")) -> Worker:
        settings, database, clock = self._parts
        worker = create_worker(settings, database=database, clock=clock)
        worker.clock_jobs = [ClockJob(job, 60, self._noting(name, job)) for job in jobs]
        strike(worker)
        return worker

    def _noting(self, name: str, job: str) -> Callable[[object], int]:
        def run(_context: object) -> int:
            self.ran.append((name, job))
            return 1

        return run


def strike(worker: Worker) -> None:
    """Let every job of the worker be due."""
    for job in worker.clock_jobs:
        worker._mark_due(job.name)


def run_out(database: Database) -> None:
    """Let the clock's lease have run out just now."""
    with database.system(write=True) as session:
        session.execute(update(ClockLease).values(lease_until_ms=0))


@pytest.fixture
def fleet(settings: Settings, database: Database, clock: FixedClock) -> Fleet:
    return Fleet(replace(settings, lease_s=60), database, clock)


@pytest.mark.both_databases
def test_only_the_holder_runs_what_the_clock_asks_for(fleet: Fleet) -> None:
    holder, standby = fleet.worker("holder"), fleet.worker("standby")
    assert (holder.run_once(), standby.run_once()) == (2, 0)
    strike(holder)
    strike(standby)
    assert (standby.run_once(), holder.run_once()) == (0, 2)
    assert fleet.ran == [("holder", "first"), ("holder", "second")] * 2


@pytest.mark.both_databases
def test_who_takes_over_runs_all_that_came_due_meanwhile(fleet: Fleet, database: Database) -> None:
    holder, standby = fleet.worker("holder"), fleet.worker("standby")
    holder.run_once()
    standby.run_once()
    run_out(database)
    standby._clock_lease._next_look_s = 0  # it is time to look again
    assert standby.run_once() == 2
    assert fleet.ran[2:] == [("standby", "first"), ("standby", "second")]


def test_a_holder_that_slept_past_its_lease_does_nothing_until_it_holds_again(fleet: Fleet, database: Database) -> None:
    sleeper, other = fleet.worker("sleeper"), fleet.worker("other")
    sleeper.run_once()
    run_out(database)
    other.run_once()
    strike(sleeper)
    assert sleeper.run_once() == 0
    other._clock_lease.give_up()
    sleeper._clock_lease._next_look_s = 0
    assert sleeper.run_once() == 2, "what was due while it did not hold the clock is still due"
    assert [name for name, _job in fleet.ran] == ["sleeper"] * 2 + ["other"] * 2 + ["sleeper"] * 2


def test_a_lease_lost_between_two_jobs_leaves_the_second_to_whoever_took_over(
    fleet: Fleet, database: Database
) -> None:
    sleeper, other = fleet.worker("sleeper"), fleet.worker("other")
    first, second = sleeper.clock_jobs

    def pause_within(_context: object) -> int:
        run_out(database)
        other.run_once()
        return first.run(sleeper.context)

    sleeper.clock_jobs = [replace(first, run=pause_within), second]
    sleeper.run_once()
    assert fleet.ran == [("other", "first"), ("other", "second"), ("sleeper", "first")]
    other._clock_lease.give_up()
    sleeper._clock_lease._next_look_s = 0
    sleeper.run_once()
    assert fleet.ran[3:] == [("sleeper", "second")]


def test_every_worker_serves_the_queues_whoever_holds_the_clock(fleet: Fleet) -> None:
    holder, standby = fleet.worker("holder"), fleet.worker("standby")
    holder.run_once()
    standby._steps = (lambda: 3,)
    assert standby.run_once() == 3


def test_a_worker_that_ends_its_work_leaves_the_clock_to_the_next(fleet: Fleet) -> None:
    fleet.worker("one", jobs=("quiet",)).prepare_plans()
    fleet.worker("two", jobs=("quiet",)).run_until_idle()
    fleet.worker("three", jobs=("quiet",)).run_until_idle()
    assert [name for name, _job in fleet.ran] == ["one", "two", "three"]


def test_without_the_database_nobody_asks_the_clock_and_the_worker_goes_on(
    fleet: Fleet, monkeypatch: pytest.MonkeyPatch
) -> None:
    worker = fleet.worker("holder")
    worker._steps = ()
    worker._pause.set()  # no second's wait after the error
    with monkeypatch.context() as broken:
        broken.setattr("service.infrastructure.leases.take", lambda *_, **__: 1 / 0)
        assert worker.run_once() == 0
    worker._clock_lease._next_look_s = 0
    assert worker.run_once() == 2


# --- real processes, real time ----------------------------------------------------------------


@pytest.fixture
def ticking(database_url: str, tmp_path: Path) -> Iterator[Callable[[], TickingWorker]]:
    """Start worker processes on one database; all are ended at the end."""
    started: list[TickingWorker] = []

    def start() -> TickingWorker:
        started.append(TickingWorker(database_url, tmp_path))
        return started[-1]

    yield start
    for worker in started:
        worker.end()


def await_strikes(folder: Path, worker: TickingWorker, count: int, *, after_s: float = 0.0) -> list[Strike]:
    """Wait until a worker's clock has struck so often since an instant; return those strikes."""
    ends = time.monotonic() + 30
    while time.monotonic() < ends:
        found = [each for each in strikes(folder) if each.pid == worker.pid and each.at_s > after_s]
        if len(found) >= count:
            return found
        time.sleep(0.05)
    raise AssertionError(f"worker {worker.pid} did not strike {count} times: {worker.told()}")


@pytest.mark.faults
@pytest.mark.both_databases
def test_a_worker_that_is_killed_is_followed_by_the_other_and_a_stopped_one_at_once(
    ticking: Callable[[], TickingWorker], tmp_path: Path
) -> None:
    first, second = ticking(), ticking()
    while not strikes(tmp_path):
        time.sleep(0.05)
    if strikes(tmp_path)[0].pid == second.pid:
        first, second = second, first
    await_strikes(tmp_path, first, 3)
    assert {each.pid for each in strikes(tmp_path)} == {first.pid}

    killed_s = time.time()
    os.kill(first.pid, signal.SIGKILL)
    taken_over_s = await_strikes(tmp_path, second, 3, after_s=killed_s)[0].at_s - killed_s
    assert taken_over_s < LEASE_S * 4 / 3 + 12, "the lease, a third of it until the next look, and a slow machine"
    assert [line["token"] for line in second.told() if line["message"] == "a lease was taken"] == [2]

    third = ticking()
    stopped_s = time.time()
    second.process.terminate()
    assert second.process.wait(timeout=10) == 0
    await_strikes(tmp_path, third, 2, after_s=stopped_s)


@pytest.mark.faults
def test_a_worker_paused_past_its_lease_wakes_to_do_nothing(
    ticking: Callable[[], TickingWorker], tmp_path: Path
) -> None:
    first = ticking()
    await_strikes(tmp_path, first, 1)
    second = ticking()
    os.kill(first.pid, signal.SIGSTOP)
    paused_s = time.time()
    await_strikes(tmp_path, second, 2, after_s=paused_s)
    os.kill(first.pid, signal.SIGCONT)
    woken_s = time.time()
    await_strikes(tmp_path, second, 3, after_s=woken_s)
    time.sleep(HEARTBEAT_S)
    assert [each for each in strikes(tmp_path) if each.pid == first.pid and each.at_s > paused_s] == []
    assert "a lease was lost" in [line["message"] for line in first.told()]
