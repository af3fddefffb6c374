"""What tells when a home was empty is forgotten once it is of no more use."""

from datetime import timedelta

from sqlalchemy import select

from service.common.clock import FixedClock
from service.households import operations
from service.households.domain.charging_records import ChargingDetails
from service.households.jobs import KEEP_CHARGING, forget_old_charging
from service.households.models import ChargingRecord
from service.infrastructure.db.sessions import Database
from service.infrastructure.settings import Settings
from service.worker import create_worker
from tests.factories.households import NOON, WRITING, furnished_home


def test_charges_are_forgotten_after_two_years_and_some(database: Database, scheme: str, settings: Settings) -> None:
    ends = [NOON - KEEP_CHARGING - timedelta(minutes=1), NOON - KEEP_CHARGING + timedelta(days=1)]
    with database.scheme(scheme, write=True) as session:
        home = furnished_home(session)
        for ends_at in ends:
            details = ChargingDetails(
                vehicle_id=home.car_id,
                outlet_id=home.outlet_id,
                place="home",
                starts_at=ends_at - timedelta(hours=2),
                ends_at=ends_at,
                energy_wh=4_000,
            )
            operations.add_charging_record(session, home.id, details, **WRITING)
    forget_old_charging(create_worker(settings, database=database, clock=FixedClock(NOON)).context)
    with database.scheme(scheme, write=False) as session:
        assert session.scalars(select(ChargingRecord.ends_at)).all() == ends[1:]
