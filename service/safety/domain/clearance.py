"""What evidence says of an outlet at an instant: may a car charge from it, at what current, until when.

Nothing recorded, or nothing still in date, is "not known" and never a pass. A finding that
stops use stops it whichever inspection it stands in, until a date closes it. A reported sign
stops it until its own evidence lifts it, and a clear check is no such evidence so far: a member's
look says nothing of what is behind the plate.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from zoneinfo import ZoneInfo

from service.common.slots import instant_at
from service.common.working import Step, Working
from service.households.domain.equipment import SOCKET_SUSTAINED_LIMIT_A, OutletKind
from service.households.domain.homes import OutletInputs
from service.safety.domain.evidence import InspectionRecord
from service.safety.domain.levels import Clearance as Clearance
from service.safety.domain.levels import worst_of as worst_of
from service.safety.domain.sign_reports import SignReport, open_on_outlet
from service.safety.domain.sign_words import sign_evidence, sign_missing, sign_step

CODES_SOURCE = "BS 7671 Appendix 6 classification codes; that an open C1, C2 or FI stops charging: common practice"
DATE_SOURCE = "common practice: the report's own next inspection date governs, if it is the sooner"
SIGN_NEXT_STEP = (
    "Do not charge here and do not reset anything. Have an electrician inspect this outlet and record the result; "
    "until then charge elsewhere."
)
SOCKET_SOURCE = "common practice of the trade, no clause: about 10 A for hours on an ordinary 13 A socket"


@dataclass(frozen=True, slots=True)
class OutletClearance:
    """The clearance of one outlet at an instant.

    ``limit_a`` [A per phase] and ``valid_until`` (UTC, exclusive) are None unless charging is allowed.
    """

    outlet_id: str
    clearance: Clearance
    limit_a: int | None
    valid_until: datetime | None
    evidence: str
    missing: tuple[str, ...]
    next_step: str
    working: Working


def outlet_clearance(
    outlet: OutletInputs,
    inspections: Sequence[InspectionRecord],
    *,
    at: datetime,
    zone: ZoneInfo,
    signs: Sequence[SignReport] = (),
) -> OutletClearance:
    """Return the clearance of an outlet at an instant, past ones included.

    Parameters
    ----------
    outlet : OutletInputs
        The outlet asked about.
    inspections : sequence of InspectionRecord
        Of the home, in the order they were recorded; those that name another outlet are passed over.
    at : datetime
        Aware instant.
    zone : ZoneInfo
        In which dates of inspections are read.
    signs : sequence of SignReport
        Of the home; those that act on other outlets are passed over.

    Notes
    -----
    1. An open C1, C2 or FI of any inspection of the outlet: do not use.
    2. Else the newest inspection, the later recorded of two on one day, if it is not past due: fit to
       use until the local midnight that starts its next due date. C3 alone does not stop use.
    3. Else not known.
    4. A sign that stands at that instant, acts on the outlet and is not lifted from it makes the answer
       as bad as its row says, never better.
    """
    base = _by_inspections(outlet, inspections, at, zone)
    standing = open_on_outlet(outlet, signs, inspections, at=at, zone=zone)
    return _stopped_by_signs(base, standing, zone) if standing else base


def _by_inspections(
    outlet: OutletInputs, inspections: Sequence[InspectionRecord], at: datetime, zone: ZoneInfo
) -> OutletClearance:
    day = at.astimezone(zone).date()
    known = [record for record in inspections if record.outlet_id == outlet.id and record.inspected_on <= day]
    stops = [(record, stop) for record in known for stop in record.open_stops(day)]
    if stops:
        return _stopped(outlet, stops, day)
    if not known:
        return _not_known(outlet, day, None)
    newest = max(enumerate(known), key=lambda entry: (entry[1].inspected_on, entry[0]))[1]
    return _fit(outlet, newest, zone) if day < newest.next_due_on else _not_known(outlet, day, newest)


def recorded_as(record: InspectionRecord) -> str:
    """Return the evidence in words: it was recorded, nobody here certified it."""
    by = f"{record.electrician}, certificate {record.certificate_number}"
    return f"recorded as inspected on {record.inspected_on} by {by}"


def _fit(outlet: OutletInputs, record: InspectionRecord, zone: ZoneInfo) -> OutletClearance:
    limit_a = outlet.limit_a
    steps = [
        Step(
            "Inspection of the outlet",
            {"inspected_on": str(record.inspected_on), "next_due_on": str(record.next_due_on)},
            "the newest inspection that names the outlet holds until the midnight that starts its next due date",
            DATE_SOURCE,
            f"fit to use until {record.next_due_on}",
        )
    ]
    if outlet.kind == OutletKind.SOCKET_13A:
        limit_a = min(limit_a, SOCKET_SUSTAINED_LIMIT_A)
        steps.append(
            Step(
                "Current for hours",
                {"limit_a": str(outlet.limit_a), "socket_sustained_limit_a": str(SOCKET_SUSTAINED_LIMIT_A)},
                "the lesser of the two",
                SOCKET_SOURCE,
                f"{limit_a} A",
            )
        )
    return OutletClearance(
        outlet.id,
        Clearance.FIT_TO_USE,
        limit_a,
        instant_at(record.next_due_on, 0, zone),
        recorded_as(record),
        (),
        f"Book the next inspection before {record.next_due_on}.",
        Working(tuple(steps)),
    )


def _stopped(
    outlet: OutletInputs, stops: Sequence[tuple[InspectionRecord, str]], day: date
) -> OutletClearance:
    codes = ", ".join(sorted({code for _, code in stops}))
    record = stops[-1][0]
    step = Step(
        "Findings of inspections",
        {"open_codes": codes, "on": str(day)},
        "an open C1, C2 or FI of any inspection of the outlet stops its use until it is closed",
        CODES_SOURCE,
        "do not use",
    )
    return OutletClearance(
        outlet.id,
        Clearance.DO_NOT_USE,
        None,
        None,
        f"{codes} open; {recorded_as(record)}",
        (f"record that the work on {codes} is done",),
        "Do not charge here. Have an electrician put the finding right and record the date it was closed.",
        Working((step,)),
    )


def _stopped_by_signs(base: OutletClearance, signs: Sequence[SignReport], zone: ZoneInfo) -> OutletClearance:
    """Return the answer with signs over it; what inspections alone say stays in the evidence and the working."""
    clearance = worst_of([base.clearance, *(report.row.effect for report in signs)])
    return replace(
        base,
        clearance=clearance,
        limit_a=None,
        valid_until=None,
        evidence=f"{sign_evidence(signs, zone)}; {base.evidence}",
        missing=(*base.missing, *sign_missing(signs, "outlet")),
        next_step=SIGN_NEXT_STEP,
        working=Working((*base.working.steps, sign_step(signs, clearance, "outlet", zone))),
    )


def _not_known(outlet: OutletInputs, day: date, lapsed: InspectionRecord | None) -> OutletClearance:
    inputs = {"on": str(day), "inspections": "none"}
    evidence, missing = "no inspection of this outlet is recorded", "an inspection that names this outlet"
    if lapsed is not None:
        inputs = {"on": str(day), "next_due_on": str(lapsed.next_due_on)}
        evidence = f"{recorded_as(lapsed)}; it was due again on {lapsed.next_due_on}"
        missing = f"an inspection after the one that was due again on {lapsed.next_due_on}"
    rule = "without an inspection in date the answer is not known, and no plan uses the outlet"
    step = Step("Inspection of the outlet", inputs, rule, DATE_SOURCE, "not known")
    return OutletClearance(
        outlet.id,
        Clearance.NOT_KNOWN,
        None,
        None,
        evidence,
        (missing,),
        "Book an electrician to inspect this outlet, and charge elsewhere until the result is recorded.",
        Working((step,)),
    )
