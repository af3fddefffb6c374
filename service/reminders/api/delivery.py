"""Sending a message of the delivery record again."""

from __future__ import annotations

from flask.views import MethodView

from service.infrastructure.http.access import requires
from service.infrastructure.http.transactions import idempotent, scheme_session, services
from service.infrastructure.mail.queue import Postmark
from service.reminders import operations
from service.reminders.api.routes import blueprint, writing
from service.reminders.schemas import ResentSchema


@blueprint.route("/mail/<id:mail_id>/resend")
class ResendView(MethodView):
    """That a message goes out once more."""

    @requires("administrator")
    @idempotent
    @blueprint.response(201, ResentSchema)
    @blueprint.alt_response(404, description="No such message")
    @blueprint.alt_response(409, description="It still waits, its words are gone, or its person has left")
    def post(self, mail_id: str) -> object:
        """Queue the same words again, as a new row of the delivery record."""
        settings = services().settings
        postmark = Postmark(settings.secret_key, settings.mail_domain)
        return operations.resend(scheme_session(), mail_id, postmark=postmark, **writing())
