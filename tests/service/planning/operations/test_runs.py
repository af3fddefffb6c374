"""A tariff change replans the homes on it once, rewrites what changed, and tells whose times moved."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
from sqlalchemy import func, select, update

from service.accounts import operations as accounts
from service.common.clock import FixedClock
from service.households.models import Household
from service.infrastructure.claims import LeaseLost, claim_rows
from service.infrastructure.db.sessions import Database
from service.infrastructure.mail.queue import Mail
from service.infrastructure.outbox import Event
from service.infrastructure.settings import Settings
from service.planning.models import CurrentPlan, Plan, ReplanChunk, ReplanRun
from service.planning.operations import runs
from service.planning.operations.gather import prepare_homes
from service.planning.operations.replan import Cause, solve, store
from service.tariffs.models import TariffVersion
from service.tariffs.operations import publish_version
from service.worker import Worker, create_worker
from tests.conftest import NOON
from tests.factories.databases import Databases
from tests.factories.fleet import Fleet, make_fleet

pytestmark = pytest.mark.both_databases

CAUSE = Cause("tariff_change", "x")
SCHEME = "a" * 32


@pytest.fixture(scope="module")
def planned(databases: Databases, tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[str, Fleet]]:
    """The address of a database with a fleet and its first plans, which each test copies."""
    folder = tmp_path_factory.mktemp("planned")
    url = databases.migrated(folder)
    database = Database(url)
    with database.system(write=True) as session:
        accounts.create_scheme(session, scheme_id=SCHEME, name="Marlpit Works", now=NOON)
    fleet = make_fleet(database, SCHEME, 30, seed=7, now=NOON, moving_share=0.2)
    first_worker(Settings(database_url=url, data_dir=str(folder)), database, FixedClock(NOON))
    database.close()
    yield url, fleet
    databases.drop(url)


def first_worker(settings: Settings, database: Database, clock: FixedClock) -> Worker:
    """Return a worker that has made the first plans where they were not there yet, in chunks of ten."""
    worker = create_worker(replace(settings, chunk_size=10), database=database, clock=clock)
    worker.prepare_plans()
    return worker


@pytest.fixture
def database_url(planned: tuple[str, Fleet], databases: Databases, tmp_path: Path) -> Iterator[str]:
    url = databases.copy(planned[0], tmp_path)
    yield url
    databases.drop(url)


@pytest.fixture
def scheme() -> str:
    return SCHEME


@pytest.fixture
def fleet(planned: tuple[str, Fleet]) -> Fleet:
    return planned[1]


@pytest.fixture
def worker(settings: Settings, database: Database, clock: FixedClock) -> Worker:
    return first_worker(settings, database, clock)


@pytest.fixture
def count(database: Database, scheme: str) -> Callable[..., int]:
    def counted(model: type, *where: object) -> int:
        with database.scheme(scheme, write=False) as session:
            return session.scalar(select(func.count()).select_from(model).where(*where)) or 0

    return counted


def publish(database: Database, scheme: str, fleet: Fleet) -> None:
    with database.scheme(scheme, write=True) as session:
        publish_version(session, fleet.tariff_id, fleet.draft_version_id, by=None, at=NOON)


def test_every_home_gets_its_first_plan_and_nobody_is_mailed(
    worker: Worker, fleet: Fleet, count: Callable[..., int]
) -> None:
    assert count(CurrentPlan) == 30
    assert count(Plan) == 30
    assert count(Mail) == 0


def test_a_tariff_change_rewrites_only_the_plans_it_changes(
    worker: Worker, fleet: Fleet, database: Database, scheme: str, count: Callable[..., int]
) -> None:
    publish(database, scheme, fleet)
    worker.prepare_plans()
    assert len(fleet.moving_household_ids) == 6
    assert count(Plan) == 36
    with database.scheme(scheme, write=False) as session:
        run = session.scalars(select(ReplanRun).where(ReplanRun.reason == "tariff_change")).one()
        moved = session.scalar(select(func.sum(ReplanChunk.moved_count)).where(ReplanChunk.run_id == run.id))
    assert (run.household_count, run.chunk_count, moved) == (30, 3, 6)
    assert run.finished_at is not None


def test_each_member_whose_times_moved_has_one_message(
    worker: Worker, fleet: Fleet, database: Database, scheme: str, count: Callable[..., int]
) -> None:
    publish(database, scheme, fleet)
    worker.prepare_plans()
    with database.scheme(scheme, write=False) as session:
        mailed = sorted(session.scalars(select(Mail.household_id)))
    assert mailed == sorted(fleet.moving_household_ids)


def test_publishing_twice_does_nothing_more(
    worker: Worker, fleet: Fleet, database: Database, scheme: str, count: Callable[..., int]
) -> None:
    publish(database, scheme, fleet)
    worker.prepare_plans()
    before = count(Plan), count(Mail), count(ReplanRun), count(Event)
    publish(database, scheme, fleet)
    worker.prepare_plans()
    assert (count(Plan), count(Mail), count(ReplanRun), count(Event)) == before


def test_a_worker_that_lost_its_lease_writes_nothing(
    worker: Worker, fleet: Fleet, database: Database, scheme: str, count: Callable[..., int]
) -> None:
    publish(database, scheme, fleet)
    while not count(ReplanChunk, ReplanChunk.status == "waiting"):
        worker._steps[0]()
        worker._steps[1]()
    with database.system(write=True) as session:
        stale = claim_rows(session, ReplanChunk, limit=1, lease_ms=60_000)[0]
        session.execute(update(ReplanChunk).where(ReplanChunk.id == stale.id).values(lease_until_ms=0))
    with database.system(write=True) as session:
        claim_rows(session, ReplanChunk, limit=1, lease_ms=60_000)
    plans = count(Plan)
    with pytest.raises(LeaseLost):
        runs.run_chunk(worker.context, stale)
    assert count(Plan) == plans


def test_a_home_that_changed_while_it_was_planned_keeps_its_old_plan(
    worker: Worker, fleet: Fleet, database: Database, scheme: str, clock: FixedClock
) -> None:
    home = fleet.moving_household_ids[0]
    publish(database, scheme, fleet)
    slot = runs.next_slot(clock.now())
    with database.scheme(scheme, write=False) as session:
        solved = solve(prepare_homes(session, [home], as_of_slot=slot))
        before = session.scalars(select(CurrentPlan.plan_id).where(CurrentPlan.id == home)).one()
    with database.scheme(scheme, write=True) as session:
        session.execute(update(Household).where(Household.id == home).values(change_counter=99))
    with database.fleet(scheme) as writer:
        stored = store(writer, solved, as_of_slot=slot, cause=CAUSE, at=NOON)
    with database.scheme(scheme, write=False) as session:
        after = session.scalars(select(CurrentPlan.plan_id).where(CurrentPlan.id == home)).one()
    assert (len(solved), stored.changed_count, before == after) == (1, 0, True)


def test_an_older_batch_never_overwrites_a_newer_plan(
    worker: Worker, fleet: Fleet, database: Database, scheme: str, clock: FixedClock
) -> None:
    home = fleet.moving_household_ids[0]
    publish(database, scheme, fleet)
    slot = runs.next_slot(clock.now())
    with database.scheme(scheme, write=False) as session:
        old = solve(prepare_homes(session, [home], as_of_slot=slot))
        new = solve(prepare_homes(session, [home], as_of_slot=slot + 4))
    for solved, as_of in ((new, slot + 4), (old, slot)):
        with database.fleet(scheme) as writer:
            store(writer, solved, as_of_slot=as_of, cause=CAUSE, at=NOON)
    with database.scheme(scheme, write=False) as session:
        assert session.scalars(select(CurrentPlan.as_of_slot).where(CurrentPlan.id == home)).one() == slot + 4


def test_the_answer_to_a_change_replaces_a_plan_made_for_a_later_half_hour_before_it(
    worker: Worker, fleet: Fleet, database: Database, scheme: str, clock: FixedClock
) -> None:
    home = fleet.moving_household_ids[0]
    publish(database, scheme, fleet)
    slot = runs.next_slot(clock.now())
    with database.scheme(scheme, write=True) as session:
        session.execute(update(CurrentPlan).where(CurrentPlan.id == home).values(as_of_slot=slot + 4))
        session.execute(
            update(Household).where(Household.id == home).values(change_counter=Household.change_counter + 1)
        )
    with database.scheme(scheme, write=False) as session:
        answer = solve(prepare_homes(session, [home], as_of_slot=slot))
    with database.fleet(scheme) as writer:
        stored = store(writer, answer, as_of_slot=slot, cause=CAUSE, at=NOON)
    with database.scheme(scheme, write=False) as session:
        as_of_slot = session.scalars(select(CurrentPlan.as_of_slot).where(CurrentPlan.id == home)).one()
    assert (stored.changed_count, as_of_slot) == (1, slot)


def test_a_new_day_replans_every_home_once(
    worker: Worker, fleet: Fleet, clock: FixedClock, count: Callable[..., int]
) -> None:
    clock.move(timedelta(days=1))
    for _tick in range(3):
        worker._due_jobs = {job.name for job in worker.clock_jobs}
        worker.prepare_plans()
    assert count(ReplanRun, ReplanRun.reason == "new_day") == 2  # the first plans, and the new day
    assert count(Plan) == 60


def test_other_schemes_are_not_replanned(worker: Worker, fleet: Fleet, database: Database, scheme: str) -> None:
    other = "b" * 32
    with database.system(write=True) as session:
        accounts.create_scheme(session, scheme_id=other, name="Other", now=NOON)
    make_fleet(database, other, 5, seed=8, now=NOON)
    worker._due_jobs = {job.name for job in worker.clock_jobs}
    worker.prepare_plans()
    publish(database, scheme, fleet)
    worker.prepare_plans()
    with database.scheme(other, write=False) as session:
        assert session.scalars(select(ReplanRun.reason)).all() == ["new_day"]
        assert session.scalar(select(func.count()).select_from(Mail)) == 0


def tick(worker: Worker) -> None:
    """Let the clock's jobs and all they cause run, mail left in its queue."""
    worker._due_jobs = {job.name for job in worker.clock_jobs}
    worker.prepare_plans()


