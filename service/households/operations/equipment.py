"""Circuits, outlets and leads of a home: an administrator records them, and what the home survey says of them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from sqlalchemy import func, select

from service.accounts.operations import audit
from service.common.errors import Fault, Rejected
from service.households.domain.equipment_details import CircuitDetails, LeadDetails, OutletDetails
from service.households.domain.outlet_changes import outlet_changed
from service.households.domain.ranges import refuse
from service.households.domain.vehicle_details import check_lead_fits
from service.households.models import Circuit, CircuitRun, Lead, Outlet, Vehicle
from service.households.operations.homes import get_household, note_change, note_outlet_changes, note_stop
from service.households.operations.stored import fill, get_part, read_details
from service.infrastructure.db.sessions import SchemeSession


@dataclass(frozen=True)
class CircuitView:
    """A circuit with its runs in order."""

    id: str
    label: str
    runs: tuple[CircuitRun, ...]


def add_circuit(
    session: SchemeSession, household_id: str, details: CircuitDetails, *, by: str | None, at: datetime
) -> CircuitView:
    """Record a circuit and its runs."""
    get_household(session, household_id)
    circuit = Circuit(household_id=household_id, label=details.label)
    session.add(circuit)
    session.flush()
    runs = []
    for position, run in enumerate(details.runs):
        row = CircuitRun(circuit_id=circuit.id, position=position)
        fill(row, run)
        runs.append(row)
    session.add_all(runs)
    session.flush()
    audit(session, account_id=by, action="add", subject_kind="circuit", subject_id=circuit.id, at=at)
    return CircuitView(circuit.id, circuit.label, tuple(runs))


def list_circuits(session: SchemeSession, household_id: str) -> list[CircuitView]:
    """Return the home's circuits by label."""
    circuits = session.scalars(
        select(Circuit).where(Circuit.household_id == household_id).order_by(Circuit.label, Circuit.id)
    ).all()
    ids = [circuit.id for circuit in circuits]
    runs = session.scalars(
        select(CircuitRun).where(CircuitRun.circuit_id.in_(ids)).order_by(CircuitRun.position)
    ).all()
    return [
        CircuitView(circuit.id, circuit.label, tuple(run for run in runs if run.circuit_id == circuit.id))
        for circuit in circuits
    ]


def get_outlet(session: SchemeSession, household_id: str, outlet_id: str) -> Outlet:
    """Return an outlet of the home; raises ``NotFound``."""
    return get_part(session, Outlet, household_id, outlet_id, "outlet")


def list_outlets(session: SchemeSession, household_id: str) -> list[Outlet]:
    """Return the home's outlets in their order."""
    statement = select(Outlet).where(Outlet.household_id == household_id).order_by(Outlet.ordinal, Outlet.id)
    return list(session.scalars(statement))


def add_outlet(
    session: SchemeSession, household_id: str, details: OutletDetails, *, by: str | None, at: datetime
) -> Outlet:
    """Record an outlet; no plan uses it before an inspection that names it is recorded."""
    note_change(session, household_id, at=at)
    _check_circuit(session, household_id, details.circuit_id)
    ordinals = select(func.coalesce(func.max(Outlet.ordinal), 0)).where(Outlet.household_id == household_id)
    outlet = Outlet(household_id=household_id, ordinal=session.scalars(ordinals).one() + 1)
    fill(outlet, details)
    session.add(outlet)
    session.flush()
    audit(session, account_id=by, action="add", subject_kind="outlet", subject_id=outlet.id, at=at)
    return outlet


def change_outlet(
    session: SchemeSession,
    household_id: str,
    outlet_id: str,
    changes: Mapping[str, Any],
    *,
    by: str | None,
    at: datetime,
) -> Outlet:
    """Change some fields of an outlet; another kind of outlet is another outlet.

    Where what an inspection rests on becomes another, those made before it no longer count.

    Raises
    ------
    NotFound, Rejected
        Rejected also if a lead in use at it would no longer fit.
    """
    outlet = get_outlet(session, household_id, outlet_id)
    note_change(session, household_id, at=at)
    was = read_details(OutletDetails, outlet)
    details = replace(was, **changes)
    _check_circuit(session, household_id, details.circuit_id)
    if details.is_tethered and not outlet.is_tethered:
        _check_leads_in_use(session, outlet_id, details)
    changed = fill(outlet, details)
    session.flush()
    audit(
        session, account_id=by, action="change", subject_kind="outlet", subject_id=outlet_id, at=at, fields=changed
    )
    before = {"circuit_id": was.circuit_id, "since_on": was.since_on.isoformat() if was.since_on else None}
    note_outlet_changes(session, household_id, [outlet], outlet_changed(was, details), was=before, by=by, at=at)
    return outlet


