"""Inspections and rechecks; an administrator records them, a safety officer says that a finding was put right."""

from __future__ import annotations

from datetime import date
from typing import Any

from flask.views import MethodView

from service.infrastructure.http.access import principal, require_visible_household, requires
from service.infrastructure.http.transactions import idempotent, scheme_session
from service.safety import operations
from service.safety.api.routes import blueprint, writing
from service.safety.domain.inspection_details import InspectionDetails
from service.safety.domain.rechecks import Task
from service.safety.schemas import (
    ClosureSchema,
    CompletionSchema,
    InspectionEntrySchema,
    InspectionSchema,
    RecheckSchema,
)


@blueprint.route("/households/<id:household_id>/inspections")
class InspectionsView(MethodView):
    """The home's inspections; they are listed with the home."""

    @requires("administrator")
    @idempotent
    @blueprint.arguments(InspectionEntrySchema)
    @blueprint.response(201, InspectionSchema)
    @blueprint.alt_response(404, description="No such household")
    def post(self, values: dict[str, Any], household_id: str) -> object:
        """Record an inspection of one outlet; its clearance and next recheck follow at once."""
        details = InspectionDetails.from_form(values)
        return operations.record_inspection(scheme_session(), household_id, details, **writing())


@blueprint.route(
    "/households/<id:household_id>/inspections/<id:inspection_id>/observations/<int:position>/closure"
)
class ClosureView(MethodView):
    """That a finding was put right."""

    @requires("safety_officer")
    @idempotent
    @blueprint.arguments(ClosureSchema)
    @blueprint.response(200, InspectionSchema)
    @blueprint.alt_response(404, description="No such observation, counted from 0, of this home's inspection")
    @blueprint.alt_response(409, description="It is closed already, with another date")
    def post(self, values: dict[str, date], household_id: str, inspection_id: str, position: int) -> object:
        """Record the day from which a finding no longer stands; never of the officer's own home."""
        return operations.close_observation(
            scheme_session(), household_id, inspection_id, position, values["closed_on"], **writing()
        )


@blueprint.route("/households/<id:household_id>/rechecks/<id:recheck_id>/completion")
class CompletionView(MethodView):
    """That a recheck was done."""

    @requires("administrator", "member")
    @idempotent
    @blueprint.arguments(CompletionSchema)
    @blueprint.response(200, RecheckSchema)
    @blueprint.alt_response(404, description="No such recheck of this home")
    @blueprint.alt_response(409, description="It is done already, or an inspection is due: record its result")
    def post(self, values: dict[str, date], household_id: str, recheck_id: str) -> object:
        """Record the day a recheck was done; inspections and checks are completed by recording them.

        A member notes that a test button was pressed; the rest an administrator notes.
        """
        require_visible_household(household_id)
        allowed = None if principal().has("administrator") else (Task.BUTTON,)
        return operations.complete_recheck(
            scheme_session(), household_id, recheck_id, values["done_on"], allowed=allowed, **writing()
        )
