"""The home survey: the member answers it step by step, an administrator reads it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from flask.views import MethodView

from service.common.errors import Rejected
from service.households.domain.equipment_details import RunDetails
from service.households.domain.ranges import build_each
from service.infrastructure.http.access import require_own_household, require_visible_household, requires
from service.infrastructure.http.etags import etag_of, etagged, require_match
from service.infrastructure.http.transactions import scheme_session
from service.safety import operations
from service.safety.api.routes import blueprint, writing
from service.safety.api.survey_shapes import (
    ANSWER_SHAPES,
    CircuitStepSchema,
    ConsentsStepSchema,
    HomeStepSchema,
    LeadStepSchema,
    OutletStepSchema,
    SupplyStepSchema,
)
from service.safety.domain.survey_answers import (
    Answers,
    CircuitAnswers,
    ConsentDetails,
    ConsentsAnswers,
    HomeAnswers,
    LeadAnswers,
    OutletAnswers,
    SupplyAnswers,
)
from service.safety.domain.survey_steps import ConsentKind
from service.safety.schemas import ConsentEntrySchema, ConsentSchema, ItemQuerySchema, SurveySchema

SURVEY = "/households/<id:household_id>/survey"
NO_HOUSEHOLD, NO_ITEM = "No such household", "No such household, outlet or lead"
CONSENT_KINDS = ", ".join(ConsentKind)


def _shown(household_id: str) -> tuple[dict[str, Any], dict[str, str]]:
    """Return the survey as its schema writes it, with the ETag that the next save names."""
    survey = operations.get_survey(scheme_session(), household_id)
    steps = [
        {
            "step": each.step,
            "item_id": each.item_id,
            "label": each.label,
            "answers": ANSWER_SHAPES[each.step].dump(each.answers),
            "saved_at": each.saved_at,
            "is_complete": each.is_complete,
        }
        for each in survey.steps
    ]
    body = {
        "steps": steps,
        "electrician_questions": survey.electrician_questions,
        "consents": survey.consents,
        "is_complete": survey.is_complete,
        "saved_share": survey.saved_share,
    }
    # Without a 304: a step that nobody saved shows what is recorded, which changes by itself.
    return body, {"ETag": etag_of(survey.version)}


def _under_answers(build: Callable[[], Answers]) -> Answers:
    try:
        return build()
    except Rejected as error:
        raise Rejected(*(fault.under("answers") for fault in error.faults)) from error


def _saved(household_id: str, build: Callable[[], Answers], item_id: str | None = None) -> object:
    """Save a step's answers under the version that the caller names, and return the survey."""
    require_own_household(household_id)
    session = scheme_session()
    version = operations.survey_version(session, household_id)
    require_match(version)
    answers = _under_answers(build)
    try:
        operations.save_step(session, household_id, answers, item_id, of_version=version, **writing())
    except Rejected as error:
        own = (fault if fault.field == "item_id" else fault.under("answers") for fault in error.faults)
        raise Rejected(*own) from error
    return _shown(household_id)


@blueprint.route(SURVEY)
class SurveyView(MethodView):
    """The survey of a home."""

    @requires("administrator", "member")
    @etagged
    @blueprint.response(200, SurveySchema)
    @blueprint.alt_response(404, description=NO_HOUSEHOLD)
    def get(self, household_id: str) -> object:
        """Get the survey: each step with its answers, what is left for the electrician, and consents."""
        require_visible_household(household_id)
        return _shown(household_id)


@blueprint.route(f"{SURVEY}/home")
class HomeStepView(MethodView):
    """The step about the home."""

    @requires("member")
    @etagged
    @blueprint.arguments(HomeStepSchema)
    @blueprint.response(200, SurveySchema)
    @blueprint.alt_response(404, description=NO_HOUSEHOLD)
    def put(self, values: dict[str, Any], household_id: str) -> object:
        """Save who owns the home and since when the household lives there."""
        return _saved(household_id, lambda: HomeAnswers(**values["answers"]))


