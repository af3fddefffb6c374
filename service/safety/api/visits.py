"""Visits: asked for by a home or its scheme, agreed and moved on by an administrator."""

from __future__ import annotations

from dataclasses import fields
from typing import Any

from flask.views import MethodView

from service.households.operations import get_household
from service.infrastructure.http.access import require_visible_household, requires
from service.infrastructure.http.etags import etag_of, etagged, require_match
from service.infrastructure.http.paging import Page, first_row, page_schema, sort_key
from service.infrastructure.http.transactions import idempotent, now, scheme_session
from service.safety import operations
from service.safety.api.routes import blueprint, writing
from service.safety.domain.visit_details import VisitMove, VisitRequest
from service.safety.models import Visit
from service.safety.operations.visit_list import SORTS, VisitRow
from service.safety.schemas import (
    HomeVisitListSchema,
    HomeVisitSchema,
    VisitChangeSchema,
    VisitEntrySchema,
    VisitMoveSchema,
    VisitQuery,
    VisitRowSchema,
    VisitSchema,
)


@blueprint.route("/visits")
class VisitsView(MethodView):
    """The scheme's visits."""

    @requires("administrator")
    @blueprint.arguments(VisitQuery, location="query")
    @blueprint.response(200, page_schema(VisitRowSchema))
    def get(self, query: dict[str, Any]) -> object:
        """List visits, by risk the greatest first; a batch is one area's."""
        page, size, key = query["page"], query["page_size"], sort_key(query["sort"], SORTS)
        state = query["state"].value if query["state"] is not None else None
        rows, total = operations.list_visits(
            scheme_session(), at=now(), state=state, area=query["area"], sort=key.name,
            is_descending=key.is_descending, first=first_row(page, size), limit=size,
        )
        return Page([_row(row) for row in rows], total, page, size)


@blueprint.route("/households/<id:household_id>/visits")
class HomeVisitsView(MethodView):
    """A home's visits."""

    @requires("administrator", "member")
    @blueprint.response(200, HomeVisitListSchema)
    @blueprint.alt_response(404, description="No such household")
    def get(self, household_id: str) -> object:
        """List a home's visits, the newest first."""
        require_visible_household(household_id)
        get_household(scheme_session(), household_id)
        return {"items": operations.list_visits_of(scheme_session(), household_id, at=now())}

    @requires("administrator", "member")
    @idempotent
    @blueprint.arguments(VisitEntrySchema)
    @blueprint.response(201, HomeVisitSchema)
    @blueprint.alt_response(404, description="No such household")
    @blueprint.alt_response(409, description="A visit to one of these outlets waits for its date already")
    def post(self, values: dict[str, Any], household_id: str) -> object:
        """Ask for an inspection of some outlets."""
        require_visible_household(household_id)
        request = VisitRequest(tuple(values["outlet_ids"]), values["reason"])
        visit = operations.ask_visit(scheme_session(), household_id, request, **writing())
        return operations.show_visit(scheme_session(), visit, at=now())


@blueprint.route("/visits/<id:visit_id>")
class VisitView(MethodView):
    """One visit."""

    @requires("administrator")
    @etagged
    @blueprint.response(200, VisitSchema)
    @blueprint.alt_response(404, description="No such visit")
    def get(self, visit_id: str) -> object:
        """Get a visit with the steps that it took."""
        return _shown(operations.get_visit(scheme_session(), visit_id))

    @requires("administrator")
    @etagged
    @blueprint.arguments(VisitChangeSchema)
    @blueprint.response(200, VisitSchema)
    @blueprint.alt_response(404, description="No such visit")
    def patch(self, values: dict[str, Any], visit_id: str) -> object:
        """Say who comes and when: naming a day agrees it, taking it away asks for another."""
        session = scheme_session()
        require_match(operations.get_visit(session, visit_id).version)
        return _shown(operations.change_visit(session, visit_id, values, **writing()))


@blueprint.route("/visits/<id:visit_id>/steps")
class StepsView(MethodView):
    """Steps that a person takes with a visit."""

    @requires("administrator")
    @idempotent
    @blueprint.arguments(VisitMoveSchema)
    @etagged
    @blueprint.response(201, VisitSchema)
    @blueprint.alt_response(404, description="No such visit")
    def post(self, values: dict[str, str], visit_id: str) -> object:
        """Record that nobody opened, that it was done, that it is called off, or that it is asked for again."""
        return _shown(operations.move_visit(scheme_session(), visit_id, VisitMove(**values), **writing()))


def _row(row: VisitRow) -> dict[str, Any]:
    own = {field.name: getattr(row, field.name) for field in fields(VisitRow)}
    return {**own, "risk_working": row.risk_working.steps}


def _shown(visit: Visit) -> tuple[dict[str, Any], dict[str, str]]:
    session = scheme_session()
    row = operations.show_visit(session, visit, at=now())
    return {**_row(row), "steps": operations.show_steps(session, visit.id)}, {"ETag": etag_of(visit.version)}
