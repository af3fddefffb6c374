"""Results that came in, for those who accept them: each with who asked, received, recorded and decided."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime

from sqlalchemy import ColumnElement, func, or_, select

from service.accounts.models import Account
from service.households.domain.equipment import OutletKind
from service.households.models import Household, Outlet
from service.infrastructure.db.sessions import SchemeSession
from service.safety.domain.evidence import InspectionSource
from service.safety.domain.inspection_answers import Failure
from service.safety.domain.link_rules import is_address_of_home
from service.safety.models import Inspection
from service.safety.operations.inspections import judge
from service.safety.operations.link_list import home_addresses

STATES = ("waiting", "accepted", "refused")


@dataclass(frozen=True)
class DecidedInspection:
    """A result in the list of what is to be decided, or was."""

    id: str
    household_id: str
    reference: str
    outlet_id: str
    outlet_label: str
    source: str
    state: str
    electrician: str
    registration: str
    certificate_kind: str
    certificate_number: str
    inspected_on: date
    next_due_on: date
    file_id: str | None
    ground: str | None
    is_household_address: bool
    asked_by: str
    received_by: str
    recorded_at: datetime
    recorded_by: str
    accepted_at: datetime | None
    accepted_by: str
    refused_at: datetime | None
    refused_by: str
    refusal_reason: str | None
    supersedes_id: str | None
    superseded_at: datetime | None
    failures: tuple[Failure, ...]
    missing: tuple[str, ...]


def list_decided(
    session: SchemeSession, *, state: str | None, first: int, limit: int
) -> tuple[list[DecidedInspection], int]:
    """Return a page of the results that came with a document or by a link, the newest first, and their number.

    A certificate whose readings are still to come, and a result that another took the place of, wait for nobody.
    """
    wanted = _in_state(state)
    total = session.scalar(select(func.count()).select_from(Inspection).where(*wanted)) or 0
    found = session.execute(
        select(Inspection, Household.reference, Outlet.label, Outlet.kind)
        .join(Household, Household.id == Inspection.household_id)
        .join(Outlet, Outlet.id == Inspection.outlet_id)
        .where(*wanted)
        .order_by(Inspection.recorded_at.desc(), Inspection.id)
        .offset(first)
        .limit(limit)
    ).all()
    people = _names(session, [row[0] for row in found])
    return [_row(session, *row, people=people) for row in found], total


def _in_state(state: str | None) -> tuple[ColumnElement[bool], ...]:
    """Return what a row of a state fulfils; None: decided, or still to be."""
    sources = [InspectionSource.LINK.value, InspectionSource.OFFICER.value]
    is_result = (Inspection.source.in_(sources), Inspection.is_partial.is_(False))
    is_accepted, is_refused = Inspection.accepted_at.is_not(None), Inspection.refused_at.is_not(None)
    stands = Inspection.superseded_at.is_(None)
    if state == "waiting":
        return (*is_result, ~is_accepted, ~is_refused, stands)
    if state == "accepted":
        return (*is_result, is_accepted)
    if state == "refused":
        return (*is_result, is_refused)
    return (*is_result, or_(is_accepted, is_refused, stands))


def _row(
    session: SchemeSession, row: Inspection, reference: str, outlet_label: str, kind: str, *, people: dict[str, str]
) -> DecidedInspection:
    failures, missing = judge(row, OutletKind(kind))
    state = "accepted" if row.accepted_at else "refused" if row.refused_at else "waiting"
    return DecidedInspection(
        id=row.id, household_id=row.household_id, reference=reference, outlet_id=row.outlet_id,
        outlet_label=outlet_label, source=row.source, state=state, electrician=row.electrician,
        registration=row.registration, certificate_kind=row.certificate_kind,
        certificate_number=row.certificate_number, inspected_on=row.inspected_on, next_due_on=row.next_due_on,
        file_id=row.file_id, ground=row.acceptance_ground,
        is_household_address=is_address_of_home(row.received_by, home_addresses(session, row.household_id)),
        asked_by=people.get(row.asked_by or "", ""), received_by=row.received_by, recorded_at=row.recorded_at,
        recorded_by=people.get(row.recorded_by or "", row.electrician), accepted_at=row.accepted_at,
        accepted_by=people.get(row.accepted_by or "", ""), refused_at=row.refused_at,
        refused_by=people.get(row.refused_by or "", ""), refusal_reason=row.refusal_reason,
        supersedes_id=row.supersedes_id, superseded_at=row.superseded_at, failures=failures, missing=missing,
    )


def _names(session: SchemeSession, rows: Iterable[Inspection]) -> dict[str, str]:
    """Return account id -> name of everybody whom the rows name."""
    ids = {
        account_id
        for row in rows
        for account_id in (row.asked_by, row.recorded_by, row.accepted_by, row.refused_by)
        if account_id is not None
    }
    return dict(session.execute(select(Account.id, Account.name).where(Account.id.in_(ids))).all())
