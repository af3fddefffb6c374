"""Report a bad sign, by a check or at once, and withdraw a mistaken report.

A stop acts in the transaction that records it: the change counter rises, plans from older counts are hidden,
standing and log follow, and ``UseStopped`` is announced.  A clear check is evidence until its interval has passed;
it lifts no sign.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from service.accounts.operations import audit
from service.common.errors import Conflict, Fault, NotFound, Rejected
from service.households.operations import note_change, note_stop
from service.infrastructure.db.sessions import SchemeSession
from service.infrastructure.outbox import announce
from service.safety.domain.cold_check import CheckDetails
from service.safety.domain.events import UseStopped
from service.safety.domain.report_details import IncidentDetails, WithdrawalDetails, check_not_later
from service.safety.domain.sign_reports import SignReport, resolved
from service.safety.models import Check
from service.safety.models import SignReport as StoredReport
from service.safety.operations.changes import CauseKind, follow_record
from service.safety.operations.clearances import HomeEvidence, get_home_evidence, home_clearance
from service.safety.operations.own_home import refuse_own_home
from service.safety.operations.photos import check_photo


@dataclass(frozen=True)
class Sighting:
    """What was seen where; ids are of this home or None."""

    signs: Sequence[str]
    outlet_id: str | None
    lead_id: str | None
    seen_at: datetime
    note: str = ""
    check_id: str | None = None


def record_check(
    session: SchemeSession, household_id: str, details: CheckDetails, *, by: str | None, at: datetime
) -> tuple[Check, list[str]]:
    """Record a member's check and report every sign it found; return it with the ids of the reports.

    Raises
    ------
    NotFound, Rejected
        Rejected for an outlet or lead of another home.
    """
    (note_stop if details.signs else note_change)(session, household_id, at=at)
    evidence = get_home_evidence(session, household_id, at=at)
    _check_items(evidence, details.outlet_id, details.lead_id)
    check = Check(
        household_id=household_id, outlet_id=details.outlet_id, lead_id=details.lead_id, made_at=at, made_by=by,
        answers=[[given.question, given.answer] for given in details.answers], is_clear=details.is_clear,
        note=details.note,
    )
    session.add(check)
    session.flush()
    audit(session, account_id=by, action="record", subject_kind="check", subject_id=check.id, at=at)
    if not details.signs:
        follow_record(
            session, household_id, evidence.clearance_at(at), cause=CauseKind.CHECK, cause_id=check.id, at=at
        )
        return check, []
    signs = [sign.name for sign in details.signs]
    seen = Sighting(signs, details.outlet_id, details.lead_id, at, details.note, check.id)
    return check, report_signs(session, evidence, seen, by=by, at=at)


def report_incident(
    session: SchemeSession, household_id: str, details: IncidentDetails, *, by: str | None, at: datetime
) -> str:
    """Report one sign or incident and return the report's id.

    Raises
    ------
    NotFound, Rejected
        Rejected for an outlet or lead of another home, or an instant that has not come yet.
    """
    note_stop(session, household_id, at=at)
    check_not_later("seen_at", details.seen_at, at=at)
    evidence = get_home_evidence(session, household_id, at=at)
    _check_items(evidence, details.outlet_id, details.lead_id)
    seen = Sighting([details.sign], details.outlet_id, details.lead_id, details.seen_at or at, details.note)
    return report_signs(session, evidence, seen, by=by, at=at)[0]


def report_signs(
    session: SchemeSession, evidence: HomeEvidence, seen: Sighting, *, by: str | None, at: datetime
) -> list[str]:
    """Write the reports of one sighting, let everything follow, announce the stop; return the reports' ids.

    The caller has noted the stop already and derived ``evidence`` in the same transaction.
    """
    household_id = evidence.home.id
    rows = [_report(evidence, seen, sign, by, at) for sign in seen.signs]
    session.add_all(rows)
    session.flush()
    follow_record(
        session, household_id, evidence.clearance_at(at), cause=CauseKind.SIGN_REPORT, cause_id=rows[0].id, at=at
    )
    for row in rows:
        audit(session, account_id=by, action="report", subject_kind="sign_report", subject_id=row.id, at=at)
    announce(session, UseStopped(household_id, tuple(sorted(row.id for row in rows))), at=at)
    return [row.id for row in rows]


def withdraw_sign(
    session: SchemeSession,
    household_id: str,
    report_id: str,
    details: WithdrawalDetails,
    *,
    by: str | None,
    at: datetime,
) -> None:
    """Withdraw a mistaken report with a reason and perhaps a photo; all are kept.  Asked twice, done once.

    Raises
    ------
    NotFound, Rejected, OwnHousehold, Conflict
        Rejected for a photo of another home; Conflict where it was withdrawn already, for another reason.
    """
    note_change(session, household_id, at=at)
    refuse_own_home(session, by, household_id)
    report = session.get(StoredReport, (session.scheme_id, report_id))
    if report is None or report.household_id != household_id:
        raise NotFound("This home has no such report.")
    if report.withdrawn_at is not None:
        if report.withdrawal_reason != details.reason:
            raise Conflict("This report was withdrawn already, for another reason.")
        return
    check_photo(session, household_id, details.file_id, "photo", "setting_photo")
    before = home_clearance(session, household_id, at=at)
    report.withdrawn_at, report.withdrawn_by, report.withdrawal_reason = at, by, details.reason
    report.withdrawal_file_id = details.file_id
    follow_record(session, household_id, before, cause=CauseKind.WITHDRAWAL, cause_id=report_id, at=at)
    audit(
        session, account_id=by, action="withdraw", subject_kind="sign_report", subject_id=report_id, at=at,
        fields=("withdrawal_reason",),
    )


def _report(evidence: HomeEvidence, seen: Sighting, sign: str, by: str | None, at: datetime) -> StoredReport:
    outlets, leads = evidence.home.outlets, evidence.home.leads
    circuit_id = next((outlet.circuit_id for outlet in outlets if outlet.id == seen.outlet_id), None)
    value = resolved(
        SignReport("", sign, seen.outlet_id, seen.lead_id, circuit_id, seen.seen_at, at), outlets, leads
    )
    return StoredReport(
        household_id=evidence.home.id, sign=sign, outlet_id=seen.outlet_id, lead_id=seen.lead_id,
        circuit_id=circuit_id, outlet_ids=sorted(value.outlet_ids), lead_ids=sorted(value.lead_ids),
        seen_at=seen.seen_at, reported_at=at, reported_by=by, check_id=seen.check_id, note=seen.note,
    )


def _check_items(evidence: HomeEvidence, outlet_id: str | None, lead_id: str | None) -> None:
    faults = []
    if outlet_id is not None and outlet_id not in [outlet.id for outlet in evidence.home.outlets]:
        faults.append(Fault("outlet_id", outlet_id, "is not an outlet of this home"))
    if lead_id is not None and lead_id not in [lead.id for lead in evidence.home.leads]:
        faults.append(Fault("lead_id", lead_id, "is not a lead of this home"))
    if faults:
        raise Rejected(*faults)
