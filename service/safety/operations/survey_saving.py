"""Saving one step of the home survey: keep the answers, and record what they say.

What a step says goes into the home, its supply, the outlet, its circuit or the lead through the operations that an
administrator uses, so that both are checked alike and a plan is made anew where it could change.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from sqlalchemy import select
from sqlalchemy.orm.exc import StaleDataError

from service.common.errors import Fault, NotFound, Rejected
from service.households import operations as homes
from service.households.domain.equipment import YesNo
from service.households.domain.equipment_details import LeadDetails, OutletDetails
from service.households.domain.home_details import SupplyDetails
from service.households.domain.ranges import refuse
from service.households.operations.stored import read_details
from service.infrastructure.db.sessions import SchemeSession
from service.safety.domain import survey_record as record
from service.safety.domain.circuit_limit import carries_more
from service.safety.domain.survey_answers import (
    ANSWERS_OF,
    Answers,
    CircuitAnswers,
    ConsentDetails,
    ConsentsAnswers,
    HomeAnswers,
    LeadAnswers,
    OutletAnswers,
    SupplyAnswers,
    later_than,
    to_json,
)
from service.safety.domain.survey_steps import ConsentKind, SurveyStep
from service.safety.models import Inspection
from service.safety.models.survey import SurveyAnswers
from service.safety.operations.consents import list_consents, purpose_of, record_consent
from service.safety.operations.extensions import record_stated_use
from service.safety.operations.standing import refresh_status
from service.safety.operations.survey import RecordedHome, load_recorded, newest_answers, survey_version


def save_step(
    session: SchemeSession,
    household_id: str,
    answers: Answers,
    item_id: str | None = None,
    *,
    of_version: int | None = None,
    by: str | None,
    at: datetime,
) -> None:
    """Keep a step's answers and record what they say.

    Parameters
    ----------
    answers : Answers
        Of one step.
    item_id : str, optional
        The outlet of an outlet or circuit step, the lead of a lead step; None where none is recorded yet, which
        adds one once enough of it is known.
    of_version : int, optional
        The survey's version that the caller saw.
    by, at
        Who saves, and when.

    Raises
    ------
    NotFound
        If the home has no such outlet or lead.
    Rejected
        If an answer breaks a rule, or the step is about a thing and names none.
    StaleDataError
        If something was saved since the version that is named.
    """
    zone = ZoneInfo(homes.hold_household(session, household_id).zone)
    if of_version not in (None, survey_version(session, household_id)):
        raise StaleDataError("The survey was saved by somebody else meanwhile.")
    refuse(later_than(answers, at.astimezone(zone).date()))
    _check_photos(session, household_id, getattr(answers, "photo_ids", ()))
    step = next(step for step, kind in ANSWERS_OF.items() if isinstance(answers, kind))
    home = load_recorded(session, household_id)
    _check_item(home, step, item_id)
    before = newest_answers(session, household_id, None).get((step, item_id))
    saving = Saving((session, household_id), home, item_id, {"by": by, "at": at})
    applied = _APPLY[step](saving, answers, before[0] if before else None)
    if isinstance(answers, LeadAnswers) and answers.uses_extension == YesNo.YES:
        record_stated_use(session, household_id, applied, by=by, at=at)
    session.add(
        SurveyAnswers(
            household_id=household_id, step=step.value, item_id=applied, answers=to_json(answers), saved_at=at,
            saved_by=by,
        )
    )  # fmt: skip
    session.flush()
    refresh_status(session, household_id, at=at)


@dataclass(frozen=True)
class Saving:
    """One save: where, what is recorded there, which item it is about, by whom and when."""

    where: tuple[SchemeSession, str]
    home: RecordedHome
    item_id: str | None
    writing: dict[str, Any]


def _save_home(saving: Saving, said: HomeAnswers, before: HomeAnswers | None) -> str | None:
    tenure = str(said.tenure)
    if tenure == "not_known" and not (before and before.tenure == saving.home.tenure):
        tenure = saving.home.tenure
    changes: dict[str, Any] = {"tenure": tenure}
    recorded_on = homes.get_household(*saving.where).occupied_since_on
    if said.moved_in_on is not None:
        # Never an earlier day than is recorded: with it an inspection from before these people would be theirs.
        changes["occupied_since_on"] = max(said.moved_in_on, recorded_on or said.moved_in_on)
    homes.change_household(*saving.where, changes, **saving.writing)
    return None


def _save_supply(saving: Saving, said: SupplyAnswers, before: SupplyAnswers | None) -> str | None:
    details = record.supply_record(saving.home.supply or SupplyDetails(), said, before)
    if details != saving.home.supply:
        homes.put_supply(*saving.where, details, **saving.writing)
    return None


def _save_outlet(saving: Saving, said: OutletAnswers, before: OutletAnswers | None) -> str | None:
    if saving.item_id is None:
        details = record.new_outlet(said)
        return homes.add_outlet(*saving.where, details, **saving.writing).id if details else None
    recorded = read_details(OutletDetails, saving.home.outlets[saving.item_id])
    changes = record.outlet_changes(recorded, said, before)
    if replace(recorded, **changes) != recorded:
        homes.change_outlet(*saving.where, saving.item_id, changes, **saving.writing)
    return saving.item_id


def _save_circuit(saving: Saving, said: CircuitAnswers, before: CircuitAnswers | None) -> str | None:
    assert saving.item_id is not None, "a circuit step names its outlet"
    outlet = saving.home.outlets[saving.item_id]
    recorded = saving.home.circuit_of(saving.item_id)
    details = record.circuit_record(recorded, said, before, outlet.label)
    if details is None or details == recorded:
        return saving.item_id
    if outlet.circuit_id and recorded:
        if carries_more(details.runs, recorded.runs) and _is_accepted(saving.where[0], outlet.circuit_id):
            rule = "must not let more current flow than what is recorded of the inspected circuit"
            raise Rejected(Fault("runs", len(details.runs), f"{rule}: ask your scheme's administrator"))
        homes.change_circuit(*saving.where, outlet.circuit_id, details, **saving.writing)
    else:
        circuit = homes.add_circuit(*saving.where, details, **saving.writing)
        homes.change_outlet(*saving.where, saving.item_id, {"circuit_id": circuit.id}, **saving.writing)
    return saving.item_id


def _is_accepted(session: SchemeSession, circuit_id: str) -> bool:
    """Say whether an accepted inspection of an outlet on the circuit stands: its current is evidence then."""
    found = select(Inspection.id).where(
        Inspection.circuit_id == circuit_id, Inspection.accepted_at.is_not(None), Inspection.superseded_at.is_(None)
    )
    return session.scalars(found).first() is not None


def _save_lead(saving: Saving, said: LeadAnswers, before: LeadAnswers | None) -> str | None:
    if saving.item_id is None:
        details = record.new_lead(said)
        return homes.add_lead(*saving.where, details, **saving.writing).id if details else None
    recorded = read_details(LeadDetails, saving.home.leads[saving.item_id])
    changes = record.lead_changes(recorded, said, before)
    if replace(recorded, **changes) != recorded:
        homes.change_lead(*saving.where, saving.item_id, changes, **saving.writing)
    return saving.item_id


def _save_consents(saving: Saving, said: ConsentsAnswers, before: ConsentsAnswers | None) -> str | None:
    newest = {consent.kind: consent for consent in list_consents(*saving.where)}
    for kind in ConsentKind:
        details: ConsentDetails = getattr(said, kind.value)
        was = newest[kind]
        if (str(details.answer), details.given_on, details.file_id) != (was.answer, was.given_on, was.file_id):
            try:
                record_consent(*saving.where, details, **saving.writing)
            except Rejected as error:
                raise Rejected(*(fault.under(kind.value) for fault in error.faults)) from error
    return None


# Each takes the save, the answers and those before them, and returns the item that the answers are about.
_APPLY: dict[SurveyStep, Callable[..., str | None]] = {
    SurveyStep.HOME: _save_home,
    SurveyStep.SUPPLY: _save_supply,
    SurveyStep.OUTLET: _save_outlet,
    SurveyStep.CIRCUIT: _save_circuit,
    SurveyStep.LEAD: _save_lead,
    SurveyStep.CONSENTS: _save_consents,
}


def _check_item(home: RecordedHome, step: SurveyStep, item_id: str | None) -> None:
    """Raise unless the step is about what it may be about."""
    if step in (SurveyStep.HOME, SurveyStep.SUPPLY, SurveyStep.CONSENTS):
        if item_id is not None:
            raise Rejected(Fault("item_id", item_id, "must be left out: this step is about the home"))
        return
    things: Mapping[str, object] = home.leads if step is SurveyStep.LEAD else home.outlets
    what = "lead" if step is SurveyStep.LEAD else "outlet"
    if item_id is None and (things or step is SurveyStep.CIRCUIT):
        raise Rejected(Fault("item_id", None, f"must name the {what} that the answers are about"))
    if item_id is not None and item_id not in things:
        raise NotFound(f"This home has no such {what}.")


def _check_photos(session: SchemeSession, household_id: str, photo_ids: tuple[str, ...]) -> None:
    refuse(
        Fault(f"photo_ids.{place}", photo_id, "is not a photo of this home")
        for place, photo_id in enumerate(photo_ids)
        if purpose_of(session, household_id, photo_id) not in ("photo", "setting_photo")
    )
