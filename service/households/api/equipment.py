"""Supply, circuits, outlets and leads; an administrator changes them here, the home's member sees them."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from service.households import operations
from service.households.api.routes import blueprint, matched, with_etag, writing
from service.households.domain.equipment_details import CircuitDetails, LeadDetails, OutletDetails, RunDetails
from service.households.domain.home_details import SupplyDetails
from service.households.domain.ranges import build_each
from service.households.models import Supply
from service.households.schemas import (
    CircuitEntrySchema,
    CircuitSchema,
    LeadChangeSchema,
    LeadEntrySchema,
    LeadSchema,
    OutletChangeSchema,
    OutletEntrySchema,
    OutletSchema,
    SupplySchema,
)
from service.infrastructure.http.access import require_visible_household, requires
from service.infrastructure.http.etags import etag_headers, etagged, require_match
from service.infrastructure.http.transactions import idempotent, scheme_session


def _supply_version(supply: Supply | None) -> int:
    return supply.version if supply else 0


@blueprint.route("/households/<id:household_id>/supply")
class SupplyView(MethodView):
    """The home's supply; where nothing is recorded, everything of it is not known."""

    @requires("administrator", "member")
    @etagged
    @blueprint.response(200, SupplySchema)
    @blueprint.alt_response(404, description="No such household")
    def get(self, household_id: str) -> object:
        """Get what is recorded of the supply."""
        require_visible_household(household_id)
        supply = operations.find_supply(scheme_session(), household_id)
        return supply or SupplyDetails(), etag_headers(_supply_version(supply))

    @requires("administrator")
    @etagged
    @blueprint.arguments(SupplySchema)
    @blueprint.response(200, SupplySchema)
    @blueprint.alt_response(404, description="No such household")
    def put(self, values: dict[str, Any], household_id: str) -> object:
        """Record the supply in place of what was recorded."""
        session = scheme_session()
        supply = operations.find_supply(session, household_id)
        require_match(_supply_version(supply))
        details = SupplyDetails(**values)
        return with_etag(operations.put_supply(session, household_id, details, **writing()))


@blueprint.route("/households/<id:household_id>/circuits")
class CircuitsView(MethodView):
    """The home's circuits; they are listed with the home."""

    @requires("administrator")
    @idempotent
    @blueprint.arguments(CircuitEntrySchema)
    @blueprint.response(201, CircuitSchema)
    @blueprint.alt_response(404, description="No such household")
    def post(self, values: dict[str, Any], household_id: str) -> object:
        """Record a circuit as runs in order."""
        circuit = CircuitDetails(values["label"], build_each("runs", values["runs"], RunDetails))
        return operations.add_circuit(scheme_session(), household_id, circuit, **writing())


@blueprint.route("/households/<id:household_id>/circuits/<id:circuit_id>")
class CircuitView(MethodView):
    """One circuit with its runs."""

    @requires("administrator", "member")
    @etagged
    @blueprint.response(200, CircuitSchema)
    @blueprint.alt_response(404, description="No such circuit in this home")
    def get(self, household_id: str, circuit_id: str) -> object:
        """Get a circuit; its ETag is that of its content."""
        require_visible_household(household_id)
        circuit = operations.get_circuit(scheme_session(), household_id, circuit_id)
        return circuit, etag_headers(operations.circuit_version(circuit))

    @requires("administrator")
    @etagged
    @blueprint.arguments(CircuitEntrySchema)
    @blueprint.response(200, CircuitSchema)
    @blueprint.alt_response(404, description="No such circuit in this home")
    def put(self, values: dict[str, Any], household_id: str, circuit_id: str) -> object:
        """Put the label and the runs in place of what was recorded."""
        session = scheme_session()
        version = operations.circuit_version(operations.get_circuit(session, household_id, circuit_id))
        require_match(version)
        details = CircuitDetails(values["label"], build_each("runs", values["runs"], RunDetails))
        changed = operations.change_circuit(
            session, household_id, circuit_id, details, of_version=version, **writing()
        )
        return changed, etag_headers(operations.circuit_version(changed))


@blueprint.route("/households/<id:household_id>/outlets")
class OutletsView(MethodView):
    """The home's outlets; they are listed with the home."""

    @requires("administrator")
    @idempotent
    @blueprint.arguments(OutletEntrySchema)
    @etagged
    @blueprint.response(201, OutletSchema)
    @blueprint.alt_response(404, description="No such household")
    def post(self, values: dict[str, Any], household_id: str) -> object:
        """Record an outlet; no plan uses it before an inspection of it is recorded."""
        return with_etag(
            operations.add_outlet(scheme_session(), household_id, OutletDetails(**values), **writing())
        )


@blueprint.route("/households/<id:household_id>/outlets/<id:outlet_id>")
class OutletView(MethodView):
    """One outlet."""

    @requires("administrator", "member")
    @etagged
    @blueprint.response(200, OutletSchema)
    @blueprint.alt_response(404, description="No such outlet in this home")
    def get(self, household_id: str, outlet_id: str) -> object:
        """Get an outlet."""
        require_visible_household(household_id)
        return with_etag(operations.get_outlet(scheme_session(), household_id, outlet_id))

    @requires("administrator")
    @etagged
    @blueprint.arguments(OutletChangeSchema)
    @blueprint.response(200, OutletSchema)
    @blueprint.alt_response(404, description="No such outlet in this home")
    def patch(self, values: dict[str, Any], household_id: str, outlet_id: str) -> object:
        """Change some fields; another kind of outlet is another outlet."""
        session = scheme_session()
        outlet = matched(operations.get_outlet(session, household_id, outlet_id))
        return with_etag(operations.change_outlet(session, household_id, outlet.id, values, **writing()))


@blueprint.route("/households/<id:household_id>/leads")
class LeadsView(MethodView):
    """The home's leads; they are listed with the home."""

    @requires("administrator")
    @idempotent
    @blueprint.arguments(LeadEntrySchema)
    @etagged
    @blueprint.response(201, LeadSchema)
    @blueprint.alt_response(404, description="No such household")
    def post(self, values: dict[str, Any], household_id: str) -> object:
        """Record a lead."""
        return with_etag(operations.add_lead(scheme_session(), household_id, LeadDetails(**values), **writing()))


@blueprint.route("/households/<id:household_id>/leads/<id:lead_id>")
class LeadView(MethodView):
    """One lead."""

    @requires("administrator", "member")
    @etagged
    @blueprint.response(200, LeadSchema)
    @blueprint.alt_response(404, description="No such lead in this home")
    def get(self, household_id: str, lead_id: str) -> object:
        """Get a lead."""
        require_visible_household(household_id)
        return with_etag(operations.get_lead(scheme_session(), household_id, lead_id))

    @requires("administrator")
    @etagged
    @blueprint.arguments(LeadChangeSchema)
    @blueprint.response(200, LeadSchema)
    @blueprint.alt_response(404, description="No such lead in this home")
    def patch(self, values: dict[str, Any], household_id: str, lead_id: str) -> object:
        """Change some fields, above all the current it is set to."""
        session = scheme_session()
        lead = matched(operations.get_lead(session, household_id, lead_id))
        return with_etag(operations.change_lead(session, household_id, lead.id, values, **writing()))