@pytest.mark.one_database("sqlite")  # it goes through many days
def test_a_version_published_long_before_is_told_when_it_comes_within_a_plans_reach(
    worker: Worker, fleet: Fleet, database: Database, scheme: str, clock: FixedClock, count: Callable[..., int]
) -> None:
    starts_on = clock.now().date() + timedelta(days=20)
    with database.scheme(scheme, write=True) as session:
        session.execute(
            update(TariffVersion).where(TariffVersion.id == fleet.draft_version_id).values(valid_from_on=starts_on)
        )
    publish(database, scheme, fleet)
    told = []
    for _day in range(22):
        tick(worker)
        told.append(count(Mail))
        clock.move(timedelta(days=1))
    # From day 14 on the version lies within a plan's reach; a home is told once charging under it is planned.
    assert told[:14] == [0] * 14
    assert told[20:] == [len(fleet.moving_household_ids)] * 2
    with database.scheme(scheme, write=False) as session:
        assert set(session.scalars(select(Mail.household_id))) == set(fleet.moving_household_ids)


def test_a_chunk_that_waited_is_planned_from_now(
    worker: Worker, fleet: Fleet, database: Database, scheme: str, clock: FixedClock
) -> None:
    publish(database, scheme, fleet)
    for step in worker._steps[:2]:
        step()
    clock.move(timedelta(hours=10))
    worker.prepare_plans()
    with database.scheme(scheme, write=False) as session:
        home = fleet.moving_household_ids[0]
        plan = session.scalars(
            select(Plan).join(CurrentPlan, CurrentPlan.plan_id == Plan.id).where(CurrentPlan.id == home)
        ).one()
    assert plan.first_slot == runs.next_slot(clock.now())
    assert all(first >= plan.first_slot for vehicle in plan.schedule for first, _energies in vehicle["blocks"])


