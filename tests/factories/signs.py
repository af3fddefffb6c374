"""Evidence of a home for tests of the pure rules: values that break no rule, and let a car charge unless changed."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal
from typing import Any
from zoneinfo import ZoneInfo

from service.households.domain.equipment import DeviceKind, Earthing, Place, RcdType, YesNo
from service.households.domain.homes import LeadInputs, OutletInputs
from service.safety.domain.evidence import (
    CheckRecord,
    CodedObservation,
    InspectionRecord,
    InspectionSource,
    LeadTestKind,
    LeadTestRecord,
    ObservationCode,
)
from service.safety.domain.home_evidence import Evidence
from service.safety.domain.inspection_answers import InspectionAnswers, Reading
from service.safety.domain.sign_reports import SignReport, resolved
from service.safety.domain.supervised_charge import SupervisedRecord

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


GOOD_ANSWERS = InspectionAnswers(
    ev_mark=YesNo.YES, own_rcd=YesNo.YES, rcd_type=RcdType.A, rcd_ma=30, rcd_time_ms=Reading(Decimal(28)),
    earthing=Earthing.TN_S, car_place=Place.OUTDOORS, is_ring=YesNo.NO, polarity=YesNo.YES, terminals_tight=YesNo.YES,
    socket_removed=YesNo.YES, zs_ohm=Reading(Decimal("0.62")), ze_ohm=Reading(Decimal("0.31")),
    r1r2_ohm=Reading(Decimal("0.31")), insulation_mohm=Reading(Decimal(200)), device_kind=DeviceKind.MCB_B, device_a=32,
)  # fmt: skip


def inspection_of(
    outlet: str, inspected: str, due: str = "2031-06-01", *findings: tuple[str, str | None], **changes: Any
) -> InspectionRecord:
    """Return an inspection of an outlet that counts, accepted as its day began.

    A finding is a code and the date that closed it, or None.
    """
    observations = tuple(
        CodedObservation(ObservationCode(code), "", date.fromisoformat(closed) if closed else None)
        for code, closed in findings
    )
    days = date.fromisoformat(inspected), date.fromisoformat(due)
    record = InspectionRecord(
        f"{outlet}-{inspected}", outlet, *days, "Hollin Wiring (invented)", "C-1", observations,
        source=InspectionSource.LINK, has_document=True, was_tested=YesNo.YES, knew_use=YesNo.YES,
        answers=GOOD_ANSWERS, accepted_at=datetime.combine(days[0], time(), tzinfo=UTC),
    )  # fmt: skip
    return replace(record, **changes)


def check_of(outlet: str, made_at: datetime, *, lead: str | None = None, is_clear: bool = True) -> CheckRecord:
    """Return a member's check."""
    return CheckRecord(f"check-{outlet}-{lead}-{made_at}", outlet, lead, made_at, is_clear)


def supervised_of(outlet: str, started_at: datetime, *, is_clear: bool = True) -> SupervisedRecord:
    """Return a supervised charge of three hours."""
    ended_at = started_at + timedelta(hours=3)
    return SupervisedRecord(f"supervised-{outlet}-{started_at}", outlet, LEAD.id, started_at, ended_at, is_clear)


def looked_after(
    inspections: Iterable[InspectionRecord] = (),
    signs: Iterable[SignReport] = (),
    tests: Iterable[LeadTestRecord] = (),
    *,
    outlets: Sequence[OutletInputs] = OUTLETS,
    leads: Sequence[LeadInputs] = LEADS,
    checked: Iterable[datetime] = (),
    **changes: Any,
) -> Evidence:
    """Return the evidence of a home whose outlets and leads are checked, each month of 2026 and 2027 by default.

    Each inspection was followed by a supervised charge on the day it was accepted.
    """
    inspections = tuple(inspections)
    made = tuple(checked) or tuple(datetime(2026 + month // 12, month % 12 + 1, 1, tzinfo=UTC) for month in range(24))
    lead_of = {outlet.id: lead.id for outlet, lead in zip(outlets, leads, strict=False)}
    checks = [check_of(outlet.id, at, lead=lead_of.get(outlet.id)) for at in made for outlet in outlets]
    supervised = tuple(
        supervised_of(record.outlet_id, record.accepted_at) for record in inspections if record.accepted_at is not None
    )
    parts = {"checks": tuple(checks), "supervised": supervised, **changes}
    return Evidence(inspections, tuple(signs), tuple(tests), **parts)


def lead_test_of(
    lead: str, done_at: datetime, *, kind: LeadTestKind = LeadTestKind.TEST, is_passed: bool = True
) -> LeadTestRecord:
    """Return a test of a lead, recorded when it was done."""
    return LeadTestRecord(f"{lead}-{done_at}", lead, kind, is_passed, done_at, done_at, "Hollin Wiring (invented)")