def get_lead(session: SchemeSession, household_id: str, lead_id: str) -> Lead:
    """Return a lead of the home; raises ``NotFound``."""
    return get_part(session, Lead, household_id, lead_id, "lead")


def list_leads(session: SchemeSession, household_id: str) -> list[Lead]:
    """Return the home's leads by label."""
    return list(session.scalars(select(Lead).where(Lead.household_id == household_id).order_by(Lead.label, Lead.id)))


def add_lead(
    session: SchemeSession, household_id: str, details: LeadDetails, *, by: str | None, at: datetime
) -> Lead:
    """Record a lead; no plan changes before a car uses it."""
    get_household(session, household_id)
    lead = Lead(household_id=household_id)
    fill(lead, details)
    session.add(lead)
    session.flush()
    audit(session, account_id=by, action="add", subject_kind="lead", subject_id=lead.id, at=at)
    return lead


def change_lead(
    session: SchemeSession, household_id: str, lead_id: str, changes: Mapping[str, Any], *, by: str | None, at: datetime
) -> Lead:
    """Change some fields of a lead, above all the current it is set to; raises ``NotFound`` or ``Rejected``.

    Where more may flow than before no plan from before is shown any more, and a photo that shows less than what it is
    set to now shows nothing of it.  Another maker or serial is another lead: its checks and tests do not go over.
    """
    lead = get_lead(session, household_id, lead_id)
    note_change(session, household_id, at=at)
    was = read_details(LeadDetails, lead)
    details = replace(was, **changes)
    refuse(_other_lead_faults(was, details))
    changed = fill(lead, details)
    if details.set_a > was.set_a or details.rated_a > was.rated_a:
        note_stop(session, household_id, at=at)
    if lead.setting_shown_a is not None and lead.setting_shown_a < details.set_a:
        lead.setting_shown_a = lead.setting_shown_at = lead.setting_file_id = None
        changed = (*changed, "setting_shown_a")
    session.flush()
    audit(session, account_id=by, action="change", subject_kind="lead", subject_id=lead_id, at=at, fields=changed)
    return lead


def _other_lead_faults(was: LeadDetails, details: LeadDetails) -> Iterator[Fault]:
    """Yield what makes it another lead; what was not known may be filled in."""
    for field in ("maker_model", "serial_or_batch"):
        before, now = getattr(was, field), getattr(details, field)
        if before and now != before:
            yield Fault(field, now, f"is another lead than {before}: record it as a new one and have it checked")


def _check_circuit(session: SchemeSession, household_id: str, circuit_id: str | None) -> None:
    if circuit_id is None:
        return
    circuit = session.get(Circuit, (session.scheme_id, circuit_id))
    if circuit is None or circuit.household_id != household_id:
        raise Rejected(Fault("circuit_id", circuit_id, "is not a circuit of this home"))


def _check_leads_in_use(session: SchemeSession, outlet_id: str, details: OutletDetails) -> None:
    """Name the outlet's field, not the lead's: it is the outlet that is being changed."""
    in_use = session.execute(
        select(Vehicle.label, Lead.kind)
        .join(Lead, (Lead.scheme_id == Vehicle.scheme_id) & (Lead.id == Vehicle.lead_id))
        .where(Vehicle.outlet_id == outlet_id)
    )
    for label, lead_kind in in_use:
        try:
            check_lead_fits(details.kind, details.is_tethered, lead_kind)
        except Rejected as error:
            rule = f"{label} uses a lead there: {error.faults[0].rule}"
            raise Rejected(Fault("is_tethered", details.is_tethered, rule)) from error
