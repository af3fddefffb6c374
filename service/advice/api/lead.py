"""Is the lead enough, over HTTP: all of it for the car's driver, the verdict alone for an administrator."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from service.advice.api.routes import blueprint
from service.advice.domain.diary_years import FEWEST_DAYS
from service.advice.domain.lead_closers import Closer
from service.advice.domain.lead_enough import LeadAnswer
from service.advice.domain.lead_question import Verdict, verdict_of
from service.advice.domain.lead_steps import long_words
from service.advice.domain.lead_verdict import Asked, LeadVerdict
from service.advice.operations.lead import get_lead_verdict
from service.advice.schemas.lead import LeadVerdictQuery, LeadVerdictSchema
from service.common.errors import Forbidden
from service.infrastructure.http.access import principal, require_visible_household, requires
from service.infrastructure.http.transactions import now, scheme_session


@blueprint.route("/households/<id:household_id>/vehicles/<id:vehicle_id>/lead_verdict")
class LeadVerdictView(MethodView):
    """Whether a car's lead is enough."""

    @requires("administrator", "member")
    @blueprint.arguments(LeadVerdictQuery, location="query")
    @blueprint.response(200, LeadVerdictSchema)
    @blueprint.alt_response(404, description="No such car in this home")
    def get(self, query: dict[str, Any], household_id: str, vehicle_id: str) -> object:
        """Work out whether the lead is enough; an administrator gets nothing of diary, times or working."""
        require_visible_household(household_id)
        is_own = principal().household_id == household_id
        if not is_own and any(value is not None for value in query.values()):
            raise Forbidden("What a later hour or a longer journey would do is a question of the home's own members.")
        found = get_lead_verdict(scheme_session(), household_id, vehicle_id, Asked(**query), at=now())
        return _shown(vehicle_id, found, is_own=is_own)


def _shown(vehicle_id: str, found: LeadVerdict, *, is_own: bool) -> dict[str, Any]:
    answer = found.answer
    return {
        "vehicle_id": vehicle_id,
        "verdict": found.verdict,
        "headline": found.headline,
        "first": found.first,
        "next_step": found.next_step,
        "not_known_because": found.not_known_because,
        "days_kept": found.days_kept,
        "days_needed": max(0, FEWEST_DAYS - found.days_kept),
        "cleared_until": found.cleared_until,
        "feeds_by": found.feeds_by,
        "power_w": None if found.power_w is None else int(found.power_w),
        "assumptions": found.assumptions if is_own else (),
        "answer": None if answer is None else _totals(answer) | (_details(answer) if is_own else {}),
    }


def _totals(answer: LeadAnswer) -> dict[str, Any]:
    return {
        "verdict": answer.verdict,
        "night_permille": answer.night_permille,
        "week_permille": answer.week_permille,
        "years": answer.years,
        "is_battery": answer.is_battery,
        "sure": answer.sure,
    }


def _details(answer: LeadAnswer) -> dict[str, Any]:
    long = answer.long_journey
    return {
        "carried_miles": answer.carried_miles,
        "driven_miles": answer.driven_miles,
        "margin_miles": answer.margin_miles,
        "nights": answer.nights,
        "long_journey": {
            "miles": answer.long_miles,
            "words": long_words(long),
            "nights_to_fill": long.nights_to_fill,
            "elsewhere_wh": long.elsewhere_wh,
            "nights_until_usual": long.nights_until_usual,
        },
        "closers": [_closer(each) for each in answer.closers],
        "working": [step.to_json() for step in answer.working.steps],
    }


def _closer(closer: Closer) -> dict[str, Any]:
    return {
        "kind": closer.kind,
        "words": closer.words,
        "night_permille": closer.night_permille,
        "week_permille": closer.week_permille,
        "would_close": verdict_of(closer.week_permille / 1000) is Verdict.ENOUGH,
        "note": closer.note,
        "working": [closer.step.to_json()],
    }
