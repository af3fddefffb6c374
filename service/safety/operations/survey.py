"""The home survey as it stands: what was answered, what is recorded, and what is left for the electrician.

Every save is kept; the newest of each step and item counts. Saving a step is in ``survey_saving``.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from decimal import Decimal

from sqlalchemy import func, select

from service.households import operations as homes
from service.households.domain.equipment import YesNo
from service.households.domain.equipment_details import CircuitDetails, LeadDetails, OutletDetails
from service.households.domain.home_details import SupplyDetails
from service.households.models import Lead, Outlet
from service.households.operations.stored import read_details
from service.infrastructure.db.sessions import SchemeSession
from service.safety.domain import electrician_questions as ask
from service.safety.domain import survey_record as record
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
    from_json,
)
from service.safety.domain.survey_steps import ASKED, SurveyStep
from service.safety.models import ExtensionLead
from service.safety.models.survey import Consent, SurveyAnswers
from service.safety.operations.consents import ConsentView, list_consents
from service.safety.operations.extensions import extensions_in_use, sockets_of_lead

Key = tuple[SurveyStep, str | None]
Saved = Mapping[Key, tuple[Answers, datetime]]


@dataclass(frozen=True)
class StepView:
    """One step for one item: what was answered, or what is recorded where nobody has answered yet."""

    step: SurveyStep
    item_id: str | None
    label: str
    answers: Answers
    saved_at: datetime | None

    @property
    def is_complete(self) -> bool:
        """Tell whether it was saved; every answer of it may be "not known"."""
        return self.saved_at is not None


@dataclass(frozen=True)
class SurveyView:
    """The survey of one home; ``version`` rises with every save."""

    steps: tuple[StepView, ...]
    electrician_questions: tuple[str, ...]
    consents: tuple[ConsentView, ...]
    version: int

    @property
    def is_complete(self) -> bool:
        """Tell whether every step was saved."""
        return all(step.is_complete for step in self.steps)

    @property
    def saved_share(self) -> Decimal:
        """Return the share of steps saved, 0 to 1, to hundredths."""
        saved = sum(step.is_complete for step in self.steps)
        return round(Decimal(saved) / max(len(self.steps), 1), 2)


@dataclass(frozen=True)
class RecordedHome:
    """What is recorded of a home, as the survey's rules read it."""

    tenure: str
    supply: SupplyDetails | None
    outlets: Mapping[str, Outlet]
    circuits: Mapping[str, CircuitDetails]
    leads: Mapping[str, Lead]

    def circuit_of(self, outlet_id: str) -> CircuitDetails | None:
        """Return the circuit of an outlet, where one is recorded."""
        return self.circuits.get(self.outlets[outlet_id].circuit_id or "")


def get_survey(session: SchemeSession, household_id: str, *, until: datetime | None = None) -> SurveyView:
    """Return the survey of a home as it stands, or with the answers saved up to an instant.

    Steps that nobody saved show what is recorded now. Raises ``NotFound``.
    """
    home = load_recorded(session, household_id)
    saved = newest_answers(session, household_id, until)
    consents = list_consents(session, household_id, until=until)
    in_use = extensions_in_use(session, household_id, at=until)
    used = {row.outlet_id for row in in_use}
    steps = tuple(
        _with_extension(session, household_id, _step(home, saved, consents, key), used) for key in _keys(home)
    )
    questions = (*_questions(home, saved), *_extension_questions(home, in_use))
    return SurveyView(steps, questions, consents, survey_version(session, household_id))


def survey_version(session: SchemeSession, household_id: str) -> int:
    """Return how often the survey or a consent was saved."""
    return sum(
        session.scalars(select(func.count()).select_from(model).where(model.household_id == household_id)).one()
        for model in (SurveyAnswers, Consent)
    )


def electrician_questions(session: SchemeSession, household_id: str) -> tuple[str, ...]:
    """Return what the survey left for the electrician, and which extension leads are in use; raises ``NotFound``."""
    home = load_recorded(session, household_id)
    in_use = extensions_in_use(session, household_id)
    return (*_questions(home, newest_answers(session, household_id, None)), *_extension_questions(home, in_use))


def load_recorded(session: SchemeSession, household_id: str) -> RecordedHome:
    """Return what is recorded of a home; raises ``NotFound``."""
    household = homes.get_household(session, household_id)
    supply = homes.find_supply(session, household_id)
    return RecordedHome(
        household.tenure,
        read_details(SupplyDetails, supply) if supply else None,
        {outlet.id: outlet for outlet in homes.list_outlets(session, household_id)},
        {circuit.id: homes.read_circuit(circuit) for circuit in homes.list_circuits(session, household_id)},
        {lead.id: lead for lead in homes.list_leads(session, household_id)},
    )


