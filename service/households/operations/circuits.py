"""A circuit as a whole: read with what tells its versions apart, and replaced run by run."""

from __future__ import annotations

import hashlib
from dataclasses import fields
from datetime import datetime
from decimal import Decimal
from enum import Enum

from sqlalchemy import select
from sqlalchemy.orm.exc import StaleDataError

from service.accounts.operations import audit
from service.common.errors import NotFound
from service.households.domain.equipment_details import CircuitDetails, RunDetails
from service.households.domain.outlet_changes import circuit_changed
from service.households.models import Circuit, CircuitRun, Outlet
from service.households.operations.equipment import CircuitView, list_circuits
from service.households.operations.homes import get_household, note_change, note_outlet_changes
from service.households.operations.stored import fill, get_part, read_details
from service.infrastructure.db.sessions import SchemeSession


def get_circuit(session: SchemeSession, household_id: str, circuit_id: str) -> CircuitView:
    """Return a circuit of the home with its runs in order; raises ``NotFound``."""
    get_household(session, household_id)
    found = [circuit for circuit in list_circuits(session, household_id) if circuit.id == circuit_id]
    if not found:
        raise NotFound("This home has no such circuit.")
    return found[0]


def read_circuit(circuit: CircuitView) -> CircuitDetails:
    """Return a stored circuit as the checked value it was written from."""
    return CircuitDetails(circuit.label, tuple(read_details(RunDetails, run) for run in circuit.runs))


def circuit_version(circuit: CircuitView) -> str:
    """Return what changes with each edit: its content, for a circuit and its runs are one document."""
    values = [[_canonical(getattr(run, field.name)) for field in fields(RunDetails)] for run in circuit.runs]
    return hashlib.sha256(repr((circuit.label, values)).encode()).hexdigest()[:32]


def change_circuit(
    session: SchemeSession,
    household_id: str,
    circuit_id: str,
    details: CircuitDetails,
    *,
    of_version: str | None = None,
    by: str | None,
    at: datetime,
) -> CircuitView:
    """Put a circuit's label and runs in place of those it had.

    Where a run becomes another, inspections of the outlets on the circuit made before it no longer count.

    Raises
    ------
    NotFound
        If the home has no such circuit.
    StaleDataError
        If it is no longer of the version that the caller saw, where one is named.
    """
    note_change(session, household_id, at=at)
    circuit = get_part(session, Circuit, household_id, circuit_id, "circuit")
    session.refresh(circuit)
    before = get_circuit(session, household_id, circuit_id)
    for run in before.runs:
        session.expire(run)  # what was read before the home was held may be old
    if of_version is not None and circuit_version(before) != of_version:
        raise StaleDataError("The circuit was changed meanwhile.")
    was = read_circuit(before)
    if was == details:
        return before
    circuit.label = details.label
    # A run at the same place stays the same row: rechecks of its device name it.
    for row in before.runs[len(details.runs) :]:
        session.delete(row)
    for position, run_details in enumerate(details.runs):
        row = before.runs[position] if position < len(before.runs) else CircuitRun(circuit_id=circuit_id)
        row.position = position
        fill(row, run_details)
        session.add(row)
    session.flush()
    audit(
        session, account_id=by, action="change", subject_kind="circuit", subject_id=circuit_id, at=at,
        fields=("label", "runs"),
    )  # fmt: skip
    outlets = session.scalars(select(Outlet).where(Outlet.circuit_id == circuit_id)).all()
    note_outlet_changes(session, household_id, outlets, circuit_changed(was, details), by=by, at=at)
    return get_circuit(session, household_id, circuit_id)


def _canonical(value: object) -> str:
    """Return a value as text that is the same before it is stored and after: 12 and 12.0 m are one length."""
    if isinstance(value, Decimal):
        return str(value.normalize())
    return str(value.value if isinstance(value, Enum) else value)
