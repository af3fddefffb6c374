"""A reported sign as a value: what it acts on at an instant, and whether later evidence has lifted it.

A report counts from the instant it was made, not from when the sign was seen: what nobody had been told
could not be heeded, and an inspection of the days between did not know of it. Each item is lifted by its
own evidence alone.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from zoneinfo import ZoneInfo

from service.households.domain.equipment import OutletKind
from service.households.domain.homes import LeadInputs, OutletInputs
from service.safety.domain.counting import lifts_stops
from service.safety.domain.evidence import InspectionRecord, LeadTestKind, LeadTestRecord
from service.safety.domain.signs import SIGNS, LeadLift, Reach, Sign


@dataclass(frozen=True, slots=True)
class SignReport:
    """One sign, reported once.

    ``outlet_id``, ``lead_id`` and ``circuit_id`` are None where the report does not name one, or nobody knows
    the outlet's circuit. ``outlet_ids`` and ``lead_ids`` are what it acted on when it was made: moving an
    outlet to another circuit afterwards does not take it away. Instants are aware.
    """

    id: str
    sign: str
    outlet_id: str | None
    lead_id: str | None
    circuit_id: str | None
    seen_at: datetime
    reported_at: datetime
    withdrawn_at: datetime | None = None
    outlet_ids: frozenset[str] = frozenset()
    lead_ids: frozenset[str] = frozenset()

    @property
    def row(self) -> Sign:
        """Return the sign's row of the table."""
        return SIGNS[self.sign]

    def stands_at(self, at: datetime) -> bool:
        """Tell whether it had been made, and not withdrawn, at an instant."""
        return self.reported_at <= at and (self.withdrawn_at is None or at < self.withdrawn_at)

    def acts_on_outlet(self, outlet: OutletInputs) -> bool:
        """Tell whether the sign acts on an outlet of its home, ones added since included."""
        reach = self.row.outlets
        if reach is Reach.NONE:
            return False
        if reach is Reach.HOME or self.outlet_id is None:
            return True
        if outlet.id == self.outlet_id or outlet.id in self.outlet_ids:
            return True
        # An outlet whose circuit nobody recorded may be on this one.
        may_share = self.circuit_id is None or outlet.circuit_id is None or outlet.circuit_id == self.circuit_id
        return reach is Reach.CIRCUIT and may_share

    def acts_on_lead(self, lead: LeadInputs) -> bool:
        """Tell whether the sign acts on a lead; one bought since is another lead."""
        return self.row.acts_on_lead and (lead.id == self.lead_id or lead.id in self.lead_ids)


def resolved(report: SignReport, outlets: Sequence[OutletInputs], leads: Sequence[LeadInputs]) -> SignReport:
    """Return a new report with all it acts on in its home filled in.

    A sign that acts on the lead but names none acts on every lead of the home, unless the outlet it names has
    a cable of its own.
    """
    named = next((outlet for outlet in outlets if outlet.id == report.outlet_id), None)
    lead_ids = frozenset({report.lead_id} if report.lead_id else ())
    if report.lead_id is None and not (named and has_own_cable(named)):
        lead_ids = frozenset(lead.id for lead in leads)
    return replace(
        report,
        outlet_ids=frozenset(outlet.id for outlet in outlets if report.acts_on_outlet(outlet)),
        lead_ids=lead_ids if report.row.acts_on_lead else frozenset(),
    )


def has_own_cable(outlet: OutletInputs) -> bool:
    """Tell whether a car charges there without a lead: the cable is part of the outlet."""
    return outlet.kind == OutletKind.CHARGING_POINT and bool(outlet.is_tethered)


def lifting_inspection(
    report: SignReport, outlet: OutletInputs, inspections: Iterable[InspectionRecord], *, at: datetime, zone: ZoneInfo
) -> InspectionRecord | None:
    """Return the first inspection that lifts a report from an outlet, as known at an instant, or None.

    It counts for the outlet and is dated after the report's local day: an inspection carries a date alone, so one
    of the same day may have come before the sign. An open C1, C2 or FI of it, or a failed reading, lifts nothing.
    """
    reported_on, today = report.reported_at.astimezone(zone).date(), at.astimezone(zone).date()
    lifting = (
        record
        for record in inspections
        if record.outlet_id == outlet.id
        and reported_on < record.inspected_on
        and lifts_stops(record, outlet, at=at, day=today)
    )
    return min(lifting, key=lambda record: record.inspected_on, default=None)


def lifting_test(
    report: SignReport, lead_id: str, tests: Iterable[LeadTestRecord], *, at: datetime
) -> LeadTestRecord | None:
    """Return the first passed test or replacement that lifts a report from a lead, as known at an instant, or None."""
    needs_new = report.row.lead_lift is LeadLift.REPLACEMENT
    lifting = (
        test
        for test in tests
        if test.lead_id == lead_id
        and test.is_passed
        and report.reported_at < test.done_at <= at
        and test.recorded_at <= at
        and (test.kind is LeadTestKind.REPLACEMENT or not needs_new)
    )
    return min(lifting, key=lambda test: test.done_at, default=None)


def open_on_outlet(
    outlet: OutletInputs,
    reports: Iterable[SignReport],
    inspections: Sequence[InspectionRecord],
    *,
    at: datetime,
    zone: ZoneInfo,
) -> tuple[SignReport, ...]:
    """Return the reports that act on an outlet at an instant and that nothing has lifted from it."""
    return tuple(
        report
        for report in reports
        if report.stands_at(at)
        and report.acts_on_outlet(outlet)
        and lifting_inspection(report, outlet, inspections, at=at, zone=zone) is None
    )


def open_on_lead(
    lead: LeadInputs, reports: Iterable[SignReport], tests: Sequence[LeadTestRecord], *, at: datetime
) -> tuple[SignReport, ...]:
    """Return the reports that act on a lead at an instant and that nothing has lifted from it."""
    return tuple(
        report
        for report in reports
        if report.stands_at(at)
        and report.acts_on_lead(lead)
        and lifting_test(report, lead.id, tests, at=at) is None
    )
