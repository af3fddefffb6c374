"""The safety file of one home, to look at and as a PDF; each reading of it is written into the audit trail."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from flask import Response
from flask.views import MethodView

from service.accounts.operations import audit
from service.common.errors import Fault, Rejected
from service.infrastructure.http.access import principal, require_visible_household, requires
from service.infrastructure.http.transactions import now, scheme_session, write_afterwards
from service.reporting import operations
from service.reporting.api.routes import blueprint
from service.reporting.documents import safety_pdf
from service.reporting.domain.safety_file import SafetyFile
from service.reporting.schemas import FileQuery, SafetyFileSchema


@blueprint.route("/households/<id:household_id>/safety_file")
class SafetyFileView(MethodView):
    """What was recorded, decided, shown and told about one home."""

    @requires("administrator", "member")
    @blueprint.arguments(FileQuery, location="query")
    @blueprint.response(200, SafetyFileSchema)
    @blueprint.alt_response(404, description="No such household")
    def get(self, query: dict[str, Any], household_id: str) -> object:
        """Get the safety file, with ``at`` as at a past instant: asked again, the same file."""
        return _file(household_id, query["at"], "read")


@blueprint.route("/households/<id:household_id>/safety_file.pdf")
class SafetyPdfView(MethodView):
    """The safety file on paper."""

    @requires("administrator", "member")
    @blueprint.arguments(FileQuery, location="query")
    @blueprint.response(200, {"type": "string", "format": "binary"}, content_type="application/pdf")
    @blueprint.alt_response(404, description="No such household")
    def get(self, query: dict[str, Any], household_id: str) -> object:
        """Get the safety file as a PDF; the same instant gives the same bytes."""
        file = _file(household_id, query["at"], "download")
        name = f"safety-file-{_plain(file.reference)}-{file.at:%Y-%m-%dT%H%M%SZ}.pdf"
        return Response(
            safety_pdf(file),
            mimetype="application/pdf",
            headers={"Content-Disposition": f'attachment; filename="{name}"', "Cache-Control": "no-store"},
        )


def _file(household_id: str, at: datetime | None, action: str) -> SafetyFile:
    require_visible_household(household_id)
    if at is not None and at > now():
        raise Rejected(Fault("at", at.isoformat(), "must not lie in the future"))
    file = operations.get_safety_file(scheme_session(), household_id, at=at or now())
    who, read_at = principal().account_id, now()
    write_afterwards(
        lambda session: audit(
            session, account_id=who, action=action, subject_kind="safety_file", subject_id=household_id, at=read_at
        )
    )
    return file


def _plain(reference: str) -> str:
    """Return a reference as part of a file's name: letters and figures, whatever somebody typed."""
    return "".join(char if char.isascii() and char.isalnum() else "-" for char in reference)
