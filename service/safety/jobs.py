"""What the worker runs for safety: keep the standing of a home in step with what stands in it."""

from service.common.errors import NotFound
from service.households.domain.events import HouseholdChanged
from service.infrastructure.db.sessions import SchemeSession
from service.infrastructure.tasks import JobContext
from service.safety.operations import refresh_status


def refresh_standing_after_household_change(
    context: JobContext, session: SchemeSession, event: HouseholdChanged
) -> None:
    """Derive the home's standing anew: an outlet added without an inspection makes it not known."""
    try:
        refresh_status(session, event.household_id, at=context.clock.now())
    except NotFound:
        return  # the home is gone, and its standing with it
