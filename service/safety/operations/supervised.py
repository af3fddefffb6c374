"""The supervised first charge: start it, record what was felt, list what was done."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import func, select

from service.accounts.operations import audit
from service.common.errors import Conflict, Fault, Rejected
from service.households.domain.homes import LeadInputs, OutletInputs
from service.households.operations import get_household, note_change, note_stop
from service.households.operations.stored import get_part
from service.infrastructure.db.sessions import SchemeSession
from service.safety.domain.circuit_limit import circuit_limit
from service.safety.domain.counting import known_of, newest_counting
from service.safety.domain.evidence import InspectionRecord
from service.safety.domain.levels import Clearance
from service.safety.domain.overrides import extended_due_on
from service.safety.domain.sign_reports import has_own_cable, open_on_lead, open_on_outlet
from service.safety.domain.supervised_charge import FeelAnswer, SupervisedCourse, SupervisedStart, SupervisedState
from service.safety.models import SupervisedCharge
from service.safety.operations.changes import CauseKind, follow_record
from service.safety.operations.clearances import HomeEvidence, get_home_evidence, home_clearance
from service.safety.operations.stops import Sighting, report_signs


@dataclass(frozen=True)
class SupervisedView:
    """A supervised charge with its times and how it stands."""

    charge: SupervisedCharge
    course: SupervisedCourse
    state: SupervisedState


def start_supervised(
    session: SchemeSession,
    household_id: str,
    outlet_id: str,
    lead_id: str | None,
    current_a: int,
    *,
    by: str | None,
    at: datetime,
) -> SupervisedView:
    """Start a supervised charge; one of the same outlet that is still open ends without a result.

    Raises
    ------
    NotFound, Rejected, Conflict
        Rejected for an outlet or lead of another home, or too much current; Conflict where no accepted inspection
        of the outlet counts, or outlet or lead must not be used.
    """
    evidence = get_home_evidence(session, household_id, at=at)
    outlet, lead = _items(evidence, outlet_id, lead_id)
    inspection = _counting(evidence, outlet, at)
    if inspection is None:
        raise Conflict("No accepted inspection of this outlet counts yet: ask for one first, and charge elsewhere.")
    if _is_stopped(evidence, outlet_id, lead_id, at):
        raise Conflict("This outlet or lead must not be used: what stops it must be put right before it charges.")
    circuit = circuit_limit(evidence.records.runs.get(outlet.circuit_id or "", ()))
    limits = (outlet.limit_a, inspection.limit_a, circuit.limit_a if circuit else None)
    allowed_a = min(limit for limit in limits if limit is not None)
    start = SupervisedStart(current_a, allowed_a, min(lead.rated_a, lead.set_a) if lead else None)
    open_ones = select(SupervisedCharge).where(
        SupervisedCharge.household_id == household_id,
        SupervisedCharge.outlet_id == outlet_id,
        SupervisedCharge.ended_at.is_(None),
    )
    for former in session.scalars(open_ones):
        former.ended_at = at
    charge = SupervisedCharge(
        household_id=household_id, outlet_id=outlet_id, lead_id=lead_id, started_at=at, started_by=by,
        current_a=start.current_a, is_clear=False,
    )
    session.add(charge)
    session.flush()
    audit(session, account_id=by, action="start", subject_kind="supervised_charge", subject_id=charge.id, at=at)
    return _view(charge, at)


def record_feeling(
    session: SchemeSession, household_id: str, charge_id: str, answer: FeelAnswer, *, by: str | None, at: datetime
) -> tuple[SupervisedView, list[str]]:
    """Record how plug and socket feel; return the charge with the ids of what was reported by it.

    Heat is reported as the sign it is, whenever it is felt, and ends the charge. The second feeling without heat
    makes the charge clear, unless a sign was reported of its outlet or lead meanwhile.

    Raises
    ------
    NotFound, Rejected, Conflict
        Rejected where a feeling without heat comes too early or too late; Conflict where the charge has ended.
    """
    (note_change if answer.sign is None else note_stop)(session, household_id, at=at)
    charge = get_part(session, SupervisedCharge, household_id, charge_id, "supervised charge")
    course = course_of(charge)
    course.check_feeling(answer, at=at)
    if charge.ended_at is not None and answer.sign is None:
        raise Conflict("This supervised charge has ended. Start another one to feel again.")
    audit(session, account_id=by, action="feel", subject_kind="supervised_charge", subject_id=charge_id, at=at)
    if charge.ended_at is None:
        _note_feeling(charge, answer, at)
    if answer.sign is not None:
        evidence = get_home_evidence(session, household_id, at=at)
        charge.ended_at = charge.ended_at or at
        seen = Sighting([answer.sign], charge.outlet_id, charge.lead_id, at)
        return _view(charge, at), report_signs(session, evidence, seen, by=by, at=at)
    if charge.later_felt_at is not None:
        _finish(session, charge, at)
    session.flush()
    return _view(charge, at), []


def list_supervised(
    session: SchemeSession, household_id: str, *, at: datetime, first: int, limit: int
) -> tuple[list[SupervisedView], int]:
    """Return one page of the home's supervised charges, the newest first, and how many there are."""
    get_household(session, household_id)
    wanted = select(SupervisedCharge).where(SupervisedCharge.household_id == household_id)
    total = session.scalar(select(func.count()).select_from(wanted.subquery())) or 0
    page = wanted.order_by(SupervisedCharge.started_at.desc(), SupervisedCharge.id).offset(first).limit(limit)
    return [_view(charge, at) for charge in session.scalars(page)], total


