"""A home's electricity meter and its readings."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from service.households import operations
from service.households.api.routes import blueprint, matched, with_etag, writing
from service.households.domain.meter_details import MeterDetails, MeterEntry
from service.households.schemas import MeterEntrySchema, MeterReadingListSchema, MeterReadingSchema, MeterSchema
from service.infrastructure.http.access import require_visible_household, requires
from service.infrastructure.http.etags import etagged
from service.infrastructure.http.transactions import idempotent, scheme_session

HOME = "/households/<id:household_id>"
NO_HOUSEHOLD = "No such household"


@blueprint.route(f"{HOME}/meter")
class MeterView(MethodView):
    """Which meter the home has, and what the house uses in a year."""

    @requires("administrator", "member")
    @etagged
    @blueprint.response(200, MeterSchema)
    @blueprint.alt_response(404, description=NO_HOUSEHOLD)
    def get(self, household_id: str) -> object:
        """Get the meter's kind and the yearly use."""
        require_visible_household(household_id)
        return with_etag(operations.get_meter(scheme_session(), household_id))

    @requires("administrator", "member")
    @etagged
    @blueprint.arguments(MeterSchema)
    @blueprint.response(200, MeterSchema)
    @blueprint.alt_response(404, description=NO_HOUSEHOLD)
    def put(self, values: dict[str, Any], household_id: str) -> object:
        """Record the meter's kind and the yearly use."""
        require_visible_household(household_id)
        session = scheme_session()
        home = matched(operations.get_meter(session, household_id))
        return with_etag(operations.put_meter(session, home.id, MeterDetails(**values), **writing()))


@blueprint.route(f"{HOME}/meter_readings")
class MeterReadingsView(MethodView):
    """Readings of the home's meter."""

    @requires("administrator", "member")
    @blueprint.response(200, MeterReadingListSchema)
    @blueprint.alt_response(404, description=NO_HOUSEHOLD)
    def get(self, household_id: str) -> object:
        """List the readings, the newest day first."""
        require_visible_household(household_id)
        return {"items": operations.list_meter_readings(scheme_session(), household_id)}

    @requires("administrator", "member")
    @idempotent
    @blueprint.arguments(MeterEntrySchema)
    @blueprint.response(201, MeterReadingSchema)
    @blueprint.alt_response(404, description=NO_HOUSEHOLD)
    def post(self, values: dict[str, Any], household_id: str) -> object:
        """Enter a reading; one that runs back is refused."""
        require_visible_household(household_id)
        return operations.add_meter_reading(scheme_session(), household_id, MeterEntry(**values), **writing())


@blueprint.route(f"{HOME}/meter_readings/<id:reading_id>")
class MeterReadingView(MethodView):
    """One reading."""

    @requires("administrator", "member")
    @blueprint.response(204)
    @blueprint.alt_response(404, description="No such reading of this home's meter")
    def delete(self, household_id: str, reading_id: str) -> None:
        """Take a reading out."""
        require_visible_household(household_id)
        operations.remove_meter_reading(scheme_session(), household_id, reading_id, **writing())
