"""A safety officer's decisions over HTTP."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from service.infrastructure.http.access import requires
from service.infrastructure.http.paging import Page, PageQuery, first_row, page_schema
from service.infrastructure.http.transactions import idempotent, scheme_session
from service.safety import operations
from service.safety.api.routes import blueprint, writing
from service.safety.domain.overrides import OverrideDetails
from service.safety.models import Override
from service.safety.schemas import OverrideEntrySchema, OverrideSchema


@blueprint.route("/households/<id:household_id>/overrides")
class OverridesView(MethodView):
    """Answers made stricter, and due dates put off."""

    @requires("administrator")
    @blueprint.arguments(PageQuery, location="query")
    @blueprint.response(200, page_schema(OverrideSchema))
    def get(self, query: dict[str, Any], household_id: str) -> object:
        """List the home's decisions, the newest first, ended ones included."""
        page, size = query["page"], query["page_size"]
        overrides, total = operations.list_overrides(
            scheme_session(), household_id, first=first_row(page, size), limit=size
        )
        return Page(_shown(overrides), total, page, size)

    @requires("safety_officer")
    @idempotent
    @blueprint.arguments(OverrideEntrySchema)
    @blueprint.response(201, OverrideSchema)
    @blueprint.alt_response(404, description="No such household")
    @blueprint.alt_response(409, description="This due date was put off before")
    def post(self, values: dict[str, Any], household_id: str) -> object:
        """Make an answer stricter, or put one due date off by at most 14 days with a visit booked; never milder."""
        made = operations.make_override(scheme_session(), household_id, OverrideDetails(**values), **writing())
        return _shown([made])[0]


@blueprint.route("/households/<id:household_id>/overrides/<id:override_id>/ending")
class OverrideEndingView(MethodView):
    """That a decision ends."""

    @requires("safety_officer")
    @idempotent
    @blueprint.response(200, OverrideSchema)
    @blueprint.alt_response(404, description="No such override of this home")
    def post(self, household_id: str, override_id: str) -> object:
        """End a decision: from now on evidence alone speaks."""
        ended = operations.end_override(scheme_session(), household_id, override_id, **writing())
        return _shown([ended])[0]


def _shown(overrides: list[Override]) -> list[dict[str, Any]]:
    names = operations.names_of(scheme_session(), [by for one in overrides for by in (one.made_by, one.ended_by)])
    return [
        {
            **{name: getattr(one, name, None) for name in OverrideSchema().fields},
            "made_by_name": names.get(one.made_by),
            "ended_by_name": names.get(one.ended_by),
        }
        for one in overrides
    ]
