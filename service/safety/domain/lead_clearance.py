"""What evidence says of a lead at an instant: may a car charge with it, at what current.

So far only a sign stops a lead. A lead without an open sign may be used at the current it is set to, never
without limit: nobody has looked at it. Once the member's check counts as evidence, a lead without one is
"not known", and the plan needs no change for that, because it asks for ``allows_charging``.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from service.common.working import Step, Working
from service.households.domain.homes import LeadInputs
from service.safety.domain.evidence import LeadTestKind, LeadTestRecord
from service.safety.domain.levels import Clearance, worst_of
from service.safety.domain.sign_reports import SignReport, open_on_lead
from service.safety.domain.sign_words import sign_evidence, sign_missing, sign_step

SET_SOURCE = "the lead's rating and setting as recorded; that no sign is open: rule of this service"
LOOK_AGAIN = "Look at the lead before each use, and report any sign at once."
STOPPED_STEP = (
    "Do not charge with this lead. Have it tested or replaced and recorded by those who run the scheme; "
    "a new lead says nothing of the socket."
)


@dataclass(frozen=True, slots=True)
class LeadClearance:
    """The clearance of one lead at an instant; ``limit_a`` [A] is None unless it may be used."""

    lead_id: str
    clearance: Clearance
    limit_a: int | None
    evidence: str
    missing: tuple[str, ...]
    next_step: str
    working: Working


def lead_clearance(
    lead: LeadInputs,
    signs: Sequence[SignReport],
    tests: Sequence[LeadTestRecord],
    *,
    at: datetime,
    zone: ZoneInfo,
) -> LeadClearance:
    """Return the clearance of a lead at an instant, past ones included.

    Parameters
    ----------
    lead : LeadInputs
        The lead asked about.
    signs, tests : sequences
        Of the home; those of other leads are passed over.
    at : datetime
        Aware instant.
    zone : ZoneInfo
        In which days are named in the answer.

    Notes
    -----
    1. A sign that stands then, acts on the lead and is not lifted from it: as bad as its row says.
    2. Else use with limits, at the lesser of the rated and the set current.
    """
    standing = open_on_lead(lead, signs, tests, at=at)
    if standing:
        clearance = worst_of(report.row.effect for report in standing)
        return LeadClearance(
            lead.id,
            clearance,
            None,
            sign_evidence(standing, zone),
            sign_missing(standing, "lead"),
            STOPPED_STEP,
            Working((sign_step(standing, clearance, "lead", zone),)),
        )
    limit_a = min(lead.rated_a, lead.set_a)
    step = Step(
        "Current of the lead",
        {"rated_a": str(lead.rated_a), "set_a": str(lead.set_a)},
        "without an open sign a lead is used at what it is set to, and never above its rating",
        SET_SOURCE,
        f"{limit_a} A",
    )
    evidence = f"no open sign is recorded; {_last_test(lead, tests, at, zone)}"
    missing = ("a recorded look at the lead",)
    return LeadClearance(
        lead.id, Clearance.USE_WITH_LIMITS, limit_a, evidence, missing, LOOK_AGAIN, Working((step,))
    )


def _last_test(lead: LeadInputs, tests: Sequence[LeadTestRecord], at: datetime, zone: ZoneInfo) -> str:
    """Say which passed test or replacement was the last, as known at an instant."""
    known = [test for test in tests if test.lead_id == lead.id and max(test.done_at, test.recorded_at) <= at]
    done = [test for test in known if test.is_passed]
    if not done:
        return "no test of it is recorded either"
    last = max(done, key=lambda test: test.done_at)
    verb = "replaced" if last.kind is LeadTestKind.REPLACEMENT else "tested"
    return f"recorded as {verb} on {last.done_at.astimezone(zone).date()} by {last.tested_by}"
