"""What was reported in a home, what it stopped, and what has lifted it: to list, and to tell people of."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import func, select

from service.common.errors import NotFound
from service.infrastructure.db.sessions import SchemeSession
from service.safety.domain.evidence import LeadTestKind
from service.safety.domain.first_steps import first_steps
from service.safety.domain.levels import Clearance, worst_of
from service.safety.domain.sign_reports import SignReport, lifting_inspection, lifting_test
from service.safety.domain.signs import SIGNS, Sign, lift_words
from service.safety.models import SignReport as StoredReport
from service.safety.operations.clearances import HomeClearance, HomeEvidence, get_home_evidence


@dataclass(frozen=True)
class StoppedItem:
    """An outlet or lead that a sign acts on; ``lifted_by`` is None while nothing has lifted the sign from it."""

    item_kind: str
    item_id: str
    label: str
    clearance: Clearance
    lifts: str
    lifted_by: str | None


@dataclass(frozen=True)
class ReportView:
    """One report with its row of the table; ``state`` is open, lifted (from every item) or withdrawn."""

    report: StoredReport
    sign: Sign
    state: str
    items: tuple[StoppedItem, ...]


@dataclass(frozen=True)
class ReportedStop:
    """Reports made in one go, told as one: what was seen, what is stopped by it, what to do now."""

    reference: str
    effect: Clearance
    seen: tuple[str, ...]
    items: tuple[StoppedItem, ...]
    do_now: tuple[str, ...]


def list_reports(
    session: SchemeSession, household_id: str, *, at: datetime, first: int, limit: int
) -> tuple[list[ReportView], int]:
    """Return one page of the home's reports, the newest first, and how many there are; raises ``NotFound``."""
    evidence = get_home_evidence(session, household_id, at=at)
    wanted = select(StoredReport).where(StoredReport.household_id == household_id)
    total = session.scalar(select(func.count()).select_from(wanted.subquery())) or 0
    page = wanted.order_by(StoredReport.reported_at.desc(), StoredReport.id).offset(first).limit(limit)
    return _views(evidence, session.scalars(page).all(), at), total


def get_reports(
    session: SchemeSession, household_id: str, report_ids: Sequence[str], *, at: datetime
) -> list[ReportView]:
    """Return some reports of the home, in this order; raises ``NotFound``."""
    evidence = get_home_evidence(session, household_id, at=at)
    found = session.scalars(
        select(StoredReport).where(StoredReport.household_id == household_id, StoredReport.id.in_(report_ids))
    )
    rows = {report.id: report for report in found}
    if set(rows) != set(report_ids):
        raise NotFound("This home has no such report.")
    return _views(evidence, [rows[report_id] for report_id in report_ids], at)


def describe_stop(
    session: SchemeSession, household_id: str, report_ids: Sequence[str], *, at: datetime
) -> ReportedStop | None:
    """Return what to tell of some reports, or None where each of them was withdrawn; raises ``NotFound``."""
    evidence = get_home_evidence(session, household_id, at=at)
    wanted = [report for report in evidence.signs if report.id in report_ids and report.withdrawn_at is None]
    if not wanted:
        return None
    signs = [report.row for report in wanted]
    items: dict[tuple[str, str, str], StoppedItem] = {}
    now = evidence.clearance_at(at)
    for report in wanted:
        for item in _items(evidence, now, report, at):
            # One line for each thing that would lift it: two signs may ask for different ones.
            items.setdefault((item.item_kind, item.item_id, item.lifts), item)
    day = at.astimezone(evidence.zone).date()
    return ReportedStop(
        evidence.home.reference,
        worst_of(sign.effect for sign in signs),
        tuple(dict.fromkeys(sign.words for sign in signs)),
        tuple(sorted(items.values(), key=lambda item: item.item_kind != "outlet")),
        first_steps(signs, nation=evidence.home.nation, on=day),
    )


def _views(evidence: HomeEvidence, rows: Sequence[StoredReport], at: datetime) -> list[ReportView]:
    values, now = {report.id: report for report in evidence.signs}, evidence.clearance_at(at)
    views = []
    for row in rows:
        items = tuple(_items(evidence, now, values[row.id], at))
        is_open = not items or any(item.lifted_by is None for item in items)
        state = "withdrawn" if row.withdrawn_at else "open" if is_open else "lifted"
        views.append(ReportView(row, SIGNS[row.sign], state, items))
    return views


def _items(evidence: HomeEvidence, now: HomeClearance, report: SignReport, at: datetime) -> Iterator[StoppedItem]:
    """Yield each item that a report acts on, outlets first, with what evidence says of it now."""
    lifts = dict(lift_words(report.row))
    for outlet, clearance in zip(evidence.home.outlets, now.outlets, strict=True):
        if report.acts_on_outlet(outlet):
            found = lifting_inspection(report, outlet, evidence.inspections, at=at, zone=evidence.zone)
            words = f"recorded as inspected on {found.inspected_on} by {found.electrician}" if found else None
            yield StoppedItem("outlet", outlet.id, outlet.label, clearance.clearance, lifts["outlet"], words)
    for lead, standing in zip(evidence.home.leads, now.leads, strict=True):
        if report.acts_on_lead(lead):
            test = lifting_test(report, lead.id, evidence.tests, at=at)
            verb = "replaced" if test and test.kind is LeadTestKind.REPLACEMENT else "tested"
            done_on = test and test.done_at.astimezone(evidence.zone).date()
            words = f"recorded as {verb} on {done_on} by {test.tested_by}" if test else None
            yield StoppedItem("lead", lead.id, lead.label, standing.clearance, lifts["lead"], words)
