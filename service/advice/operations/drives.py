"""Drawings of the drive: kept, changed, and answered with where the outlet should go."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import Any, Final

from sqlalchemy import func, select

from service.accounts.operations import audit
from service.advice.domain.siting.answers import Siting
from service.advice.domain.siting.assumed import TETHERED_CABLE
from service.advice.domain.siting.drawing import CABLE_MAX_DM, Drawing, drawing_of
from service.advice.domain.siting.search import CarAtHome
from service.advice.domain.siting.verdict import site_outlet
from service.advice.models import Drive
from service.common.errors import Conflict, NotFound, Rejected
from service.common.working import Step, Working
from service.households.domain.equipment import OutletKind, PortPosition
from service.households.domain.ranges import refuse, text_within
from service.households.models import Lead, Outlet, Vehicle
from service.households.operations import (
    get_household,
    hold_household,
    list_leads,
    list_outlets,
    list_vehicles,
)
from service.infrastructure.db.sessions import SchemeSession
from service.safety.operations import list_consents

MOST_KEPT: Final = 10
"""Own bound on the drawings of one home."""
LABEL_LENGTH_MAX: Final = 120
HIGHWAY: Final = "highway"


class TooManyDrives(Conflict):
    """The home keeps as many drawings as it may."""

    title = "Too many drawings kept"


@dataclass(frozen=True)
class ConsentShown:
    """What is recorded of somebody's consent, and since when; "not_known" where nothing is."""

    kind: str
    answer: str
    given_on: date | None


@dataclass(frozen=True)
class Sited:
    """The answer for one drawing, and whose consent is recorded."""

    drive: Drive
    siting: Siting
    consents: tuple[ConsentShown, ...]


def list_drives(session: SchemeSession, household_id: str) -> list[Drive]:
    """Return the drawings of a home, the newest first; raises ``NotFound`` for an unknown home."""
    get_household(session, household_id)
    wanted = select(Drive).where(Drive.household_id == household_id)
    return list(session.scalars(wanted.order_by(Drive.created_at.desc(), Drive.id)))


def get_drive(session: SchemeSession, household_id: str, drive_id: str) -> Drive:
    """Return one drawing of a home; raises ``NotFound``."""
    row = session.get(Drive, (session.scheme_id, drive_id))
    if row is None or row.household_id != household_id:
        raise NotFound("This home has no such drawing.")
    return row


def add_drive(
    session: SchemeSession, household_id: str, label: str, drawing: dict[str, Any], *, by: str | None, at: datetime
) -> Drive:
    """Keep a drawing; raises ``NotFound``, ``Rejected`` or ``TooManyDrives``."""
    hold_household(session, household_id)  # two at once must not go past the bound together
    checked = _checked(label, drawing)
    kept = session.scalar(select(func.count()).where(Drive.household_id == household_id)) or 0
    if kept >= MOST_KEPT:
        raise TooManyDrives(f"This home keeps {MOST_KEPT} drawings already: delete one first.")
    row = Drive(
        household_id=household_id, label=label.strip(), drawing=checked.to_json(), created_at=at, created_by=by
    )  # fmt: skip
    session.add(row)
    session.flush()
    audit(session, account_id=by, action="add", subject_kind="drive", subject_id=row.id, at=at)
    return row


def put_drive(
    session: SchemeSession,
    household_id: str,
    drive_id: str,
    label: str,
    drawing: dict[str, Any],
    *,
    by: str | None,
    at: datetime,
) -> Drive:
    """Replace a drawing; raises ``NotFound`` or ``Rejected``."""
    row = get_drive(session, household_id, drive_id)
    row.label, row.drawing = label.strip(), _checked(label, drawing).to_json()
    session.flush()
    audit(session, account_id=by, action="change", subject_kind="drive", subject_id=row.id, at=at)
    return row


def remove_drive(session: SchemeSession, household_id: str, drive_id: str, *, by: str | None, at: datetime) -> None:
    """Delete a drawing; raises ``NotFound``."""
    row = get_drive(session, household_id, drive_id)
    session.delete(row)
    session.flush()
    audit(session, account_id=by, action="remove", subject_kind="drive", subject_id=drive_id, at=at)


def find_positions(session: SchemeSession, household_id: str, drive_id: str) -> Sited:
    """Work out where the outlet should go, with the ports and cables of the home's cars as they are recorded now."""
    row = get_drive(session, household_id, drive_id)
    household = get_household(session, household_id)
    drawing = drawing_of(row.drawing)
    leads = {lead.id: lead for lead in list_leads(session, household_id)}
    outlets = {outlet.id: outlet for outlet in list_outlets(session, household_id)}
    cars, unknown, steps = [], [], []
    for car in list_vehicles(session, household_id):
        cable_m, words = _cable_of(drawing, car, leads, outlets)
        steps.append(_cable_step(car.label, cable_m, words))
        if car.port == PortPosition.NOT_KNOWN:
            unknown.append(f"Where the charging port of {car.label} is: say it in the car's settings.")
        if cable_m is None:
            unknown.append(f"How long the cable of {car.label} is: {words}.")
        if car.port != PortPosition.NOT_KNOWN and cable_m is not None:
            cars.append(CarAtHome(car.id, car.label, car.port, cable_m))
    siting = site_outlet(drawing, cars, unknown, household.nation)
    working = Working((*steps, *siting.working.steps))
    return Sited(row, replace(siting, working=working), _consents(session, household_id))


def _cable_step(label: str, cable_m: float | None, words: str) -> Step:
    cable = "not known" if cable_m is None else f"{cable_m:g} m"
    return Step(f"Cable of {label}", {}, words, "the home's entries, or the drawing", cable)


def _cable_of(
    drawing: Drawing, car: Vehicle, leads: dict[str, Lead], outlets: dict[str, Outlet]
) -> tuple[float | None, str]:
    """Return the length of the cable a car would be fed through [m], None: not known; and how that is known."""
    if drawing.cable_dm is not None:
        return drawing.cable_dm / 10, "the cable that the drawing says to reckon with"
    lead = leads.get(car.lead_id or "")
    if lead is not None:
        if lead.length_m is None:
            return None, f"the length of {lead.label} is not recorded"
        length_m = min(float(lead.length_m), CABLE_MAX_DM / 10)
        return length_m, f"the length of {lead.label} as it is recorded, at most {CABLE_MAX_DM // 10} m"
    outlet = outlets.get(car.outlet_id or "")
    if outlet is not None and outlet.kind == OutletKind.CHARGING_POINT and outlet.is_tethered:
        return float(TETHERED_CABLE.value), f"a tethered charging point's own cable, {TETHERED_CABLE.source}"
    return None, "it has neither a lead nor a tethered charging point"


def _consents(session: SchemeSession, household_id: str) -> tuple[ConsentShown, ...]:
    recorded = [ConsentShown(str(c.kind), c.answer, c.given_on) for c in list_consents(session, household_id)]
    return (*recorded, ConsentShown(HIGHWAY, "not_known", None))


def _checked(label: str, drawing: dict[str, Any]) -> Drawing:
    """Return the drawing, or refuse it together with its label, every fault at once."""
    faults = list(text_within("label", label, LABEL_LENGTH_MAX, is_required=True))
    try:
        checked = drawing_of(drawing)
    except Rejected as error:
        raise Rejected(*faults, *(fault.under("drawing") for fault in error.faults)) from error
    refuse(faults)
    return checked
