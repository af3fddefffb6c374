"""Whether somebody has looked lately: the member's check within its interval, and the supervised first charge."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, datetime
from zoneinfo import ZoneInfo

from service.common.working import Step
from service.households.domain.equipment import OutletKind
from service.households.domain.homes import LeadInputs, OutletInputs
from service.safety.domain.counting import first_counted_at
from service.safety.domain.evidence import CheckRecord, LeadTestKind, LeadTestRecord
from service.safety.domain.home_evidence import Evidence
from service.safety.domain.intervals import IntervalItem, IntervalRule, interval_for
from service.safety.domain.levels import Clearance
from service.safety.domain.needs import Need
from service.safety.domain.verdicts import Part

SUPERVISED_SOURCE = (
    "common practice, no source: one first charge with somebody awake at home, felt by hand after half an hour and "
    "again after two hours or more"
)
SUPERVISED_STEP = (
    "Do the supervised first charge: somebody awake at home, at most 10 A, the back of a hand on plug and socket "
    "after 30 minutes and again after two hours or more."
)
CHECK_STEP = "Do the one-minute check of this outlet; once it is clear, the outlet may be used again."
LEAD_CHECK_STEP = "Do the one-minute check of this lead; once it is clear, it may be used."
NOT_KNOWN, FIT = Clearance.NOT_KNOWN, Clearance.FIT_TO_USE
Seen = tuple[datetime, str]  # when, and in words what


def supervised_part(outlet: OutletInputs, evidence: Evidence, *, at: datetime, zone: ZoneInfo) -> Part | None:
    """Return what the supervised first charge makes of an outlet; only a 13 A socket needs one."""
    if outlet.kind != OutletKind.SOCKET_13A:
        return None
    since = first_counted_at(outlet, evidence.inspections, at=at)
    done = [
        charge.ended_at
        for charge in evidence.supervised
        if charge.outlet_id == outlet.id
        and charge.is_clear
        and charge.ended_at is not None
        and charge.ended_at <= at
        and since is not None
        and charge.started_at >= since
    ]
    inputs = {
        "first inspection counted from": str(_day(since, zone)) if since else "none",
        "clear supervised charge": str(_day(min(done), zone)) if done else "none",
    }
    rule = "a 13 A socket needs one clear supervised charge that began after its first accepted inspection"
    step = Step("Supervised first charge", inputs, rule, SUPERVISED_SOURCE, "done" if done else "not known")
    if done:
        return Part(FIT, (step,), f"supervised first charge clear on {_day(min(done), zone)}")
    missing = ("a clear supervised first charge after the inspection was accepted",)
    return Part(NOT_KNOWN, (step,), "", missing, (Need.SUPERVISED_CHARGE,), SUPERVISED_STEP)


def outlet_check_part(outlet: OutletInputs, evidence: Evidence, *, at: datetime, zone: ZoneInfo) -> Part:
    """Return what the newest clear check or supervised charge of an outlet makes of it."""
    seen: list[Seen] = [
        *_checks(evidence.checks, at, outlet_id=outlet.id),
        *(
            (charge.ended_at, "supervised charge clear")
            for charge in evidence.supervised
            if charge.outlet_id == outlet.id
            and charge.is_clear
            and charge.ended_at is not None
            and charge.ended_at <= at
        ),
    ]
    rule = interval_for(
        IntervalItem.OUTLET_CHECK, on=at.astimezone(zone).date(), kind=outlet.kind, scheme=evidence.scheme_rules
    )
    return _seen_part("outlet", seen, rule, CHECK_STEP, at=at, zone=zone)


def lead_check_part(lead: LeadInputs, evidence: Evidence, *, at: datetime, zone: ZoneInfo) -> Part:
    """Return what the newest clear check, passed test or replacement of a lead makes of it."""
    seen = [*_checks(evidence.checks, at, lead_id=lead.id), *_tests(lead, evidence.tests, at)]
    rule = interval_for(
        IntervalItem.LEAD_CHECK, on=at.astimezone(zone).date(), kind=lead.kind, scheme=evidence.scheme_rules
    )
    return _seen_part("lead", seen, rule, LEAD_CHECK_STEP, at=at, zone=zone)


def _checks(
    checks: Iterable[CheckRecord], at: datetime, *, outlet_id: str | None = None, lead_id: str | None = None
) -> Iterable[Seen]:
    for check in checks:
        is_of_it = check.outlet_id == outlet_id or (lead_id is not None and check.lead_id == lead_id)
        if is_of_it and check.is_clear and check.made_at <= at:
            yield check.made_at, "checked without a sign"


def _tests(lead: LeadInputs, tests: Iterable[LeadTestRecord], at: datetime) -> Iterable[Seen]:
    for test in tests:
        if test.lead_id == lead.id and test.is_passed and max(test.done_at, test.recorded_at) <= at:
            verb = "replaced" if test.kind is LeadTestKind.REPLACEMENT else "tested"
            yield test.done_at, f"recorded as {verb} by {test.tested_by}"


def _seen_part(
    item: str, seen: Sequence[Seen], rule: IntervalRule | None, next_step: str, *, at: datetime, zone: ZoneInfo
) -> Part:
    if rule is None:
        raise LookupError(f"no interval for the check of this {item}")
    last = max(seen, default=None)
    due_on = rule.due_after(last[0].astimezone(zone).date()) if last else None
    is_held = due_on is not None and at.astimezone(zone).date() < due_on
    inputs = {
        "last looked at": f"{_day(last[0], zone)}, {last[1]}" if last else "never",
        "interval": rule.length,
        "due again": str(due_on) if due_on else "now",
    }
    result = f"holds until {due_on}" if is_held else "not known"
    step = Step(f"Check of the {item}", inputs, f"{rule.name}: {rule.words}", rule.cited, result)
    evidence = f"{last[1]} on {_day(last[0], zone)}" if last else f"no clear check of this {item} is recorded"
    if is_held:
        return Part(FIT, (step,), evidence, next_step=f"Do the next check before {due_on}.", until_on=due_on)
    late = f" after the one that was due again on {due_on}" if due_on else ""
    return Part(NOT_KNOWN, (step,), evidence, (f"a clear check of this {item}{late}",), (Need.CHECK,), next_step)


def _day(at: datetime, zone: ZoneInfo) -> date:
    return at.astimezone(zone).date()
