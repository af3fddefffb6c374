"""Extension leads in use: recorded by those who live there or run the scheme, and that one is not used any more.

Recording one acts as a reported sign does: plans from before it are hidden in the same transaction, standing and log
follow, and where nothing may be charged through it everybody concerned is told.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import func, select

from service.accounts.operations import audit
from service.common.errors import Fault, NotFound, Rejected
from service.households.domain.equipment import OutletKind, YesNo
from service.households.domain.homes import OutletInputs
from service.households.models import Outlet
from service.households.operations import list_outlets, list_vehicles, note_change, note_stop
from service.households.operations.stored import fill, read_details
from service.infrastructure.db.sessions import SchemeSession
from service.infrastructure.outbox import announce
from service.safety.domain.clearance import inspection_in_force
from service.safety.domain.events import ExtensionStopped
from service.safety.domain.extension_use import ExtensionAnswer, ExtensionDetails, extension_answer
from service.safety.models import ExtensionLead
from service.safety.operations.changes import CauseKind, follow_record
from service.safety.operations.clearances import HomeEvidence, get_home_evidence


@dataclass(frozen=True)
class ExtensionView:
    """A recorded use and where; ``answer`` is what may be done with it now, None once it is not used any more."""

    row: ExtensionLead
    outlet_label: str
    answer: ExtensionAnswer | None


def list_extensions(
    session: SchemeSession, household_id: str, *, at: datetime, first: int, limit: int
) -> tuple[list[ExtensionView], int]:
    """Return one page of the home's extension leads, those in use first, then the newest; raises ``NotFound``."""
    evidence = get_home_evidence(session, household_id, at=at)
    wanted = select(ExtensionLead).where(ExtensionLead.household_id == household_id)
    total = session.scalar(select(func.count()).select_from(wanted.subquery())) or 0
    page = wanted.order_by(
        ExtensionLead.ended_at.is_not(None), ExtensionLead.recorded_at.desc(), ExtensionLead.id
    )
    return [_view(evidence, row, at) for row in session.scalars(page.offset(first).limit(limit))], total


def record_extension(
    session: SchemeSession, household_id: str, details: ExtensionDetails, *, by: str | None, at: datetime
) -> ExtensionView:
    """Record that an extension lead is used at an outlet from now on.

    Raises
    ------
    NotFound, Rejected
        Rejected for an outlet of another home.
    """
    # A stop whatever the answer: what was planned before may draw more than the extension lead allows.
    note_stop(session, household_id, at=at)
    evidence = get_home_evidence(session, household_id, at=at)
    outlet_of(evidence, details.outlet_id)
    before = evidence.clearance_at(at)
    row = ExtensionLead(household_id=household_id, recorded_at=at, recorded_by=by)
    fill(row, details)
    session.add(row)
    session.flush()
    follow_record(session, household_id, before, cause=CauseKind.EXTENSION_LEAD, cause_id=row.id, at=at)
    audit(session, account_id=by, action="record", subject_kind="extension_lead", subject_id=row.id, at=at)
    view = _view(evidence, row, at)
    if view.answer is not None and view.answer.limit_a is None:
        announce(session, ExtensionStopped(household_id, row.id), at=at)
    return view


def end_extension(
    session: SchemeSession, household_id: str, extension_id: str, *, by: str | None, at: datetime
) -> ExtensionView:
    """Record that an extension lead is not used any more: the outlet's other evidence speaks alone again.

    Asked twice, done once; who ended it and when are kept. Raises ``NotFound``.
    """
    note_change(session, household_id, at=at)
    # Held: of two people who end it at once, the second must see the first's instant.
    row = session.get(ExtensionLead, (session.scheme_id, extension_id), with_for_update=True)
    if row is None or row.household_id != household_id:
        raise NotFound("This home has no such extension lead.")
    if row.ended_at is None:
        before = get_home_evidence(session, household_id, at=at).clearance_at(at)
        row.ended_at, row.ended_by = at, by
        follow_record(session, household_id, before, cause=CauseKind.EXTENSION_LEAD, cause_id=row.id, at=at)
        audit(
            session, account_id=by, action="end_use", subject_kind="extension_lead", subject_id=row.id, at=at,
            fields=("ended_at",),
        )  # fmt: skip
    return _view(get_home_evidence(session, household_id, at=at), row, at)