@blueprint.route(f"{SURVEY}/supply")
class SupplyStepView(MethodView):
    """The step about the supply."""

    @requires("member")
    @etagged
    @blueprint.arguments(SupplyStepSchema)
    @blueprint.response(200, SurveySchema)
    @blueprint.alt_response(404, description=NO_HOUSEHOLD)
    def put(self, values: dict[str, Any], household_id: str) -> object:
        """Save what the member knows of the supply; what is known takes the place of what was recorded."""
        return _saved(household_id, lambda: SupplyAnswers(**values["answers"]))


@blueprint.route(f"{SURVEY}/outlet")
class OutletStepView(MethodView):
    """The step about an outlet."""

    @requires("member")
    @etagged
    @blueprint.arguments(OutletStepSchema)
    @blueprint.arguments(ItemQuerySchema, location="query")
    @blueprint.response(200, SurveySchema)
    @blueprint.alt_response(404, description=NO_ITEM)
    def put(self, values: dict[str, Any], query: dict[str, Any], household_id: str) -> object:
        """Save where the car is plugged in; where no outlet is recorded, one is added."""
        return _saved(household_id, lambda: OutletAnswers(**values["answers"]), query["item_id"])


@blueprint.route(f"{SURVEY}/circuit")
class CircuitStepView(MethodView):
    """The step about the circuit of an outlet."""

    @requires("member")
    @etagged
    @blueprint.arguments(CircuitStepSchema)
    @blueprint.arguments(ItemQuerySchema, location="query")
    @blueprint.response(200, SurveySchema)
    @blueprint.alt_response(404, description=NO_ITEM)
    def put(self, values: dict[str, Any], query: dict[str, Any], household_id: str) -> object:
        """Save the way to an outlet, run by run; where none is recorded, one is added."""
        answers = values["answers"]
        return _saved(
            household_id,
            lambda: CircuitAnswers(**{**answers, "runs": build_each("runs", answers["runs"], RunDetails)}),
            query["item_id"],
        )


@blueprint.route(f"{SURVEY}/lead")
class LeadStepView(MethodView):
    """The step about a lead."""

    @requires("member")
    @etagged
    @blueprint.arguments(LeadStepSchema)
    @blueprint.arguments(ItemQuerySchema, location="query")
    @blueprint.response(200, SurveySchema)
    @blueprint.alt_response(404, description=NO_ITEM)
    def put(self, values: dict[str, Any], query: dict[str, Any], household_id: str) -> object:
        """Save the lead by its plate; where none is recorded, one is added once its rating is known."""
        return _saved(household_id, lambda: LeadAnswers(**values["answers"]), query["item_id"])


@blueprint.route(f"{SURVEY}/consents")
class ConsentsStepView(MethodView):
    """The step about consents."""

    @requires("member")
    @etagged
    @blueprint.arguments(ConsentsStepSchema)
    @blueprint.response(200, SurveySchema)
    @blueprint.alt_response(404, description=NO_HOUSEHOLD)
    def put(self, values: dict[str, Any], household_id: str) -> object:
        """Save what landlord, freeholder and insurer said; each that differs is appended."""

        def build() -> ConsentsAnswers:
            given = [{"kind": kind, **values["answers"].get(kind.value, {})} for kind in ConsentKind]
            return ConsentsAnswers(*(_consent(entry) for entry in given))

        return _saved(household_id, build)


@blueprint.route(f"/households/<id:household_id>/consents/<any({CONSENT_KINDS}):kind>")
class ConsentView(MethodView):
    """One consent."""

    @requires("member")
    @etagged
    @blueprint.arguments(ConsentEntrySchema)
    @blueprint.response(200, ConsentSchema)
    @blueprint.alt_response(404, description="No such household, or no such kind of consent")
    def put(self, values: dict[str, Any], household_id: str, kind: str) -> object:
        """Append what landlord, freeholder or insurer answered; earlier answers are kept."""
        require_own_household(household_id)
        session = scheme_session()
        require_match(operations.survey_version(session, household_id))
        consent = operations.record_consent(session, household_id, ConsentDetails(kind, **values), **writing())
        return consent, {"ETag": etag_of(operations.survey_version(session, household_id))}


def _consent(values: dict[str, Any]) -> ConsentDetails:
    try:
        return ConsentDetails(**values)
    except Rejected as error:
        raise Rejected(*(fault.under(str(values["kind"])) for fault in error.faults)) from error
