"""Odometer readings of a car, and days of its diary from a CSV text: for members of the home alone."""

from __future__ import annotations

from typing import Any

from flask import request
from flask.views import MethodView

from service.common.errors import Fault, Rejected
from service.households.api.diary import CAR, NO_VEHICLE
from service.households.api.routes import blueprint, writing
from service.households.domain.odometer import OdometerDetails
from service.households.operations.diary_import import import_diary
from service.households.operations.odometer import OdometerView, add_reading, get_odometer, remove_reading
from service.households.schemas.odometer import (
    DiaryImportQuery,
    DiaryImportSchema,
    OdometerEntrySchema,
    OdometerReadingSchema,
    OdometerSchema,
)
from service.infrastructure.http.access import require_own_household, requires
from service.infrastructure.http.bodies import accepts
from service.infrastructure.http.transactions import idempotent, scheme_session

CSV_TYPE = "text/csv"
DIARY_BODY = {
    "required": True,
    "description": "Header on,miles; a line for each day.",
    "content": {CSV_TYPE: {"schema": {"type": "string"}, "example": "on,miles\n2026-11-23,31.5\n2026-11-24,0\n"}},
}


@blueprint.route(f"{CAR}/odometer")
class OdometerReadingsView(MethodView):
    """A car's odometer."""

    @requires("member")
    @blueprint.response(200, OdometerSchema)
    @blueprint.alt_response(404, description=NO_VEHICLE)
    def get(self, household_id: str, vehicle_id: str) -> object:
        """List the readings, what lies between them, and what that makes of days that nobody kept."""
        require_own_household(household_id)
        return _shown(get_odometer(scheme_session(), household_id, vehicle_id))

    @requires("member")
    @idempotent
    @blueprint.arguments(OdometerEntrySchema)
    @blueprint.response(201, OdometerReadingSchema)
    @blueprint.alt_response(404, description=NO_VEHICLE)
    def post(self, values: dict[str, Any], household_id: str, vehicle_id: str) -> object:
        """Keep what the odometer stood at when a day ended."""
        require_own_household(household_id)
        return add_reading(scheme_session(), household_id, vehicle_id, OdometerDetails(**values), **writing())


@blueprint.route(f"{CAR}/odometer/<id:odometer_reading_id>")
class OdometerReadingView(MethodView):
    """One reading."""

    @requires("member")
    @blueprint.response(204)
    @blueprint.alt_response(404, description="No such reading of this car")
    def delete(self, household_id: str, vehicle_id: str, odometer_reading_id: str) -> None:
        """Take a reading out."""
        require_own_household(household_id)
        remove_reading(scheme_session(), household_id, vehicle_id, odometer_reading_id, **writing())


@blueprint.route(f"{CAR}/diary/import")
class DiaryImportView(MethodView):
    """Days of a diary from a CSV text."""

    @requires("member")
    @accepts(CSV_TYPE)
    @idempotent
    @blueprint.arguments(DiaryImportQuery, location="query")
    @blueprint.doc(requestBody=DIARY_BODY)
    @blueprint.response(200, DiaryImportSchema)
    @blueprint.alt_response(404, description=NO_VEHICLE)
    def post(self, query: dict[str, Any], household_id: str, vehicle_id: str) -> object:
        """Enter the days of the text, all or none of them; each fault is named by line and column."""
        require_own_household(household_id)
        return import_diary(scheme_session(), household_id, vehicle_id, _csv_text(), **query, **writing())


def _shown(view: OdometerView) -> dict[str, Any]:
    between = [{**vars(each), "open_day_count": len(each.open_days)} for each in view.between]
    estimated = [{"on": on, "miles": miles} for on, miles in view.estimated]
    return {"items": view.readings, "between": between, "estimated": estimated}


def _csv_text() -> str:
    try:
        return request.get_data().decode("utf-8")
    except UnicodeDecodeError as error:
        raise Rejected(Fault("", None, f"the text is not UTF-8 at byte {error.start + 1}")) from error
