"""Follow a record: append how clearance changed by it, and bring the home's standing up to date.

Only changes that a record makes are appended here.  That evidence merely ages, or that equipment is added,
shows when clearance is derived; a tick that appends those too comes with the rechecks.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from enum import StrEnum

from service.infrastructure.db.sessions import SchemeSession
from service.safety.domain.levels import Clearance
from service.safety.models import ClearanceChange
from service.safety.operations.clearances import HomeClearance, home_clearance
from service.safety.operations.standing import refresh_status


class CauseKind(StrEnum):
    """Which kind of record changed a clearance."""

    SIGN_REPORT = "sign_report"
    WITHDRAWAL = "withdrawal"
    LEAD_TEST = "lead_test"
    INSPECTION = "inspection"
    CLOSURE = "closure"
    ACCEPTANCE = "acceptance"
    REFUSAL = "refusal"
    CHECK = "check"
    SUPERVISED_CHARGE = "supervised_charge"
    SETTING_PHOTO = "setting_photo"
    OVERRIDE = "override"


def follow_record(
    session: SchemeSession,
    household_id: str,
    before: HomeClearance,
    *,
    cause: CauseKind,
    cause_id: str,
    at: datetime,
) -> None:
    """Append each change since ``before`` with its cause and working, then refresh the standing.

    ``before`` is the home's clearance at the same instant, derived before the record was written.
    """
    session.flush()
    after = home_clearance(session, household_id, at=at)
    was = {(kind, item): clearance for kind, item, clearance, _ in _items(before)}
    for kind, item, clearance, working in _items(after):
        old = was.get((kind, item), Clearance.NOT_KNOWN)
        if old is not clearance:
            session.add(
                ClearanceChange(
                    household_id=household_id, item_kind=kind, item_id=item, was=old.value, becomes=clearance.value,
                    changed_at=at, cause_kind=cause.value, cause_id=cause_id, working=working,
                )
            )
    refresh_status(session, household_id, at=at)


def _items(found: HomeClearance) -> Iterator[tuple[str, str, Clearance, list[dict[str, object]]]]:
    for outlet in found.outlets:
        yield "outlet", outlet.outlet_id, outlet.clearance, list(outlet.working.to_json())
    for lead in found.leads:
        yield "lead", lead.lead_id, lead.clearance, list(lead.working.to_json())
