"""A home's appliances and advice on them, over HTTP: for members of the home alone, it tells when they are awake."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from service.advice.api.routes import blueprint
from service.advice.domain.appliance_advice import CAUTIONS, ApplianceAdvice
from service.advice.domain.appliances import Appliance, HomeAppliances
from service.advice.operations.appliances import (
    KeptAppliances,
    get_appliance_advice,
    get_appliances,
    put_appliances,
)
from service.advice.schemas.appliances import ApplianceAdviceSchema, AppliancesSchema
from service.common.units import MINUTES_PER_HALF_HOUR
from service.households.domain.ranges import build_each
from service.infrastructure.http.access import principal, require_own_household, requires
from service.infrastructure.http.etags import etag_headers, etagged, require_match
from service.infrastructure.http.transactions import now, scheme_session

HOME = "/households/<id:household_id>"
NO_HOME = "No such household"


@blueprint.route(f"{HOME}/appliances")
class AppliancesView(MethodView):
    """What a home would move into cheaper hours."""

    @requires("member")
    @etagged
    @blueprint.response(200, AppliancesSchema)
    @blueprint.alt_response(404, description=NO_HOME)
    def get(self, household_id: str) -> object:
        """Get the appliances and when somebody is awake at home; the usual hours where nothing was stated."""
        require_own_household(household_id)
        return _shown(get_appliances(scheme_session(), household_id))

    @requires("member")
    @etagged
    @blueprint.arguments(AppliancesSchema)
    @blueprint.response(200, AppliancesSchema)
    @blueprint.alt_response(404, description=NO_HOME)
    def put(self, values: dict[str, Any], household_id: str) -> object:
        """Replace the appliances and the hours awake."""
        require_own_household(household_id)
        session = scheme_session()
        require_match(get_appliances(session, household_id).version)
        details = HomeAppliances(
            build_each("appliances", map(_stated, values["appliances"]), Appliance),
            tuple((each["from_"], each["until"]) for each in values["awake"]),
        )
        return _shown(put_appliances(session, household_id, details, by=principal().account_id, at=now()))


@blueprint.route(f"{HOME}/appliance_advice")
class ApplianceAdviceView(MethodView):
    """Advice on a home's appliances."""

    @requires("member")
    @blueprint.response(200, ApplianceAdviceSchema)
    @blueprint.alt_response(404, description=NO_HOME)
    def get(self, household_id: str) -> object:
        """Work out what moving each appliance adds a year, and only where it may be suggested."""
        require_own_household(household_id)
        found = get_appliance_advice(scheme_session(), household_id, at=now())
        return {
            "awake": _awake(found.awake),
            "is_awake_assumed": found.is_awake_assumed,
            "tariff_names": found.tariff_names,
            "are_past_prices": found.are_past_prices,
            "cautions": CAUTIONS,
            "items": [_item(each) for each in found.items],
        }


def _stated(values: dict[str, Any]) -> dict[str, Any]:
    return {**values, "kind": values["kind"].value}


def _shown(kept: KeptAppliances) -> object:
    body = {"appliances": kept.details.appliances, "awake": _awake(kept.details.awake)}
    return body, 200, etag_headers(kept.version)


def _awake(times: tuple[tuple[int, int], ...]) -> list[dict[str, int]]:
    return [{"from_": from_min, "until": until_min} for from_min, until_min in times]


def _item(advice: ApplianceAdvice) -> dict[str, Any]:
    run = advice.run
    return {
        "kind": run.kind,
        "label": run.label,
        "move": advice.move,
        "headline": advice.headline,
        "usual_start": advice.usual_start * MINUTES_PER_HALF_HOUR,
        "start": None if advice.start is None else advice.start * MINUTES_PER_HALF_HOUR,
        "runs_a_week": run.runs_a_week,
        "yearly_cost_up": advice.yearly_cost_up,
        "yearly_saving_up": advice.yearly_saving_up,
        "barriers": advice.barriers,
        "figures": [{"what": what, "value": value, "source": source} for what, value, source in run.figures],
        "steps": advice.steps,
    }
