"""What the worker runs for households: forget journeys, meter readings and charges that are long over."""

from datetime import timedelta

from sqlalchemy import delete

from service.common.slots import slot_index
from service.households.models import ChargingRecord, HouseReading, Journey
from service.infrastructure.tasks import JobContext

KEEP_JOURNEYS = timedelta(days=30)
"""Own choice: an absence is of no use to anybody a month after it ended; two weeks of it carry a charge forward."""


def forget_past_journeys(context: JobContext) -> int:
    """Delete journeys that ended a month ago."""
    with context.database.system(write=True) as session:
        session.execute(delete(Journey).where(Journey.returns_at < context.clock.now() - KEEP_JOURNEYS))
    return 0


KEEP_READINGS = timedelta(days=400)
"""Own choice: a year's bill needs a year of half-hours; they also tell when a home was empty, so no more is kept."""


def forget_old_readings(context: JobContext) -> int:
    """Delete half-hours of meters that are more than a year and a month old."""
    before = slot_index(context.clock.now() - KEEP_READINGS)
    with context.database.system(write=True) as session:
        session.execute(delete(HouseReading).where(HouseReading.slot < before))
    return 0


KEEP_CHARGING = timedelta(days=800)
"""Own choice: two years and some can be compared; a claim keeps what it was reckoned from by itself."""


def forget_old_charging(context: JobContext) -> int:
    """Delete charging records that ended more than two years ago: they too tell when somebody was in."""
    with context.database.system(write=True) as session:
        before = context.clock.now() - KEEP_CHARGING
        session.execute(delete(ChargingRecord).where(ChargingRecord.ends_at < before))
    return 0