def newest_answers(
    session: SchemeSession, household_id: str, until: datetime | None
) -> dict[Key, tuple[Answers, datetime]]:
    """Return the newest answers of each step and item, those saved up to an instant where one is named."""
    rows = (
        select(SurveyAnswers)
        .where(SurveyAnswers.household_id == household_id)
        .order_by(SurveyAnswers.saved_at, SurveyAnswers.id)
    )
    found: dict[Key, tuple[Answers, datetime]] = {}
    for row in session.scalars(rows if until is None else rows.where(SurveyAnswers.saved_at <= until)):
        step = SurveyStep(row.step)
        found[step, row.item_id] = (from_json(step, row.answers), row.saved_at)
    return found


def _keys(home: RecordedHome) -> Iterator[Key]:
    """Yield each step with the things it is asked of, in the order asked."""
    for step in ASKED:
        if step in (SurveyStep.OUTLET, SurveyStep.CIRCUIT) and home.outlets:
            yield from ((step, outlet_id) for outlet_id in home.outlets)
        elif step is SurveyStep.LEAD and home.leads:
            yield from ((step, lead_id) for lead_id in home.leads)
        elif step is not SurveyStep.CIRCUIT:
            yield (step, None)


def _step(
    home: RecordedHome, saved: Saved, consents: tuple[ConsentView, ...], key: Key
) -> StepView:
    step, item_id = key
    things: Mapping[str, Outlet | Lead] = home.leads if step is SurveyStep.LEAD else home.outlets
    label = things[item_id].label if item_id else ""
    if key in saved and step is not SurveyStep.CONSENTS:
        answers, saved_at = saved[key]
        return StepView(step, item_id, label, answers, saved_at)
    last = saved[key][1] if key in saved else None
    return StepView(step, item_id, label, _recorded(home, consents, step, item_id), last)


def _with_extension(session: SchemeSession, household_id: str, view: StepView, used: set[str]) -> StepView:
    """Return a lead's step saying "yes" while an extension lead is recorded in use with it, and "no" once it ended."""
    if not isinstance(view.answers, LeadAnswers):
        return view
    said = view.answers.uses_extension
    if used.intersection(outlet.id for outlet in sockets_of_lead(session, household_id, view.item_id)):
        said = YesNo.YES
    elif said == YesNo.YES:
        said = YesNo.NO
    return replace(view, answers=replace(view.answers, uses_extension=said))


def _recorded(home: RecordedHome, consents: tuple[ConsentView, ...], step: SurveyStep, item_id: str | None) -> Answers:
    """Return what is recorded, as answers: where a step starts from."""
    if step is SurveyStep.HOME:
        return HomeAnswers(home.tenure)
    if step is SurveyStep.SUPPLY:
        supply = home.supply
        return (
            SupplyAnswers(supply.fuse_a, supply.phases, supply.earthing, supply.looped, supply.loads)
            if supply
            else SupplyAnswers()
        )
    if step is SurveyStep.CONSENTS:
        return ConsentsAnswers(
            **{
                each.kind.value: ConsentDetails(each.kind, each.answer, each.given_on, each.file_id)
                for each in consents
            }
        )
    if item_id is None:
        return ANSWERS_OF[step]()
    if step is SurveyStep.CIRCUIT:
        circuit = home.circuit_of(item_id)
        return CircuitAnswers(circuit.label, circuit.runs) if circuit else CircuitAnswers()
    if step is SurveyStep.OUTLET:
        return record.answers_of_outlet(read_details(OutletDetails, home.outlets[item_id]))
    return record.answers_of_lead(read_details(LeadDetails, home.leads[item_id]))


def _extension_questions(home: RecordedHome, in_use: Sequence[ExtensionLead]) -> tuple[str, ...]:
    return tuple(
        ask.extension_question(row.label, row.mark, row.size_mm2, row.length_m, home.outlets[row.outlet_id].label).text
        for row in in_use
    )


def _questions(home: RecordedHome, saved: Saved) -> tuple[str, ...]:
    """Return what the saved steps left open and nobody has recorded since."""
    found: list[ask.ElectricianQuestion] = []
    for key in _keys(home):
        if key not in saved:
            continue
        item_id, said = key[1], saved[key][0]
        if isinstance(said, SupplyAnswers):
            found.extend(ask.supply_questions(home.supply or SupplyDetails(), said))
        elif isinstance(said, OutletAnswers):
            found.extend(
                ask.outlet_questions(read_details(OutletDetails, home.outlets[item_id]))
                if item_id
                else ask.unknown_outlet_questions(said)
            )
        elif isinstance(said, CircuitAnswers) and item_id:
            found.extend(ask.circuit_questions(home.circuit_of(item_id), home.outlets[item_id].label))
        elif isinstance(said, LeadAnswers):
            found.extend(
                ask.lead_questions(read_details(LeadDetails, home.leads[item_id]))
                if item_id
                else ask.unknown_lead_questions(said)
            )
    return tuple(dict.fromkeys(question.text for question in found))
