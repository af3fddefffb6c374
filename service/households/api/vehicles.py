"""Cars, and the state of charge that their drivers read off them."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from service.households import operations
from service.households.api.routes import blueprint, matched, with_etag, writing
from service.households.domain.vehicle_details import VehicleDetails
from service.households.schemas import (
    ChargeEntrySchema,
    ChargeSchema,
    VehicleChangeSchema,
    VehicleEntrySchema,
    VehicleListSchema,
    VehicleSchema,
)
from service.infrastructure.http.access import (
    principal,
    require_own_household,
    require_visible_household,
    requires,
)
from service.infrastructure.http.etags import etagged, require_match
from service.infrastructure.http.transactions import idempotent, scheme_session

NO_VEHICLE = "No such car in this home"


@blueprint.route("/households/<id:household_id>/vehicles")
class VehiclesView(MethodView):
    """The home's cars."""

    @requires("administrator", "member")
    @blueprint.response(200, VehicleListSchema)
    @blueprint.alt_response(404, description="No such household")
    def get(self, household_id: str) -> object:
        """List the cars in the order in which they come first at a shared outlet."""
        require_visible_household(household_id)
        return {"items": operations.list_vehicles(scheme_session(), household_id)}

    @requires("administrator", "member")
    @idempotent
    @blueprint.arguments(VehicleEntrySchema)
    @etagged
    @blueprint.response(201, VehicleSchema)
    @blueprint.alt_response(404, description="No such household")
    def post(self, values: dict[str, Any], household_id: str) -> object:
        """Add a car."""
        require_visible_household(household_id)
        return with_etag(
            operations.add_vehicle(scheme_session(), household_id, VehicleDetails(**values), **writing())
        )


@blueprint.route("/households/<id:household_id>/vehicles/<id:vehicle_id>")
class VehicleView(MethodView):
    """One car."""

    @requires("administrator", "member")
    @etagged
    @blueprint.response(200, VehicleSchema)
    @blueprint.alt_response(404, description=NO_VEHICLE)
    def get(self, household_id: str, vehicle_id: str) -> object:
        """Get a car."""
        require_visible_household(household_id)
        return with_etag(operations.get_vehicle(scheme_session(), household_id, vehicle_id))

    @requires("administrator", "member")
    @etagged
    @blueprint.arguments(VehicleChangeSchema)
    @blueprint.response(200, VehicleSchema)
    @blueprint.alt_response(404, description=NO_VEHICLE)
    def patch(self, values: dict[str, Any], household_id: str, vehicle_id: str) -> object:
        """Change some fields; a member only label, limits of charge, outlet and lead, else 403."""
        require_visible_household(household_id)
        session = scheme_session()
        car = matched(operations.get_vehicle(session, household_id, vehicle_id))
        only = None if principal().has("administrator") else operations.OWN_FIELDS
        return with_etag(
            operations.change_vehicle(session, household_id, car.id, values, only=only, **writing())
        )

    @requires("administrator", "member")
    @etagged
    @blueprint.response(204)
    @blueprint.alt_response(404, description=NO_VEHICLE)
    @blueprint.alt_response(409, description="Something else still needs the car")
    def delete(self, household_id: str, vehicle_id: str) -> None:
        """Take a car out, with its routine and journeys."""
        require_visible_household(household_id)
        session = scheme_session()
        car = matched(operations.get_vehicle(session, household_id, vehicle_id))
        operations.remove_vehicle(session, household_id, car.id, **writing())


@blueprint.route("/households/<id:household_id>/vehicles/<id:vehicle_id>/state_of_charge")
class ChargeView(MethodView):
    """What was last read off a car; its driver's business."""

    @requires("member")
    @etagged
    @blueprint.response(200, ChargeSchema)
    @blueprint.alt_response(404, description=NO_VEHICLE)
    def get(self, household_id: str, vehicle_id: str) -> object:
        """Get the last reading."""
        require_own_household(household_id)
        return with_etag(operations.get_charge(scheme_session(), household_id, vehicle_id))

    @requires("member")
    @etagged
    @blueprint.arguments(ChargeEntrySchema)
    @blueprint.response(200, ChargeSchema)
    @blueprint.alt_response(404, description=NO_VEHICLE)
    def put(self, values: dict[str, Any], household_id: str, vehicle_id: str) -> object:
        """Note what the car shows now."""
        require_own_household(household_id)
        session = scheme_session()
        require_match(operations.get_charge(session, household_id, vehicle_id).version)
        return with_etag(
            operations.put_charge(session, household_id, vehicle_id, values["percent"], **writing())
        )
