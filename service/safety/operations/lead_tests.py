"""Record that a lead was tested or replaced: what lifts a sign from the lead, and from nothing else."""

from __future__ import annotations

from datetime import datetime

from service.accounts.operations import audit
from service.households.operations import get_lead, note_change, note_stop
from service.infrastructure.db.sessions import SchemeSession
from service.safety.domain.report_details import LeadTestDetails, check_not_later
from service.safety.domain.signs import LEAD_FAILED_TEST
from service.safety.models import LeadTest
from service.safety.operations.changes import CauseKind, follow_record
from service.safety.operations.clearances import get_home_evidence, home_clearance
from service.safety.operations.own_home import refuse_own_home
from service.safety.operations.stops import Sighting, report_signs


def record_lead_test(
    session: SchemeSession,
    household_id: str,
    lead_id: str,
    details: LeadTestDetails,
    *,
    by: str | None,
    at: datetime,
) -> LeadTest:
    """Record a test or replacement of a lead; a failed test stops the lead as a reported sign does.

    Raises
    ------
    NotFound, OwnHousehold, Rejected
        OwnHousehold for a pass of a home of one's own; Rejected for an instant that has not come yet.
    """
    get_lead(session, household_id, lead_id)
    if details.is_passed:
        refuse_own_home(session, by, household_id, who="An administrator")
    (note_change if details.is_passed else note_stop)(session, household_id, at=at)
    check_not_later("done_at", details.done_at, at=at)
    before = home_clearance(session, household_id, at=at)
    test = LeadTest(
        household_id=household_id, lead_id=lead_id, kind=str(details.kind), is_passed=details.is_passed,
        done_at=details.done_at, tested_by=details.tested_by, reference=details.reference, recorded_at=at,
        recorded_by=by,
    )
    session.add(test)
    session.flush()
    audit(session, account_id=by, action="record", subject_kind="lead_test", subject_id=test.id, at=at)
    if details.is_passed:
        follow_record(session, household_id, before, cause=CauseKind.LEAD_TEST, cause_id=test.id, at=at)
    else:
        seen = Sighting([LEAD_FAILED_TEST], None, lead_id, details.done_at)
        report_signs(session, get_home_evidence(session, household_id, at=at), seen, by=by, at=at)
    return test
