"""What the people of a home do and like, as far as a plan depends on it."""

from __future__ import annotations

from datetime import datetime

from service.accounts.operations import audit
from service.households.domain.habit_details import HabitDetails
from service.households.models import Household
from service.households.operations.homes import get_household, note_change
from service.households.operations.stored import fill
from service.infrastructure.db.sessions import SchemeSession


def get_habits(session: SchemeSession, household_id: str) -> Household:
    """Return the home, whose row holds them; raises ``NotFound``."""
    return get_household(session, household_id)


def put_habits(
    session: SchemeSession, household_id: str, details: HabitDetails, *, by: str | None, at: datetime
) -> Household:
    """Put a home's habits in place of those it had; raises ``NotFound``."""
    note_change(session, household_id, at=at)
    household = get_household(session, household_id)
    changed = fill(household, details)
    session.flush()
    audit(
        session, account_id=by, action="put_habits", subject_kind="household", subject_id=household_id, at=at,
        fields=changed,
    )
    return household
