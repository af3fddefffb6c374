"""What evidence says of a lead at an instant: may a car charge with it, at what current, until when.

A lead is used with limits at best: at what it is set to, and never above its rating. Without a clear look, a passed
test or a replacement within its interval it is not known.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from service.common.working import Step, Working
from service.households.domain.homes import LeadInputs
from service.safety.domain.freshness import lead_check_part
from service.safety.domain.home_evidence import Evidence
from service.safety.domain.levels import Clearance, worst_of
from service.safety.domain.needs import Need
from service.safety.domain.overrides import stricter_parts
from service.safety.domain.sign_reports import open_on_lead
from service.safety.domain.sign_words import sign_evidence, sign_missing, sign_step
from service.safety.domain.verdicts import Part, put_together

SET_SOURCE = "the lead's rating and setting as recorded: rule of this service"
STOPPED_STEP = (
    "Do not charge with this lead. Have it tested or replaced and recorded by those who run the scheme; "
    "a new lead says nothing of the socket."
)


@dataclass(frozen=True, slots=True)
class LeadClearance:
    """The clearance of one lead; ``limit_a`` [A] and ``valid_until`` (UTC) are None unless it may be used."""

    lead_id: str
    clearance: Clearance
    limit_a: int | None
    evidence: str
    missing: tuple[str, ...]
    next_step: str
    working: Working
    valid_until: datetime | None = None
    needs: tuple[Need, ...] = ()


def lead_clearance(lead: LeadInputs, evidence: Evidence, *, at: datetime, zone: ZoneInfo) -> LeadClearance:
    """Return the clearance of a lead at an instant, past ones included.

    Parameters
    ----------
    lead : LeadInputs
        The lead asked about.
    evidence : Evidence
        Of the whole home; what speaks of other leads alone is passed over, what was not known then too.
    at : datetime
        Aware instant.
    zone : ZoneInfo
        In which dates of checks and tests are read.

    Notes
    -----
    The worst of these:

    1. a sign that stands, acts on the lead and is not lifted from it: as bad as its row says;
    2. a safety officer's stricter decision;
    3. no clear check that names it, passed test or replacement within its interval: not known;
    4. use with limits, at the lesser of the rated and the set current.
    """
    whole = put_together(tuple(_parts(lead, evidence, at, zone)), zone)
    return LeadClearance(
        lead.id, whole.clearance, whole.limit_a, whole.evidence, whole.missing, whole.next_step, whole.working,
        whole.valid_until, whole.needs,
    )


def _parts(lead: LeadInputs, evidence: Evidence, at: datetime, zone: ZoneInfo) -> Iterator[Part]:
    standing = open_on_lead(lead, evidence.signs, evidence.tests, at=at)
    if standing:
        clearance = worst_of(report.row.effect for report in standing)
        yield Part(
            clearance,
            (sign_step(standing, clearance, "lead", zone),),
            sign_evidence(standing, zone),
            sign_missing(standing, "lead"),
            (Need.STOP_LIFTED,),
            STOPPED_STEP,
        )
    yield from stricter_parts(evidence.overrides, "lead", lead.id, at=at, zone=zone)
    yield lead_check_part(lead, evidence, at=at, zone=zone)
    limit_a = min(lead.rated_a, lead.set_a)
    step = Step(
        "Current of the lead",
        {"rated_a": str(lead.rated_a), "set_a": str(lead.set_a)},
        "a lead is used at what it is set to, and never above its rating",
        SET_SOURCE,
        f"{limit_a} A",
    )
    yield Part(Clearance.USE_WITH_LIMITS, (step,), limit_a=limit_a)
