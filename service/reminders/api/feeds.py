"""Calendars by a secret address: the only operations that a calendar program calls, without a session."""

from __future__ import annotations

import hashlib

from flask import Response, request
from flask.views import MethodView

from service.accounts.operations import slowed_where_guessed
from service.common.errors import Fault, Rejected
from service.infrastructure.http.access import principal, requires
from service.infrastructure.http.etags import etag_headers
from service.infrastructure.http.places import caller_place
from service.infrastructure.http.transactions import LONGEST_KEY, idempotent, now, scheme_session, services
from service.reminders import documents, operations
from service.reminders.api.routes import TOO_MANY, blueprint, writing
from service.reminders.domain.secret_addresses import repeatable_feed_token
from service.reminders.operations import FeedContent
from service.reminders.schemas import FeedEntrySchema, FeedSchema, FeedsSchema, NewFeedSchema


@blueprint.route("/feeds")
class FeedsView(MethodView):
    """The caller's own calendars."""

    @requires("administrator", "member")
    @blueprint.response(200, FeedsSchema)
    def get(self) -> object:
        """List the caller's calendars, revoked ones included; their addresses are not kept."""
        return {"items": operations.list_feeds(scheme_session(), principal().account_id)}

    @requires("administrator", "member")
    @blueprint.arguments(FeedEntrySchema)
    @blueprint.response(201, NewFeedSchema)
    @blueprint.alt_response(404, description="The caller has no home whose plan could be shown")
    @blueprint.alt_response(409, description="The caller has too many calendars")
    def post(self, values: dict[str, str]) -> object:
        """Make a calendar; its address is told in this reply and never again.

        Repeated under its Idempotency-Key it answers the same; the key gives the secret, so that no reply is kept.
        """
        feed, token = operations.make_feed(
            scheme_session(), values["kind"], household_id=principal().household_id, token=_repeatable(), **writing()
        )
        url = f"{services().settings.base_url.rstrip('/')}/api/v1/feeds/{token}.ics"
        return {
            "id": feed.id, "kind": feed.kind, "made_at": feed.made_at, "revoked_at": feed.revoked_at, "url": url,
        }  # fmt: skip


@blueprint.route("/feeds/<id:feed_id>/revocation")
class FeedRevocationView(MethodView):
    """That a calendar was ended."""

    @requires("administrator", "member")
    @idempotent
    @blueprint.response(200, FeedSchema)
    @blueprint.alt_response(404, description="The caller has no such calendar")
    def post(self, feed_id: str) -> object:
        """End a calendar for good: its address answers 410 from then on."""
        return operations.revoke_feed(scheme_session(), feed_id, **writing())


@blueprint.route("/feeds/<string:token>.ics")
class FeedView(MethodView):
    """A calendar, opened by its address alone."""

    @requires(public=True)
    @blueprint.response(200, content_type="text/calendar")
    @blueprint.alt_response(404, description="No such calendar")
    @blueprint.alt_response(410, description="It was ended, or its person has left")
    @blueprint.alt_response(429, description=TOO_MANY)
    def get(self, token: str) -> Response:
        """Get the calendar (RFC 5545): due dates, or the charging times that hold now."""
        database = services().database
        with slowed_where_guessed(database, caller_place(), now=now()), database.system(write=False) as system:
            found = operations.find_feed(system, token)
        with database.scheme(found.scheme_id, write=False) as session:
            content = operations.read_feed(session, found.id, at=now())
        body = _written(content).encode()
        reply = Response(body, mimetype="text/calendar", headers=etag_headers(hashlib.sha256(body).hexdigest()[:32]))
        reply.headers["Content-Disposition"] = f'inline; filename="{content.kind}.ics"'
        return reply


def _repeatable() -> str | None:
    """Return the token that the request's Idempotency-Key stands for, or None without one."""
    key = request.headers.get("Idempotency-Key")
    if key is None:
        return None
    if not (0 < len(key) <= LONGEST_KEY and key.isprintable()):
        raise Rejected(Fault("Idempotency-Key", key, f"is 1 to {LONGEST_KEY} printable characters"))
    who = principal()
    return repeatable_feed_token(who.scheme_id, who.account_id, key, secret_key=services().settings.secret_key)


def _written(content: FeedContent) -> str:
    settings = services().settings
    if content.kind == "plan":
        return documents.charging_times(content.cars, domain=settings.mail_domain, stamped_on=content.on)
    return documents.due_dates(
        content.items, base_url=settings.base_url, domain=settings.mail_domain, stamped_on=content.on
    )
