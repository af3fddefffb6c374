"""Uploaded documents and photos of a home: put in, and handed out to be saved."""

from __future__ import annotations

from typing import Any
from urllib.parse import quote

from flask import Response
from flask.views import MethodView

from service.infrastructure.http.access import require_visible_household, requires
from service.infrastructure.http.transactions import idempotent, scheme_session
from service.safety import operations
from service.safety.api.routes import blueprint, writing
from service.safety.api.uploads import UPLOAD_BODY, disk, reads_upload, uploaded
from service.safety.schemas import FileQuerySchema, FileSchema

ONLY_SAVED = "default-src 'none'; sandbox; frame-ancestors 'none'"
"""What a browser may do with a file that it opens all the same: nothing."""


@blueprint.route("/households/<id:household_id>/files")
class FilesView(MethodView):
    """Files of a home."""

    @requires("administrator", "member")
    @blueprint.arguments(FileQuerySchema, location="query")
    @reads_upload
    @idempotent
    @blueprint.doc(requestBody=UPLOAD_BODY)
    @blueprint.response(201, FileSchema)
    @blueprint.alt_response(409, description="The home keeps no more files of this person")
    @blueprint.alt_response(413, description="The file is larger than is kept")
    def post(self, query: dict[str, Any], household_id: str) -> object:
        """Upload a file: a PDF, JPEG or PNG by its content."""
        require_visible_household(household_id)
        return operations.keep_file(scheme_session(), disk(), household_id, uploaded(), **query, **writing())


@blueprint.route("/households/<id:household_id>/files/<id:file_id>")
class FileView(MethodView):
    """One file of a home."""

    @requires("administrator", "member")
    @blueprint.response(200, {"type": "string", "format": "binary"}, content_type="application/octet-stream")
    @blueprint.alt_response(404, description="No such file of this home")
    def get(self, household_id: str, file_id: str) -> Response:
        """Get a file, to be saved: no browser shows it, runs it or guesses at what it is."""
        require_visible_household(household_id)
        file, content = operations.read_file(scheme_session(), disk(), household_id, file_id)
        reply = Response(content, mimetype=file.media_type)
        reply.headers["Content-Disposition"] = _to_be_saved_as(file.name)
        reply.headers["Content-Security-Policy"] = ONLY_SAVED
        return reply


def _to_be_saved_as(name: str) -> str:
    """Return the header that has a file saved by its name: in ASCII for old readers, and whole (RFC 6266, 8187)."""
    plain = name.encode("ascii", "replace").decode().replace("?", "_")
    return f"attachment; filename=\"{plain}\"; filename*=UTF-8''{quote(name, safe='')}"
