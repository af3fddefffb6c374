"""Inspection links as the scheme makes, lists and revokes them; the address of one is told once, or by mail alone."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from service.infrastructure.http.access import requires
from service.infrastructure.http.paging import Page, PageQuery, first_row, page_schema
from service.infrastructure.http.transactions import idempotent, now, scheme_session, services, tell_once
from service.infrastructure.mail.queue import Postmark
from service.safety import emails, operations
from service.safety.api.routes import blueprint, writing
from service.safety.domain.link_rules import LinkRequest
from service.safety.operations import NewLink, Posting
from service.safety.schemas import CorrectionEntrySchema, LinkEntrySchema, LinkSchema, NewLinkSchema


@blueprint.route("/inspection_links")
class LinksView(MethodView):
    """The scheme's links."""

    @requires("administrator")
    @blueprint.arguments(PageQuery, location="query")
    @blueprint.response(200, page_schema(LinkSchema))
    def get(self, query: dict[str, int]) -> object:
        """List links, the newest first; nobody can read a secret again."""
        page, size = query["page"], query["page_size"]
        links, total = operations.list_links(scheme_session(), first=first_row(page, size), limit=size, at=now())
        return Page(links, total, page, size)

    @requires("administrator")
    @idempotent
    @blueprint.arguments(LinkEntrySchema)
    @blueprint.response(201, NewLinkSchema)
    def post(self, values: dict[str, Any]) -> object:
        """Make a link for agreed visits and mail it; its address is told in this answer, or by the mail alone.

        Where what comes in by it counts at once, nobody but the electrician learns it: ``url`` is null, with the
        reason.
        """
        request = LinkRequest(**{**values, "visit_ids": tuple(values["visit_ids"])})
        return _told_once(operations.send_link(scheme_session(), request, _posting(), **writing()))


@blueprint.route("/inspection_links/<id:link_id>/revocation")
class RevocationView(MethodView):
    """That a link is ended."""

    @requires("administrator")
    @idempotent
    @blueprint.response(200, LinkSchema)
    @blueprint.alt_response(404, description="No such link")
    def post(self, link_id: str) -> object:
        """End a link at once: whoever opens it is told so."""
        return operations.revoke_link(scheme_session(), link_id, **writing())


@blueprint.route("/households/<id:household_id>/inspections/<id:inspection_id>/correction_link")
class CorrectionLinkView(MethodView):
    """A link by which a result is corrected."""

    @requires("administrator")
    @idempotent
    @blueprint.arguments(CorrectionEntrySchema)
    @blueprint.response(201, NewLinkSchema)
    @blueprint.alt_response(404, description="No such inspection of this home")
    @blueprint.alt_response(409, description="Corrected already, not by a link, or the seven days are over")
    def post(self, values: dict[str, str], household_id: str, inspection_id: str) -> object:
        """Make and mail a link for a correction, within seven days; what stood before is kept beside it."""
        made = operations.send_correction_link(
            scheme_session(), household_id, inspection_id, values["sent_to"], _posting(), **writing()
        )
        return _told_once(made)


def _posting() -> Posting:
    settings = services().settings
    return Posting(settings.base_url, emails.inspection_link, Postmark(settings.secret_key, settings.mail_domain))


def _told_once(made: NewLink) -> dict[str, Any]:
    body = {
        "id": made.link.id,
        "url": made.url,
        "url_withheld_because": made.withheld_because,
        "sent_to": made.link.sent_to,
        "expires_at": made.link.expires_at,
        "is_household_address": made.is_to_household,
    }
    tell_once("url", NewLinkSchema().dump(body))
    return body