def course_of(charge: SupervisedCharge) -> SupervisedCourse:
    """Return a stored charge's course as a value."""
    return SupervisedCourse(
        charge.started_at, charge.first_felt_at, charge.later_felt_at, charge.ended_at, charge.is_clear
    )


def _note_feeling(charge: SupervisedCharge, answer: FeelAnswer, at: datetime) -> None:
    if charge.first_felt_at is None:
        charge.first_felt_at, charge.first_answer = at, answer.value
    else:
        charge.later_felt_at, charge.later_answer = at, answer.value


def _finish(session: SchemeSession, charge: SupervisedCharge, at: datetime) -> None:
    household_id = charge.household_id
    evidence = get_home_evidence(session, household_id, at=at)
    before = home_clearance(session, household_id, at=at)
    charge.ended_at = at
    charge.is_clear = not _is_stopped(evidence, charge.outlet_id, charge.lead_id, at)
    follow_record(session, household_id, before, cause=CauseKind.SUPERVISED_CHARGE, cause_id=charge.id, at=at)


def _view(charge: SupervisedCharge, at: datetime) -> SupervisedView:
    course = course_of(charge)
    return SupervisedView(charge, course, course.state_at(at))


def _items(
    evidence: HomeEvidence, outlet_id: str, lead_id: str | None
) -> tuple[OutletInputs, LeadInputs | None]:
    outlet = next((each for each in evidence.home.outlets if each.id == outlet_id), None)
    lead = next((each for each in evidence.home.leads if each.id == lead_id), None)
    faults: list[Fault] = []
    if outlet is None:
        faults.append(Fault("outlet_id", outlet_id, "is not an outlet of this home"))
    if lead_id is not None and lead is None:
        faults.append(Fault("lead_id", lead_id, "is not a lead of this home"))
    if outlet is not None and lead_id is None and not has_own_cable(outlet):
        faults.append(Fault("lead_id", None, "must name the lead: this outlet has no cable of its own"))
    if faults or outlet is None:
        raise Rejected(*faults)
    return outlet, lead


def _counting(evidence: HomeEvidence, outlet: OutletInputs, at: datetime) -> InspectionRecord | None:
    """Return the inspection of an outlet that counts and is in date."""
    day = at.astimezone(evidence.zone).date()
    found = newest_counting(outlet, known_of(outlet, evidence.inspections, at=at, day=day), at=at)
    if found is None:
        return None
    overrides, zone = evidence.records.overrides, evidence.zone
    due_on, _ = extended_due_on(found.next_due_on, overrides, outlet.id, at=at, zone=zone)
    return found if day < due_on else None


def _is_stopped(evidence: HomeEvidence, outlet_id: str, lead_id: str | None, at: datetime) -> bool:
    """Tell whether outlet or lead must not be used, or a sign is open on one of them."""
    now = evidence.clearance_at(at)
    found = [each.clearance for each in now.outlets if each.outlet_id == outlet_id]
    found += [each.clearance for each in now.leads if each.lead_id == lead_id]
    zone, signs = evidence.zone, evidence.signs
    is_open = any(
        open_on_outlet(each, signs, evidence.inspections, at=at, zone=zone)
        for each in evidence.home.outlets
        if each.id == outlet_id
    ) or any(open_on_lead(each, signs, evidence.tests, at=at) for each in evidence.home.leads if each.id == lead_id)
    return is_open or Clearance.DO_NOT_USE in found
