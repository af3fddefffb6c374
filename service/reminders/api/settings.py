"""A person's own settings of mail."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from service.infrastructure.http.access import principal, requires
from service.infrastructure.http.etags import etag_headers, etagged, require_match
from service.infrastructure.http.transactions import now, scheme_session
from service.reminders import operations
from service.reminders.api.routes import blueprint
from service.reminders.domain.mail_choices import MailChoices
from service.reminders.schemas import MailSettingsEntrySchema, MailSettingsSchema


@blueprint.route("/mail_settings")
class MailSettingsView(MethodView):
    """What the caller chose about mail to them."""

    @requires("administrator", "member")
    @etagged
    @blueprint.response(200, MailSettingsSchema)
    def get(self) -> object:
        """Get the caller's settings."""
        found = operations.get_mail_settings(scheme_session(), principal().account_id)
        return found, etag_headers(found.version)

    @requires("administrator", "member")
    @etagged
    @blueprint.arguments(MailSettingsEntrySchema)
    @blueprint.response(200, MailSettingsSchema)
    def put(self, values: dict[str, Any]) -> object:
        """Turn tips on or off, and say which number to ring; safety notices cannot be turned off."""
        session, account_id = scheme_session(), principal().account_id
        require_match(operations.get_mail_settings(session, account_id).version)
        found = operations.change_mail_settings(session, account_id, MailChoices(**values), at=now())
        return found, etag_headers(found.version)