def test_a_run_whose_last_chunk_is_given_up_is_finished_all_the_same(
    worker: Worker, fleet: Fleet, database: Database, scheme: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    publish(database, scheme, fleet)
    for step in worker._steps[:2]:
        step()

    def broken(*args: object, **kw: object) -> None:
        raise RuntimeError("broken on purpose")

    monkeypatch.setattr(runs, "prepare_homes", broken)
    monkeypatch.setattr(runs, "RETRY_DELAYS_S", ())
    worker.prepare_plans()
    with database.scheme(scheme, write=False) as session:
        run = session.scalars(select(ReplanRun).where(ReplanRun.reason == "tariff_change")).one()
        states = session.scalars(select(ReplanChunk.status).where(ReplanChunk.run_id == run.id)).all()
    assert (set(states), run.finished_at is not None) == ({"given_up"}, True)


def test_homes_left_without_a_plan_of_today_are_tried_again_later_and_later(
    worker: Worker, fleet: Fleet, database: Database, scheme: str, clock: FixedClock, count: Callable[..., int]
) -> None:
    home = fleet.household_ids[0]
    clock.move(timedelta(days=1))
    tick(worker)
    with database.scheme(scheme, write=True) as session:
        session.execute(update(CurrentPlan).where(CurrentPlan.id == home).values(day_slot=0, change_counter=0))
    tick(worker)
    assert count(ReplanRun, ReplanRun.reason == "new_day") == 2
    clock.move(timedelta(minutes=11))
    tick(worker)
    with database.scheme(scheme, write=False) as session:
        newest = session.scalars(select(ReplanRun).order_by(ReplanRun.created_at.desc())).first()
    assert newest is not None
    assert (newest.reason, newest.household_count) == ("new_day", 1)


def test_a_step_that_fails_does_not_end_the_worker(
    worker: Worker, fleet: Fleet, database: Database, scheme: str
) -> None:
    def broken() -> int:
        raise ZeroDivisionError

    worker._pause.set()
    worker._steps = (broken, *worker._steps)
    publish(database, scheme, fleet)
    worker.prepare_plans()
    with database.scheme(scheme, write=False) as session:
        assert session.scalars(select(ReplanRun.finished_at).where(ReplanRun.reason == "tariff_change")).one()
