"""Workers that are asked at the same moment start a run once between them."""

from datetime import timedelta

import pytest
from sqlalchemy import func, select

from service.common.clock import FixedClock
from service.infrastructure.db.sessions import Database
from service.infrastructure.settings import Settings
from service.planning.jobs import replan_for_new_day
from service.planning.models import ReplanChunk, ReplanRun
from service.worker import create_worker
from tests.conftest import NOON
from tests.factories.fleet import make_fleet
from tests.factories.threads import at_once


@pytest.mark.both_databases
def test_workers_that_see_the_new_day_together_start_its_run_once(
    settings: Settings, database: Database, scheme: str, clock: FixedClock
) -> None:
    make_fleet(database, scheme, 3, seed=7, now=NOON)
    worker = create_worker(settings, database=database, clock=clock)
    for day in range(1, 4):
        started = at_once(6, lambda _: replan_for_new_day(worker.context))
        assert sum(started) == 1
        with database.scheme(scheme, write=False) as session:
            assert session.scalar(select(func.count()).select_from(ReplanRun)) == day
            assert session.scalar(select(func.count()).select_from(ReplanChunk)) == day
        worker.clock_jobs = ()
        worker.prepare_plans()
        clock.move(timedelta(days=1))
