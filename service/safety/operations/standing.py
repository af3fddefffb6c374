"""The home's standing for lists: its worst clearance and next recheck, kept beside the evidence.

It is a copy, rebuilt from evidence whenever evidence or equipment changes, and never trusted over
it: lists that read it look at ``valid_until_on`` too, because evidence ages without a change.
"""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import func, select

from service.infrastructure.db.sessions import SchemeSession
from service.safety.models import ClearanceStatus, Recheck
from service.safety.operations.clearances import get_home_evidence
from service.safety.operations.recheck_setting import set_rechecks


def refresh_status(session: SchemeSession, household_id: str, *, at: datetime) -> ClearanceStatus:
    """Derive the home's standing at an instant and keep it, its dates first; raises ``NotFound``."""
    set_rechecks(session, [household_id], at=at)
    evidence = get_home_evidence(session, household_id, at=at)
    clearance = evidence.clearance_at(at)
    worst = clearance.worst(evidence.home)
    ends = [outlet.valid_until for outlet in clearance.outlets if outlet.valid_until is not None]
    ends += [lead.valid_until for lead in clearance.leads if lead.valid_until is not None]
    next_recheck_on = session.scalar(
        select(func.min(Recheck.due_on)).where(Recheck.household_id == household_id, Recheck.done_on.is_(None))
    )
    status = session.scalar(select(ClearanceStatus).where(ClearanceStatus.household_id == household_id))
    if status is None:
        status = ClearanceStatus(household_id=household_id)
        session.add(status)
    status.clearance = worst.value
    # The first end changes the standing, even where the worst outlet has none.
    status.valid_until_on = min(ends).astimezone(evidence.zone).date() if ends else None
    status.next_recheck_on = next_recheck_on
    status.derived_at = at
    session.flush()
    return status
