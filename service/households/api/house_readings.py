"""What a whole home draws half-hour by half-hour: for its members alone, it tells when somebody is in."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from service.households import operations
from service.households.api.routes import blueprint, writing
from service.households.domain.house_readings import HouseFile
from service.households.schemas import HouseFileSchema, ReadingsSummarySchema, ReadingsTakenSchema
from service.infrastructure.http.access import require_own_household, requires
from service.infrastructure.http.transactions import idempotent, scheme_session

NO_HOME = "No such household"


@blueprint.route("/households/<id:household_id>/house_readings")
class HouseReadingsView(MethodView):
    """The half-hours of a home's meter."""

    @requires("member")
    @blueprint.response(200, ReadingsSummarySchema)
    @blueprint.alt_response(404, description=NO_HOME)
    def get(self, household_id: str) -> object:
        """Say how many half-hours are kept, of which span."""
        require_own_household(household_id)
        return operations.summarise_readings(scheme_session(), household_id)

    @requires("member")
    @idempotent
    @blueprint.arguments(HouseFileSchema)
    @blueprint.response(200, ReadingsTakenSchema)
    @blueprint.alt_response(404, description=NO_HOME)
    def post(self, values: dict[str, Any], household_id: str) -> object:
        """Read a meter's file: all of it, or nothing of it is stored."""
        require_own_household(household_id)
        is_dry_run = values.pop("is_dry_run")
        taken = operations.take_readings(
            scheme_session(), household_id, HouseFile(**values), is_dry_run=is_dry_run, **writing()
        )
        missing = [{"starts_at": starts_at, "ends_at": ends_at} for starts_at, ends_at in taken.missing]
        return {
            "count": taken.count,
            "first_at": taken.first_at,
            "ends_at": taken.ends_at,
            "energy_wh": taken.energy_wh,
            "missing": missing,
            "stored_count": taken.stored_count,
        }

    @requires("member")
    @blueprint.response(204)
    @blueprint.alt_response(404, description=NO_HOME)
    def delete(self, household_id: str) -> None:
        """Forget all of them."""
        require_own_household(household_id)
        operations.forget_readings(scheme_session(), household_id, **writing())
