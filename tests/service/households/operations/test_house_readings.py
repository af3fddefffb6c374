"""A meter's half-hours are stored whole or not at all, replace what stood there, and are forgotten in time."""

from datetime import UTC, datetime, timedelta

import pytest
from sqlalchemy import func, select

from service.common.clock import FixedClock
from service.common.errors import Rejected
from service.common.slots import slot_index
from service.households import operations
from service.households.domain.house_readings import HouseFile
from service.households.jobs import KEEP_READINGS, forget_old_readings
from service.households.models import Household, HouseReading
from service.infrastructure.db.sessions import Database, SchemeSession
from service.infrastructure.settings import Settings
from service.worker import create_worker
from tests.factories.households import NOON, WRITING, open_home


def file_of(*values: float, first: datetime = datetime(2026, 11, 1, tzinfo=UTC)) -> HouseFile:
    rows = [f"{(first + timedelta(minutes=30 * place)).isoformat()},{value}" for place, value in enumerate(values)]
    return HouseFile("\n".join(("time,kWh", *rows)), "half_hour_a_line", "stated")


def take(session: SchemeSession, home_id: str, *values: float) -> operations.ReadingsTaken:
    return operations.take_readings(session, home_id, file_of(*values), is_dry_run=False, **WRITING)


def kept(session: SchemeSession, home_id: str) -> tuple[int, int]:
    found = operations.summarise_readings(session, home_id)
    return found.count, found.energy_wh


def counter(session: SchemeSession, home_id: str) -> int:
    return session.scalars(select(Household.change_counter).where(Household.id == home_id)).one()


def test_a_dry_run_says_what_a_file_holds_and_keeps_nothing(session: SchemeSession) -> None:
    home_id = open_home(session)
    before = counter(session, home_id)
    taken = operations.take_readings(session, home_id, file_of(0.4, 0.2), is_dry_run=True, **WRITING)
    assert (taken.count, taken.energy_wh, taken.stored_count) == (2, 600, 0)
    assert taken.ends_at - taken.first_at == timedelta(hours=1)
    assert kept(session, home_id) == (0, 0)
    assert counter(session, home_id) == before


def test_stored_half_hours_are_replaced_and_the_plan_is_due_again(database: Database, scheme: str) -> None:
    with database.scheme(scheme, write=True) as session:
        home_id = open_home(session)
        before = counter(session, home_id)
    for values in ([0.4] * 1000, [0.1, 0.1]):
        with database.scheme(scheme, write=True) as session:
            take(session, home_id, *values)
    with database.scheme(scheme, write=False) as session:
        assert kept(session, home_id) == (1000, 1000 * 400 - 2 * 300)
        assert counter(session, home_id) == before + 2


def test_a_file_with_one_bad_line_stores_nothing(session: SchemeSession) -> None:
    home_id = open_home(session)
    with pytest.raises(Rejected):
        take(session, home_id, 0.4, -1)
    assert kept(session, home_id) == (0, 0)


def test_another_homes_half_hours_stay_where_they_are(session: SchemeSession) -> None:
    home_id, other_id = open_home(session), open_home(session, reference="H-2")
    take(session, home_id, 0.4, 0.4)
    take(session, other_id, 0.1)
    operations.forget_readings(session, home_id, **WRITING)
    assert (kept(session, home_id), kept(session, other_id)) == ((0, 0), (1, 100))


def test_half_hours_are_forgotten_when_they_are_old(database: Database, scheme: str, settings: Settings) -> None:
    edge = NOON - KEEP_READINGS
    with database.scheme(scheme, write=True) as session:
        home_id = open_home(session)
        file = file_of(*[0.1] * 96, first=edge - timedelta(days=1))
        operations.take_readings(session, home_id, file, is_dry_run=False, **WRITING)
    forget_old_readings(create_worker(settings, database=database, clock=FixedClock(NOON)).context)
    with database.scheme(scheme, write=False) as session:
        first, count = session.execute(select(func.min(HouseReading.slot), func.count())).one()
    assert (first, count) == (slot_index(edge), 48)
