"""A person's own safety notices, and those that wait for a call."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from service.infrastructure.http.access import principal, requires
from service.infrastructure.http.paging import Page, first_row, page_schema
from service.infrastructure.http.transactions import idempotent, scheme_session
from service.reminders import operations
from service.reminders.api.routes import blueprint, writing
from service.reminders.schemas import NoticeQuery, NoticeSchema, RaisedNoticeSchema, RaisedQuery, RingingSchema


@blueprint.route("/notices")
class NoticesView(MethodView):
    """What the caller was told that concerns safety."""

    @requires("administrator", "member")
    @blueprint.arguments(NoticeQuery, location="query")
    @blueprint.response(200, page_schema(NoticeSchema))
    def get(self, query: dict[str, Any]) -> object:
        """List the caller's own notices, the newest first."""
        page, size = query["page"], query["page_size"]
        rows, total = operations.list_notices(
            scheme_session(), principal().account_id, is_unread=query["unread"], first=first_row(page, size),
            limit=size,
        )  # fmt: skip
        return Page(rows, total, page, size)


@blueprint.route("/notices/<id:notice_id>/reading")
class ReadingView(MethodView):
    """That a notice was read."""

    @requires("administrator", "member")
    @idempotent
    @blueprint.response(200, NoticeSchema)
    @blueprint.alt_response(404, description="The caller has no such notice")
    def post(self, notice_id: str) -> object:
        """Say that the caller has read it; nobody is rung then."""
        return operations.read_notice(scheme_session(), notice_id, **writing())


@blueprint.route("/raised_notices")
class RaisedNoticesView(MethodView):
    """The list of whom to ring."""

    @requires("administrator")
    @blueprint.arguments(RaisedQuery, location="query")
    @blueprint.response(200, page_schema(RaisedNoticeSchema))
    def get(self, query: dict[str, Any]) -> object:
        """List the notices that went unread or did not arrive, those told longest ago first."""
        page, size = query["page"], query["page_size"]
        rows, total = operations.list_raised(
            scheme_session(), is_rung=query["rung"], first=first_row(page, size), limit=size
        )
        return Page(rows, total, page, size)


@blueprint.route("/notices/<id:notice_id>/ringing")
class RingingView(MethodView):
    """That somebody rang."""

    @requires("administrator")
    @idempotent
    @blueprint.arguments(RingingSchema)
    @blueprint.response(200, RaisedNoticeSchema)
    @blueprint.alt_response(404, description="No such notice waits for a call")
    @blueprint.alt_response(409, description="Somebody else has rung already")
    def post(self, values: dict[str, str], notice_id: str) -> object:
        """Keep that the caller rang the person, and what came of it."""
        return operations.ring_notice(scheme_session(), notice_id, values["note"], **writing())
