"""Drawings of the drive over HTTP: a member draws the own home's, an administrator reads."""

from __future__ import annotations

from typing import Any

from flask import Response
from flask.views import MethodView

from service.advice.api.routes import blueprint
from service.advice.documents.drive_svg import drive_svg
from service.advice.domain.siting.drawing import drawing_of
from service.advice.models import Drive
from service.advice.operations import drives
from service.advice.schemas.drives import DriveEntrySchema, DriveListSchema, DriveSchema, SitingSchema
from service.infrastructure.http.access import principal, require_own_household, require_visible_household, requires
from service.infrastructure.http.etags import etag_headers, etagged, require_match
from service.infrastructure.http.transactions import idempotent, now, scheme_session

DRIVES = "/households/<id:household_id>/drives"
NO_DRIVE = "No such drawing of this home"


@blueprint.route(DRIVES)
class DrivesView(MethodView):
    """Drawings of a home's drive."""

    @requires("administrator", "member")
    @blueprint.response(200, DriveListSchema)
    @blueprint.alt_response(404, description="No such household")
    def get(self, household_id: str) -> object:
        """List the drawings, the newest first."""
        require_visible_household(household_id)
        rows = drives.list_drives(scheme_session(), household_id)
        return {"items": [_shown(row) for row in rows], "most": drives.MOST_KEPT}

    @requires("member")
    @idempotent
    @blueprint.arguments(DriveEntrySchema)
    @etagged
    @blueprint.response(201, DriveSchema)
    @blueprint.alt_response(409, description="The home keeps as many drawings as it may")
    def post(self, values: dict[str, Any], household_id: str) -> object:
        """Keep a drawing."""
        require_own_household(household_id)
        row = drives.add_drive(scheme_session(), household_id, **values, by=principal().account_id, at=now())
        return _shown(row), 201, etag_headers(row.version)


@blueprint.route(f"{DRIVES}/<id:drive_id>")
class DriveView(MethodView):
    """One drawing."""

    @requires("administrator", "member")
    @etagged
    @blueprint.response(200, DriveSchema)
    @blueprint.alt_response(404, description=NO_DRIVE)
    def get(self, household_id: str, drive_id: str) -> object:
        """Get a drawing."""
        require_visible_household(household_id)
        row = drives.get_drive(scheme_session(), household_id, drive_id)
        return _shown(row), 200, etag_headers(row.version)

    @requires("member")
    @etagged
    @blueprint.arguments(DriveEntrySchema)
    @blueprint.response(200, DriveSchema)
    @blueprint.alt_response(404, description=NO_DRIVE)
    def put(self, values: dict[str, Any], household_id: str, drive_id: str) -> object:
        """Replace a drawing."""
        require_own_household(household_id)
        session = scheme_session()
        row = drives.get_drive(session, household_id, drive_id)
        require_match(row.version)
        row = drives.put_drive(session, household_id, row.id, **values, by=principal().account_id, at=now())
        return _shown(row), 200, etag_headers(row.version)

    @requires("member")
    @etagged
    @blueprint.response(204)
    @blueprint.alt_response(404, description=NO_DRIVE)
    def delete(self, household_id: str, drive_id: str) -> None:
        """Delete a drawing."""
        require_own_household(household_id)
        session = scheme_session()
        row = drives.get_drive(session, household_id, drive_id)
        require_match(row.version)
        drives.remove_drive(session, household_id, row.id, by=principal().account_id, at=now())


@blueprint.route(f"{DRIVES}/<id:drive_id>/positions")
class PositionsView(MethodView):
    """Where the outlet should go."""

    @requires("administrator", "member")
    @blueprint.response(200, SitingSchema)
    @blueprint.alt_response(404, description=NO_DRIVE)
    def get(self, household_id: str, drive_id: str) -> object:
        """Work out the best position with its working, for the electrician to confirm."""
        require_visible_household(household_id)
        sited = drives.find_positions(scheme_session(), household_id, drive_id)
        siting = sited.siting
        shown = {name: getattr(siting, name) for name in siting.__dataclass_fields__ if name != "working"}
        return {**shown, "consents": sited.consents, "working": siting.working.to_json()}


@blueprint.route(f"{DRIVES}/<id:drive_id>/drive.svg")
class DriveSvgView(MethodView):
    """The drawing with the best position, for paper."""

    @requires("administrator", "member")
    @blueprint.response(200, {"type": "string", "format": "binary"}, content_type="image/svg+xml")
    @blueprint.alt_response(404, description=NO_DRIVE)
    def get(self, household_id: str, drive_id: str) -> object:
        """Get the drawing as SVG: words and shapes, no script, in black on white."""
        require_visible_household(household_id)
        sited = drives.find_positions(scheme_session(), household_id, drive_id)
        picture = drive_svg(sited.drive.label, drawing_of(sited.drive.drawing), sited.siting)
        return Response(picture, mimetype="image/svg+xml")


def _shown(row: Drive) -> dict[str, Any]:
    return {
        "id": row.id, "label": row.label, "created_at": row.created_at, "drawing": drawing_of(row.drawing),
    }  # fmt: skip
