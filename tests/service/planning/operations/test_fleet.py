"""Homes planned from their short rows: the same plans, pointers and news as the usual way, through any kill."""

from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest
from sqlalchemy import func, select, update

from service.common.clock import FixedClock
from service.households.models import Household, Vehicle
from service.infrastructure.db.sessions import Database
from service.infrastructure.mail.queue import Mail
from service.infrastructure.outbox import Event
from service.infrastructure.settings import Settings
from service.planning.domain.plan_document import schedule, total_cost_up, total_on_arrival_up, total_short_wh
from service.planning.models import CurrentPlan, Plan, PlannerInputs, ReplanChunk, ReplanRun
from service.planning.operations import chunks, fleet, reads
from service.planning.operations.gather import prepare_homes
from service.planning.operations.replan import has_moved, solve
from service.planning.operations.runs import run_due_chunks, start_run
from service.planning.operations.triggers import households_on_tariff
from service.tariffs.operations import publish_version
from service.worker import Worker, create_worker
from tests.conftest import NOON
from tests.factories.fleet import Fleet, make_fleet

pytestmark = pytest.mark.both_databases

HOMES = 16
SIZE = 5  # homes in an ordinary chunk


class Killed(BaseException):
    """The process is gone: nothing after this line runs."""


@pytest.fixture
def homes(database: Database, scheme: str) -> Fleet:
    return make_fleet(database, scheme, HOMES, seed=3, now=NOON, moving_share=0.5)


@pytest.fixture
def worker(settings: Settings, database: Database, clock: FixedClock, homes: Fleet) -> Worker:
    """A worker that has made the first plans, so that every home has its row."""
    worker = create_worker(replace(settings, chunk_size=SIZE), database=database, clock=clock)
    worker.prepare_plans()
    return worker


def publish(database: Database, scheme: str, homes: Fleet) -> None:
    with database.scheme(scheme, write=True) as session:
        publish_version(session, homes.tariff_id, homes.draft_version_id, by=None, at=NOON)


def start(database: Database, scheme: str, homes: Fleet, clock: FixedClock, *, chunk_size: int) -> None:
    """Publish the draft and start its run as the event's handler would."""
    publish(database, scheme, homes)
    with database.scheme(scheme, write=True) as session:
        start_run(
            session,
            households_on_tariff(session, homes.tariff_id, on=NOON.date()),
            occasion=f"tariff/{homes.draft_version_id}",
            reason="tariff_change",
            label="the draft",
            at=clock.now(),
            chunk_size=chunk_size,
            version_id=homes.draft_version_id,
        )


def run_all(worker: Worker, database: Database) -> None:
    """Run every chunk there is, also those a killed worker holds."""
    while True:
        with database.system(write=True) as session:
            session.execute(update(ReplanChunk).values(lease_until_ms=0))
        if not run_due_chunks(worker.context):
            return


def state(database: Database, scheme: str) -> dict[str, Any]:
    """Return what the run leaves behind, without names that follow from how it was made."""
    with database.scheme(scheme, write=False) as session:
        rows = session.execute(
            select(
                CurrentPlan.id, CurrentPlan.as_of_slot, CurrentPlan.day_slot, CurrentPlan.energy_wh,
                CurrentPlan.cost_up, CurrentPlan.on_arrival_cost_up, CurrentPlan.short_wh, CurrentPlan.change_counter,
                CurrentPlan.planned_at, Plan.first_slot, Plan.end_slot, Plan.schedule,
            )
            .join(Plan, (Plan.id == CurrentPlan.plan_id) & (Plan.scheme_id == CurrentPlan.scheme_id))
            .order_by(CurrentPlan.id)
        ).all()  # fmt: skip
        told = session.scalars(select(Event.payload).where(Event.name == "PlanChanged"))
        run = session.scalars(select(ReplanRun).where(ReplanRun.reason == "tariff_change")).one()
        progress = reads.get_run(session, run.id)
        return {
            "plans": [tuple(row) for row in rows],
            "told": sorted((each["household_id"], each["reason"], each["occasion"]) for each in told),
            "counts": (progress.done_count, progress.changed_count, progress.moved_count),
            "finished": run.finished_at,
        }


def brief_count(database: Database, scheme: str) -> int:
    with database.scheme(scheme, write=False) as session:
        return session.scalar(select(func.count()).select_from(Plan).where(Plan.document.is_(None))) or 0


