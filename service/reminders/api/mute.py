"""Mute tips with one click from a mail program (RFC 8058): the signed address is all it needs.

Looking at the address changes nothing, because mail scanners open every link; only the POST mutes.
"""

from __future__ import annotations

from flask import Response, render_template
from flask.views import MethodView

from service.accounts.operations import slowed_where_guessed
from service.common.errors import NotFound
from service.infrastructure.http.access import requires
from service.infrastructure.http.bodies import accepts, from_anywhere
from service.infrastructure.http.places import caller_place
from service.infrastructure.http.transactions import now, services
from service.reminders import operations
from service.reminders.api.routes import TOO_MANY, blueprint
from service.reminders.domain.secret_addresses import MutedPerson, read_mute_token

FORMS = ("application/x-www-form-urlencoded", "multipart/form-data")


@blueprint.route("/mute/<string:token>")
class MuteView(MethodView):
    """Tips of one person, named by a signed address."""

    @requires(public=True)
    @blueprint.response(200, content_type="text/html")
    @blueprint.alt_response(404, description="The address is not one of ours")
    @blueprint.alt_response(429, description=TOO_MANY)
    def get(self, token: str) -> Response:
        """Show a page with a button; nothing is muted by looking."""
        _person(token)
        return _page("Turn tips off", is_done=False)

    @requires(public=True)
    @from_anywhere
    @accepts(*FORMS)
    @blueprint.response(200, content_type="text/html")
    @blueprint.alt_response(404, description="The address is not one of ours")
    @blueprint.alt_response(429, description=TOO_MANY)
    def post(self, token: str) -> Response:
        """Turn tips off; safety notices and reminders of rechecks go on.  Asked twice, done once."""
        person = _person(token)
        with services().database.scheme(person.scheme_id, write=True) as session:
            operations.mute_tips(session, person.account_id, at=now())
        return _page("Tips are off", is_done=True)


def _person(token: str) -> MutedPerson:
    with slowed_where_guessed(services().database, caller_place(), now=now()):
        person = read_mute_token(token, secret_key=services().settings.secret_key)
        if person is None:
            raise NotFound("This address turns nothing off. Open the one in the newest mail, or the app's settings.")
        return person


def _page(title: str, *, is_done: bool) -> Response:
    return Response(render_template("plain/mute.html", title=title, is_done=is_done), mimetype="text/html")
