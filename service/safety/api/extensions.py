"""Extension leads in use over HTTP: recording one stops its outlet at once, ending one lets other evidence speak."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from service.infrastructure.http.access import require_visible_household, requires
from service.infrastructure.http.paging import Page, PageQuery, first_row, page_schema
from service.infrastructure.http.transactions import idempotent, now, scheme_session
from service.safety import operations
from service.safety.api.extension_shapes import ExtensionEntrySchema, ExtensionSchema
from service.safety.api.routes import blueprint, writing
from service.safety.domain.extension_use import DO_NOW, ExtensionDetails
from service.safety.operations import ExtensionView

STORED = ("id", "recorded_at", "recorded_by", "ended_at", "ended_by", *ExtensionEntrySchema().fields)


@blueprint.route("/households/<id:household_id>/extension_leads")
class ExtensionLeadsView(MethodView):
    """Extension leads between socket and charging lead."""

    @requires("administrator", "member")
    @blueprint.arguments(PageQuery, location="query")
    @blueprint.response(200, page_schema(ExtensionSchema))
    @blueprint.alt_response(404, description="No such household")
    def get(self, query: dict[str, Any], household_id: str) -> object:
        """List the home's extension leads, those in use first, with what may be done with each now."""
        require_visible_household(household_id)
        page, size = query["page"], query["page_size"]
        views, total = operations.list_extensions(
            scheme_session(), household_id, at=now(), first=first_row(page, size), limit=size
        )
        return Page([_shown(view) for view in views], total, page, size)

    @requires("administrator", "member")
    @idempotent
    @blueprint.arguments(ExtensionEntrySchema)
    @blueprint.response(201, ExtensionSchema)
    @blueprint.alt_response(404, description="No such household")
    def post(self, values: dict[str, Any], household_id: str) -> object:
        """Record that an extension lead is used: unless an inspection names it, its outlet stops at once."""
        require_visible_household(household_id)
        details = ExtensionDetails(**values)
        return _shown(operations.record_extension(scheme_session(), household_id, details, **writing()))


@blueprint.route("/households/<id:household_id>/extension_leads/<id:extension_id>/ending")
class ExtensionEndingView(MethodView):
    """That an extension lead is not used any more."""

    @requires("administrator", "member")
    @idempotent
    @blueprint.response(200, ExtensionSchema)
    @blueprint.alt_response(404, description="No such extension lead of this home")
    def post(self, household_id: str, extension_id: str) -> object:
        """Record that it is not used any more, by whom and when; the socket keeps its own checks."""
        require_visible_household(household_id)
        return _shown(operations.end_extension(scheme_session(), household_id, extension_id, **writing()))


def _shown(view: ExtensionView) -> dict[str, Any]:
    answer = view.answer
    own = {name: getattr(view.row, name) for name in STORED}
    if answer is None:
        said = {"allows_charging": None, "limit_a": None, "reasons": (), "can_be_lifted": None, "do_now": ()}
        return {**own, **said, "outlet_label": view.outlet_label, "working": ()}
    may = answer.limit_a is not None
    return {
        **own,
        "outlet_label": view.outlet_label,
        "allows_charging": may,
        "limit_a": answer.limit_a,
        "reasons": answer.reasons,
        "can_be_lifted": answer.can_be_lifted,
        "do_now": () if may else DO_NOW,
        "working": answer.part.steps,
    }
