"""Two workers at one home, or at the last chunks of one run: the newer plan stands, and the run ends."""

import threading
from collections.abc import Callable
from dataclasses import replace

import pytest
from sqlalchemy import select

from service.common.clock import FixedClock
from service.infrastructure.claims import Claim, claim_rows
from service.infrastructure.db.sessions import Database
from service.infrastructure.dispatch import deliver, fan_out
from service.infrastructure.settings import Settings
from service.planning.models import CurrentPlan, ReplanChunk, ReplanRun
from service.planning.operations import runs
from service.planning.operations.gather import prepare_homes
from service.planning.operations.replan import Cause, Solved, solve, store
from service.subscriptions import SUBSCRIPTIONS
from service.tariffs.operations import publish_version
from service.worker import Worker, create_worker
from tests.conftest import NOON
from tests.factories.fleet import Fleet, make_fleet
from tests.factories.threads import background, is_blocked

pytestmark = [pytest.mark.both_databases, pytest.mark.faults]

CAUSE = Cause("tariff_change", "x")


@pytest.fixture
def fleet(database: Database, scheme: str) -> Fleet:
    return make_fleet(database, scheme, 6, seed=7, now=NOON, moving_share=0.5)


@pytest.fixture
def worker(settings: Settings, database: Database, clock: FixedClock, fleet: Fleet) -> Worker:
    worker = create_worker(replace(settings, chunk_size=3), database=database, clock=clock)
    worker.prepare_plans()
    return worker


@pytest.fixture
def published(worker: Worker, fleet: Fleet, database: Database, scheme: str) -> str:
    """The id of the run of two chunks that a publication starts."""
    with database.scheme(scheme, write=True) as session:
        publish_version(session, fleet.tariff_id, fleet.draft_version_id, by=None, at=NOON)
    fan_out(worker.context, SUBSCRIPTIONS)
    deliver(worker.context, SUBSCRIPTIONS)
    with database.scheme(scheme, write=False) as session:
        return session.scalars(select(ReplanRun.id).where(ReplanRun.reason == "tariff_change")).one()


def solved_at(database: Database, scheme: str, homes: tuple[str, ...], slot: int) -> list[Solved]:
    with database.scheme(scheme, write=False) as session:
        return solve(prepare_homes(session, homes, as_of_slot=slot))


def test_an_older_batch_that_waited_for_a_newer_one_does_not_overwrite_it(
    worker: Worker, fleet: Fleet, published: str, database: Database, scheme: str, clock: FixedClock
) -> None:
    homes, slot = fleet.moving_household_ids, runs.next_slot(clock.now())
    old, new = (solved_at(database, scheme, homes, at) for at in (slot, slot + 4))
    assert all(each.plan for each in (*old, *new)), "the change must call for new plans"
    stored = []

    def store_old() -> None:
        with database.fleet(scheme) as writer:
            stored.append(store(writer, old, as_of_slot=slot, cause=CAUSE, at=NOON))

    with database.fleet(scheme) as writer:
        store(writer, new, as_of_slot=slot + 4, cause=CAUSE, at=NOON)
        waiting = background(store_old)
        assert is_blocked(waiting, database), "the second batch must wait for the first"
    waiting.join()
    assert [each.changed_count for each in stored] == [0]
    with database.scheme(scheme, write=False) as session:
        assert set(session.scalars(select(CurrentPlan.as_of_slot).where(CurrentPlan.id.in_(homes)))) == {slot + 4}


def test_batches_with_the_same_homes_in_other_orders_do_not_block_each_other(
    worker: Worker, fleet: Fleet, published: str, database: Database, scheme: str, clock: FixedClock
) -> None:
    slot = runs.next_slot(clock.now())
    forward = solved_at(database, scheme, fleet.household_ids, slot)
    done = []

    def store_all(batch: list[Solved]) -> None:
        for _again in range(10):
            with database.fleet(scheme) as writer:
                store(writer, batch, as_of_slot=slot, cause=CAUSE, at=NOON)
        done.append(len(batch))

    threads = [background(lambda batch=batch: store_all(batch)) for batch in (forward, forward[::-1])]  # type: ignore[misc]
    for thread in threads:
        thread.join()
    assert done == [6, 6]


def test_a_run_whose_last_two_chunks_end_at_once_is_finished(
    worker: Worker, published: str, database: Database, scheme: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    with database.system(write=True) as session:
        first, second = claim_rows(session, ReplanChunk, limit=5, lease_ms=60_000)
    is_first_ready, may_first_end = threading.Event(), threading.Event()

    def hold(name: str) -> None:
        if name == "chunk.before_commit" and threading.current_thread() is holding:
            is_first_ready.set()
            may_first_end.wait(30)

    def run(claim: Claim) -> Callable[[], object]:
        return lambda: runs.run_chunk(worker.context, claim)

    monkeypatch.setattr(runs, "failpoint", hold)
    holding = threading.Thread(target=run(first))
    holding.start()
    assert is_first_ready.wait(30)
    other = background(run(second))
    has_waited = is_blocked(other, database)
    may_first_end.set()
    other.join()
    holding.join()
    assert has_waited, "the second chunk must wait for the first"
    with database.scheme(scheme, write=False) as session:
        assert set(session.scalars(select(ReplanChunk.status).where(ReplanChunk.run_id == published))) == {"done"}
        assert session.scalars(select(ReplanRun.finished_at).where(ReplanRun.id == published)).one() is not None
