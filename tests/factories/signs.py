"""Reported signs and tests of leads for tests of the pure rules: values that break no rule."""

from datetime import UTC, date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from service.households.domain.homes import LeadInputs, OutletInputs
from service.safety.domain.evidence import (
    CodedObservation,
    InspectionRecord,
    LeadTestKind,
    LeadTestRecord,
    ObservationCode,
)
from service.safety.domain.sign_reports import SignReport, resolved

LONDON = ZoneInfo("Europe/London")
REPORTED_AT = datetime(2026, 11, 25, 12, 0, tzinfo=UTC)

SOCKET = OutletInputs("socket", "garage", "socket_13a", None, "indoors", 10, 1, 1, "ring")
SAME_CIRCUIT = OutletInputs("porch", "porch", "socket_13a", None, "outdoors", 10, 1, 2, "ring")
OTHER_CIRCUIT = OutletInputs("point", "drive", "charging_point", False, "outdoors", 32, 1, 3, "radial")
NO_CIRCUIT = OutletInputs("shed", "shed", "socket_13a", None, "indoors", 10, 1, 4, None)
TETHERED = OutletInputs("tethered", "wall", "charging_point", True, "outdoors", 32, 1, 5, "own")
OUTLETS = (SOCKET, SAME_CIRCUIT, OTHER_CIRCUIT, NO_CIRCUIT)
LEAD = LeadInputs("lead", "portable lead", "mode_2", 10, 10)
OTHER_LEAD = LeadInputs("spare", "spare lead", "mode_2", 13, 8)
LEADS = (LEAD, OTHER_LEAD)


def report_of(sign: str, **changes: Any) -> SignReport:
    """Return a report of a sign at the socket with the lead, made at noon, with all that it acts on."""
    usual: dict[str, Any] = {
        "id": f"report-{sign}",
        "sign": sign,
        "outlet_id": SOCKET.id,
        "lead_id": LEAD.id,
        "circuit_id": "ring",
        "seen_at": REPORTED_AT,
        "reported_at": REPORTED_AT,
    }
    return resolved(SignReport(**{**usual, **changes}), OUTLETS, LEADS)


def inspection_of(outlet: str, inspected: str, due: str = "2031-06-01", *findings: tuple[str, str | None]) -> Any:
    """Return an inspection of an outlet; a finding is a code and the date that closed it, or None."""
    observations = tuple(
        CodedObservation(ObservationCode(code), "", date.fromisoformat(closed) if closed else None)
        for code, closed in findings
    )
    days = date.fromisoformat(inspected), date.fromisoformat(due)
    return InspectionRecord(f"{outlet}-{inspected}", outlet, *days, "Hollin Wiring (invented)", "C-1", observations)


def lead_test_of(
    lead: str, done_at: datetime, *, kind: LeadTestKind = LeadTestKind.TEST, is_passed: bool = True
) -> LeadTestRecord:
    """Return a test of a lead, recorded when it was done."""
    return LeadTestRecord(f"{lead}-{done_at}", lead, kind, is_passed, done_at, done_at, "Hollin Wiring (invented)")
