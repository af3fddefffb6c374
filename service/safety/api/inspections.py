"""Results to be decided: a safety officer of another home accepts one against its document, or refuses it."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from service.infrastructure.http.access import requires
from service.infrastructure.http.paging import Page, first_row, page_schema
from service.infrastructure.http.transactions import idempotent, scheme_session
from service.safety import operations
from service.safety.api.routes import blueprint, writing
from service.safety.schemas import (
    DecidedInspectionSchema,
    InspectionAcceptanceSchema,
    InspectionQuery,
    InspectionRefusalSchema,
    InspectionSchema,
)


@blueprint.route("/inspections")
class DecidedInspectionsView(MethodView):
    """Results of the whole scheme."""

    @requires("administrator")
    @blueprint.arguments(InspectionQuery, location="query")
    @blueprint.response(200, page_schema(DecidedInspectionSchema))
    def get(self, query: dict[str, Any]) -> object:
        """List results that wait or were decided, with who asked, received, recorded and decided."""
        page, size = query["page"], query["page_size"]
        rows, total = operations.list_decided(
            scheme_session(), state=query["state"], first=first_row(page, size), limit=size
        )
        return Page(rows, total, page, size)


@blueprint.route("/households/<id:household_id>/inspections/<id:inspection_id>/acceptance")
class AcceptanceView(MethodView):
    """That a result counts."""

    @requires("safety_officer")
    @idempotent
    @blueprint.arguments(InspectionAcceptanceSchema)
    @blueprint.response(200, InspectionSchema)
    @blueprint.alt_response(404, description="No such inspection of this home")
    @blueprint.alt_response(409, description="No document, still partial, a claim, refused or superseded")
    def post(self, values: dict[str, Any], household_id: str, inspection_id: str) -> object:
        """Accept a result against its document; never of a home of one's own."""
        return operations.accept_inspection(scheme_session(), household_id, inspection_id, **writing())


@blueprint.route("/households/<id:household_id>/inspections/<id:inspection_id>/refusal")
class RefusalView(MethodView):
    """That a result does not count."""

    @requires("safety_officer")
    @idempotent
    @blueprint.arguments(InspectionRefusalSchema)
    @blueprint.response(200, InspectionSchema)
    @blueprint.alt_response(404, description="No such inspection of this home")
    @blueprint.alt_response(409, description="Accepted, or refused for another reason")
    def post(self, values: dict[str, str], household_id: str, inspection_id: str) -> object:
        """Refuse a result with a reason; what it found keeps stopping use."""
        return operations.refuse_inspection(
            scheme_session(), household_id, inspection_id, values["reason"], **writing()
        )
