"""What was charged against prices and plans, over HTTP: for members of the home alone."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from service.advice.api.routes import blueprint
from service.advice.operations.charged import get_charged
from service.advice.schemas.charged import ChargedQuery, ChargedSchema
from service.infrastructure.http.access import require_own_household, requires
from service.infrastructure.http.transactions import now, scheme_session


@blueprint.route("/households/<id:household_id>/charged")
class ChargedView(MethodView):
    """What a home's cars were charged with."""

    @requires("member")
    @blueprint.arguments(ChargedQuery, location="query")
    @blueprint.response(200, ChargedSchema)
    @blueprint.alt_response(404, description="No such household")
    def get(self, query: dict[str, Any], household_id: str) -> object:
        """Return energy and cost by local day, against the plan and the cheapest half-hours; an estimate apart."""
        require_own_household(household_id)
        return get_charged(scheme_session(), household_id, at=now(), **query)
