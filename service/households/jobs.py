"""What the worker runs for households: forget journeys that are long over."""

from datetime import timedelta

from sqlalchemy import delete

from service.households.models import Journey
from service.infrastructure.tasks import JobContext

KEEP_JOURNEYS = timedelta(days=30)
"""Own choice: an absence is of no use to anybody a month after it ended; two weeks of it carry a charge forward."""


def forget_past_journeys(context: JobContext) -> int:
    """Delete journeys that ended a month ago."""
    with context.database.system(write=True) as session:
        session.execute(delete(Journey).where(Journey.returns_at < context.clock.now() - KEEP_JOURNEYS))
    return 0
