"""The home's standing for lists: its worst clearance and next recheck, kept beside the evidence.

It is a copy, rebuilt from evidence whenever evidence changes or ages, and never trusted over it.
"""

from __future__ import annotations

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from sqlalchemy import func, select

from service.households.operations import get_household
from service.infrastructure.db.sessions import SchemeSession
from service.safety.domain.clearance import worst_of
from service.safety.models import ClearanceStatus, Recheck
from service.safety.operations.clearances import household_clearances

EASTERNMOST = timedelta(hours=14)
"""No zone is further ahead of UTC: a local date never comes earlier than this."""


def refresh_status(session: SchemeSession, household_id: str, *, at: datetime) -> ClearanceStatus:
    """Derive the home's standing at an instant and keep it; raises ``NotFound``."""
    zone = ZoneInfo(get_household(session, household_id).zone)
    clearances = household_clearances(session, household_id, at=at)
    worst = worst_of(outlet.clearance for outlet in clearances)
    ends = [outlet.valid_until for outlet in clearances if outlet.valid_until is not None]
    status = session.scalar(select(ClearanceStatus).where(ClearanceStatus.household_id == household_id))
    if status is None:
        status = ClearanceStatus(household_id=household_id)
        session.add(status)
    status.clearance = worst.value
    # The first end changes the standing, even where the worst outlet has none.
    status.valid_until_on = min(ends).astimezone(zone).date() if ends else None
    status.next_recheck_on = session.scalar(
        select(func.min(Recheck.due_on)).where(Recheck.household_id == household_id, Recheck.done_on.is_(None))
    )
    status.derived_at = at
    session.flush()
    return status


def refresh_lapsed(session: SchemeSession, *, at: datetime) -> list[str]:
    """Rebuild the standing of homes whose evidence has come to its end; return the homes' ids.

    Asked again it finds nothing: what has lapsed no longer has an end.
    """
    lapsed = session.scalars(
        select(ClearanceStatus.household_id)
        .where(ClearanceStatus.valid_until_on <= (at + EASTERNMOST).date())
        .order_by(ClearanceStatus.household_id)
    ).all()
    changed = []
    for household_id in lapsed:
        before = session.scalar(
            select(ClearanceStatus.valid_until_on).where(ClearanceStatus.household_id == household_id)
        )
        if refresh_status(session, household_id, at=at).valid_until_on != before:
            changed.append(household_id)
    return changed