@pytest.mark.parametrize("minutes_later", [0, 400])
def test_short_rows_lead_to_what_the_usual_way_leads_to(
    database: Database, scheme: str, worker: Worker, homes: Fleet, clock: FixedClock, minutes_later: int,
    monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    clock.move(timedelta(minutes=minutes_later))
    start(database, scheme, homes, clock, chunk_size=HOMES)
    seen: dict[str, Any] = {}
    original = fleet.store_answers

    def look(writer: Any, answers: Any, work: Any) -> Any:
        # In the writing transaction, before it writes: what would the usual way store for these homes?
        seen["usual"] = usual_answers(database, scheme, work)
        return original(writer, answers, work)

    monkeypatch.setattr(fleet, "store_answers", look)
    run_all(worker, database)
    found = state(database, scheme)
    assert brief_count(database, scheme) == len(homes.moving_household_ids)
    assert found["finished"] is not None
    assert found["counts"] == (HOMES, len(homes.moving_household_ids), len(homes.moving_household_ids))
    assert [home for home, _reason, _occasion in found["told"]] == sorted(homes.moving_household_ids)
    plans = {row[0]: row for row in found["plans"]}
    for home_id, (scheduled, totals, is_told) in seen["usual"].items():
        assert plans[home_id][-1] == scheduled
        assert plans[home_id][3:7] == totals
        assert is_told == (home_id in homes.moving_household_ids)
    assert set(seen["usual"]) == set(homes.moving_household_ids)


def usual_answers(database: Database, scheme: str, work: chunks.Work) -> dict[str, tuple[Any, Any, bool]]:
    """Return (schedule, totals, whether times moved) of each home that the usual way would plan anew."""
    with database.scheme(scheme, write=False) as session:
        solved = solve(prepare_homes(session, work.household_ids, as_of_slot=work.as_of_slot))
    found = {}
    for each in solved:
        if each.plan is not None:
            plan = each.plan
            energy_wh = sum(vehicle.energy_wh for vehicle in plan.vehicles)
            totals = (energy_wh, total_cost_up(plan), total_on_arrival_up(plan), total_short_wh(plan))
            found[each.week.home.id] = schedule(each.week, plan), totals, has_moved(each, plan)
    return found


@pytest.mark.parametrize("point", ["chunk.planned", "chunk.before_commit", "chunk.committed"])
def test_a_kill_anywhere_changes_nothing_in_the_end(
    database: Database, scheme: str, worker: Worker, homes: Fleet, clock: FixedClock, point: str,
    monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    start(database, scheme, homes, clock, chunk_size=HOMES // 2)

    def killed(name: str) -> None:
        if name == point:
            raise Killed

    with monkeypatch.context() as here:
        here.setattr(fleet, "failpoint", killed)
        with pytest.raises(Killed):
            run_due_chunks(worker.context)
    is_stored = point == "chunk.committed"
    assert (brief_count(database, scheme) > 0) == is_stored
    run_all(worker, database)
    found = state(database, scheme)
    moving = sorted(homes.moving_household_ids)
    assert found["counts"] == (HOMES, len(moving), len(moving))
    assert [home for home, _reason, _occasion in found["told"]] == moving
    assert brief_count(database, scheme) == len(moving)


def test_a_home_that_a_row_cannot_tell_is_planned_the_usual_way_in_the_same_run(
    database: Database, scheme: str, worker: Worker, homes: Fleet, clock: FixedClock
) -> None:
    odd = sorted(homes.moving_household_ids)[:2]
    with database.scheme(scheme, write=True) as session:
        # One lost its row, the other was charged and read since: its row is of a home that has changed.
        session.delete(session.get_one(PlannerInputs, (scheme, odd[0])))
        session.execute(update(Household).where(Household.id == odd[1]).values(change_counter=7))
        session.execute(update(CurrentPlan).where(CurrentPlan.id == odd[1]).values(change_counter=6))
    start(database, scheme, homes, clock, chunk_size=HOMES)
    run_all(worker, database)
    found = state(database, scheme)
    assert found["finished"] is not None
    assert found["counts"] == (HOMES, len(homes.moving_household_ids), len(homes.moving_household_ids))
    assert brief_count(database, scheme) == len(homes.moving_household_ids) - len(odd)
    with database.scheme(scheme, write=False) as session:
        sizes = sorted(session.scalars(select(ReplanChunk.household_count).where(ReplanChunk.household_count > 1)))
        assert HOMES - len(odd) in sizes


def test_a_home_that_changes_while_its_chunk_is_planned_is_left_as_it_is(
    database: Database, scheme: str, worker: Worker, homes: Fleet, clock: FixedClock, monkeypatch: pytest.MonkeyPatch
) -> None:
    start(database, scheme, homes, clock, chunk_size=HOMES)
    changed = homes.moving_household_ids[0]

    def change(name: str) -> None:
        if name == "chunk.planned":
            with database.scheme(scheme, write=True) as session:
                session.execute(update(Household).where(Household.id == changed).values(change_counter=99))

    with database.scheme(scheme, write=False) as session:
        before = session.get_one(CurrentPlan, (scheme, changed)).plan_id
    monkeypatch.setattr(fleet, "failpoint", change)
    run_due_chunks(worker.context)
    with database.scheme(scheme, write=False) as session:
        assert session.get_one(CurrentPlan, (scheme, changed)).plan_id == before
        left = session.scalars(select(ReplanChunk).where(ReplanChunk.status == "waiting")).one()
    assert left.household_ids == [changed]


def test_a_brief_plan_is_read_in_full_and_says_what_was_stored(
    database: Database, scheme: str, worker: Worker, homes: Fleet, clock: FixedClock
) -> None:
    start(database, scheme, homes, clock, chunk_size=HOMES)
    run_all(worker, database)
    for home_id in homes.moving_household_ids:
        with database.scheme(scheme, write=False) as session:
            shown = reads.get_shown_plan(session, home_id)
            pointer = session.get_one(CurrentPlan, (scheme, home_id))
            stored = session.get_one(Plan, (scheme, pointer.plan_id))
            blocks = [
                (block["starts_at"], block["energy_kwh"])
                for vehicle in shown.document["vehicles"]
                for stay in vehicle["stays"]
                for block in stay["blocks"]
            ]
            assert stored.document is None
            assert [round(energy * 1000) for _start, energy in blocks] == [
                sum(energies) for _first, energies in stored.schedule[0]["blocks"]
            ]
            assert (shown.plan_id, shown.is_current) == (pointer.plan_id, True)
            assert shown.document["id"] == pointer.plan_id
            assert round(shown.document["energy_kwh"] * 1000) == pointer.energy_wh
            week = reads.get_week(session, home_id)
            assert round(sum(week["vehicles"][0]["energy_kwh"]) * 1000) == pointer.energy_wh
            assert reads.get_working(session, home_id)
    assert brief_count(database, scheme) == len(homes.moving_household_ids)


def test_a_brief_plan_is_carried_forward_from_like_any_other(
    database: Database, scheme: str, worker: Worker, homes: Fleet, clock: FixedClock
) -> None:
    start(database, scheme, homes, clock, chunk_size=HOMES)
    run_all(worker, database)
    clock.move(timedelta(days=1))
    worker._due_jobs = {job.name for job in worker.clock_jobs}
    worker.prepare_plans()
    with database.scheme(scheme, write=False) as session:
        days = set(session.scalars(select(CurrentPlan.day_slot)))
        in_force = session.scalars(
            select(Plan).join(CurrentPlan, (CurrentPlan.plan_id == Plan.id) & (CurrentPlan.scheme_id == Plan.scheme_id))
        ).all()
    assert len(days) == 1
    assert {plan.schedule[0]["basis"] for plan in in_force} == {"estimated"}  # not "not known": what was planned counts
    assert all(plan.document is not None for plan in in_force)


def test_a_published_version_goes_by_short_rows_and_each_member_whose_times_moved_is_told(
    database: Database, scheme: str, worker: Worker, homes: Fleet, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(chunks, "FLEET_RUN", HOMES)
    publish(database, scheme, homes)
    worker.prepare_plans()
    assert brief_count(database, scheme) == len(homes.moving_household_ids)
    with database.scheme(scheme, write=False) as session:
        mailed = sorted(session.scalars(select(Mail.household_id)))
        run = session.scalars(select(ReplanRun).where(ReplanRun.reason == "tariff_change")).one()
    assert mailed == sorted(homes.moving_household_ids)
    assert (run.chunk_count, run.finished_at is not None) == (1, True)


def test_small_runs_are_cut_as_usual_and_very_large_ones_into_chunks_of_the_fleet() -> None:
    assert chunks.chunk_size_at_new_prices(chunks.FLEET_RUN - 1, 200) == 200
    assert chunks.chunk_size_at_new_prices(chunks.FLEET_RUN, 200) == chunks.FLEET_CHUNK


def test_a_second_car_takes_a_home_out_of_the_short_rows(
    database: Database, scheme: str, worker: Worker, homes: Fleet, clock: FixedClock
) -> None:
    home_id = homes.household_ids[0]
    with database.scheme(scheme, write=True) as session:
        first = session.scalars(select(Vehicle).where(Vehicle.household_id == home_id)).one()
        session.add(
            Vehicle(
                household_id=home_id, version=1, ordinal=2, label="second", battery_wh=40_000, miles_per_kwh=4,
                onboard_limit_a=32, outlet_id=first.outlet_id, lead_id=first.lead_id,
            )
        )  # fmt: skip
        session.execute(update(Household).where(Household.id == home_id).values(change_counter=1))
        start_run(
            session, [home_id], occasion="a second car", reason="household_change", label="", at=NOON, chunk_size=1
        )
    run_all(worker, database)
    with database.scheme(scheme, write=False) as session:
        row = session.get_one(PlannerInputs, (scheme, home_id))
        pointer = session.get_one(CurrentPlan, (scheme, home_id))
    assert pointer.change_counter == 1
    assert row.plan_id != pointer.plan_id
