"""The scheme's list of electricians; administrators read it, safety officers keep it."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from service.infrastructure.http.access import requires
from service.infrastructure.http.etags import etag_headers, etag_of, etagged, require_match
from service.infrastructure.http.transactions import idempotent, scheme_session
from service.safety import operations
from service.safety.api.routes import blueprint, writing
from service.safety.domain.visit_details import ElectricianDetails
from service.safety.models import Electrician
from service.safety.schemas import (
    ElectricianChangeSchema,
    ElectricianEntrySchema,
    ElectricianListSchema,
    ElectricianSchema,
)


@blueprint.route("/electricians")
class ElectriciansView(MethodView):
    """The list."""

    @requires("administrator")
    @blueprint.response(200, ElectricianListSchema)
    def get(self) -> object:
        """List everybody who is or was on the list, those on it first."""
        return {"items": [_row(each) for each in operations.list_electricians(scheme_session())]}

    @requires("safety_officer")
    @idempotent
    @blueprint.arguments(ElectricianEntrySchema)
    @etagged
    @blueprint.response(201, ElectricianSchema)
    @blueprint.alt_response(409, description="Somebody on the list has this address")
    def post(self, values: dict[str, str]) -> object:
        """Put somebody on the list: what they record by a link that another person sends to their address counts."""
        return _shown(operations.list_electrician(scheme_session(), ElectricianDetails(**values), **writing()))


@blueprint.route("/electricians/<id:electrician_id>")
class ElectricianView(MethodView):
    """One of the list."""

    @requires("administrator")
    @etagged
    @blueprint.response(200, ElectricianSchema)
    @blueprint.alt_response(404, description="No such electrician")
    def get(self, electrician_id: str) -> object:
        """Get what is stated of somebody."""
        return _shown(operations.get_electrician(scheme_session(), electrician_id))

    @requires("safety_officer")
    @etagged
    @blueprint.arguments(ElectricianChangeSchema)
    @blueprint.response(200, ElectricianSchema)
    @blueprint.alt_response(404, description="No such electrician")
    @blueprint.alt_response(409, description="Somebody else has this address")
    def patch(self, values: dict[str, Any], electrician_id: str) -> object:
        """Change what is stated of somebody."""
        session = scheme_session()
        require_match(operations.get_electrician(session, electrician_id).version)
        return _shown(operations.change_electrician(session, electrician_id, values, **writing()))


@blueprint.route("/electricians/<id:electrician_id>/removal")
class RemovalView(MethodView):
    """That somebody is taken off the list."""

    @requires("safety_officer")
    @idempotent
    @blueprint.response(200, ElectricianSchema)
    @blueprint.alt_response(404, description="No such electrician")
    def post(self, electrician_id: str) -> object:
        """Take somebody off the list: what they recorded before stays accepted, what comes now waits."""
        return _row(operations.unlist_electrician(scheme_session(), electrician_id, **writing()))


def _row(electrician: Electrician) -> dict[str, Any]:
    own = {name: getattr(electrician, name) for name in ElectricianSchema().fields if name != "etag"}
    return {**own, "etag": etag_of(electrician.version)}


def _shown(electrician: Electrician) -> tuple[dict[str, Any], dict[str, str]]:
    return _row(electrician), etag_headers(electrician.version)
