"""What tells of a home's absence is forgotten when it has served; what is a record stays."""

from datetime import timedelta

import pytest
from sqlalchemy import func, select, update

from service.common.clock import FixedClock
from service.households.models import Journey, Vehicle
from service.infrastructure.db.sessions import Database
from service.infrastructure.mail.queue import Mail
from service.infrastructure.outbox import Event
from service.infrastructure.settings import Settings
from service.planning.models import CurrentPlan, Plan
from service.tariffs.operations import publish_version
from service.worker import Worker, create_worker
from tests.conftest import NOON
from tests.factories.fleet import make_fleet


@pytest.fixture
def worker(settings: Settings, database: Database, scheme: str, clock: FixedClock) -> Worker:
    """A worker whose homes were planned and told of a tariff change, with one journey over today."""
    fleet = make_fleet(database, scheme, 6, seed=5, now=NOON, moving_share=0.5)
    worker = create_worker(settings, database=database, clock=clock)
    worker.prepare_plans()
    with database.scheme(scheme, write=True) as session:
        publish_version(session, fleet.tariff_id, fleet.draft_version_id, by=None, at=NOON)
        car = session.scalars(select(Vehicle)).first()
        assert car is not None
        session.add(
            Journey(
                household_id=car.household_id,
                vehicle_id=car.id,
                leaves_at=NOON - timedelta(days=1),
                returns_at=NOON,
                miles=10,
                note="a note",
            )
        )
    worker.prepare_plans()
    with database.scheme(scheme, write=True) as session:
        session.execute(update(Mail).values(status="sent", sent_at=NOON))
    return worker


def later(worker: Worker, clock: FixedClock, days: int) -> None:
    clock.move(timedelta(days=days))
    worker._due_jobs = {job.name for job in worker.clock_jobs}
    worker.prepare_plans()


def test_plans_that_no_longer_hold_go_and_the_one_in_force_stays(
    worker: Worker, database: Database, scheme: str, clock: FixedClock
) -> None:
    with database.scheme(scheme, write=False) as session:
        assert session.scalar(select(func.count()).select_from(Plan)) == 9
    later(worker, clock, 15)
    later(worker, clock, 0)
    with database.scheme(scheme, write=False) as session:
        named = set(session.scalars(select(CurrentPlan.plan_id)))
        assert set(session.scalars(select(Plan.id))) == named
        assert len(named) == 6


def test_the_text_of_a_message_goes_and_its_record_stays(
    worker: Worker, database: Database, scheme: str, clock: FixedClock
) -> None:
    later(worker, clock, 6)
    with database.scheme(scheme, write=False) as session:
        assert all(session.scalars(select(Mail.text)))
    later(worker, clock, 2)
    with database.scheme(scheme, write=False) as session:
        rows = session.execute(select(Mail.text, Mail.html, Mail.status)).all()
    assert rows == [("", "", "sent")] * 3


def test_a_journey_is_forgotten_a_month_after_it_ended(
    worker: Worker, database: Database, scheme: str, clock: FixedClock
) -> None:
    later(worker, clock, 29)
    with database.scheme(scheme, write=False) as session:
        assert session.scalar(select(func.count()).select_from(Journey)) == 1
    later(worker, clock, 2)
    with database.scheme(scheme, write=False) as session:
        assert session.scalar(select(func.count()).select_from(Journey)) == 0


def test_events_that_are_done_are_forgotten(worker: Worker, database: Database, scheme: str, clock: FixedClock) -> None:
    later(worker, clock, 31)
    with database.scheme(scheme, write=False) as session:
        kept = session.scalars(select(Event.happened_at)).all()
    assert all(at > clock.now() - timedelta(days=30) for at in kept)