def record_stated_use(
    session: SchemeSession, household_id: str, lead_id: str | None, *, by: str | None, at: datetime
) -> None:
    """Record that an extension lead nobody described yet is used with a lead, at each outlet where none is recorded.

    Raises ``Rejected`` where no socket is recorded: a yes that stops nothing would be lost.
    """
    used = {row.outlet_id for row in extensions_in_use(session, household_id)}
    sockets = sockets_of_lead(session, household_id, lead_id)
    if not sockets:
        rule = "needs the 13 A socket it is plugged into: record the outlet first, and charge through none meanwhile"
        raise Rejected(Fault("uses_extension", YesNo.YES.value, rule))
    for outlet in sockets:
        if outlet.id not in used:
            record_extension(session, household_id, ExtensionDetails(outlet.id), by=by, at=at)


def extensions_in_use(
    session: SchemeSession, household_id: str, *, at: datetime | None = None
) -> list[ExtensionLead]:
    """Return the extension leads in use, at an instant where one is named, else now; the oldest first."""
    rows = (
        select(ExtensionLead)
        .where(ExtensionLead.household_id == household_id)
        .order_by(ExtensionLead.recorded_at, ExtensionLead.id)
    )
    if at is None:
        return list(session.scalars(rows.where(ExtensionLead.ended_at.is_(None))))
    is_standing = ExtensionLead.ended_at.is_(None) | (ExtensionLead.ended_at > at)
    return list(session.scalars(rows.where(ExtensionLead.recorded_at <= at, is_standing)))


def sockets_of_lead(session: SchemeSession, household_id: str, lead_id: str | None) -> list[Outlet]:
    """Return the 13 A sockets at which a car charges with a lead; all of the home where none is known to."""
    sockets = [each for each in list_outlets(session, household_id) if each.kind == OutletKind.SOCKET_13A]
    cars = list_vehicles(session, household_id) if lead_id else []
    fed = {outlet_id for car in cars if car.lead_id == lead_id for outlet_id in (car.outlet_id, *car.other_outlet_ids)}
    return [each for each in sockets if each.id in fed] or sockets


def describe_extension(
    session: SchemeSession, household_id: str, extension_id: str, *, at: datetime
) -> tuple[str, ExtensionView] | None:
    """Return the home's reference and what to tell of a use; None where it ended; raises ``NotFound``."""
    evidence = get_home_evidence(session, household_id, at=at)
    row = session.get(ExtensionLead, (session.scheme_id, extension_id))
    if row is None or row.household_id != household_id or row.ended_at is not None:
        return None
    return evidence.home.reference, _view(evidence, row, at)


def outlet_of(evidence: HomeEvidence, outlet_id: str) -> OutletInputs:
    """Return an outlet of the home; raises ``Rejected`` for one of another."""
    outlet = next((outlet for outlet in evidence.home.outlets if outlet.id == outlet_id), None)
    if outlet is None:
        raise Rejected(Fault("outlet_id", outlet_id, "is not an outlet of this home"))
    return outlet


def _view(evidence: HomeEvidence, row: ExtensionLead, at: datetime) -> ExtensionView:
    outlet = outlet_of(evidence, row.outlet_id)
    if row.ended_at is not None:
        return ExtensionView(row, outlet.label, None)
    inspection = inspection_in_force(outlet, evidence.records, at=at, zone=evidence.zone)
    return ExtensionView(row, outlet.label, extension_answer(outlet, read_details(ExtensionDetails, row), inspection))
