"""A home as its page shows it: what stands in it, with the evidence and what that says of each outlet.

It lives here, not with households, because clearance stands above them.
"""

from __future__ import annotations

from dataclasses import fields
from typing import Any

import marshmallow as ma
from flask.views import MethodView

from service.households.domain.home_details import HomeDetails
from service.households.operations import change_household, get_household, open_household
from service.households.schemas import HomeChangeSchema, HomeEntrySchema, HomeSchema
from service.infrastructure.http.access import require_visible_household, requires
from service.infrastructure.http.etags import etag_of, etagged, require_match
from service.infrastructure.http.fields import Flag, StrictSchema
from service.infrastructure.http.transactions import idempotent, now, scheme_session
from service.safety import operations
from service.safety.api.clearance import lead_shown, outlet_shown
from service.safety.api.notes import note_read, note_shown
from service.safety.api.routes import blueprint, writing
from service.safety.operations import HomeClearance
from service.safety.schemas import InspectionSchema, LeadClearanceSchema, OutletClearanceSchema, RecheckSchema


class HouseholdSchema(HomeSchema):
    """A home with what stands in it, its evidence, and what that says of each outlet and lead now."""

    inspections = ma.fields.List(ma.fields.Nested(InspectionSchema), metadata={"description": "The newest first"})
    rechecks = ma.fields.List(ma.fields.Nested(RecheckSchema), metadata={"description": "The earliest due first"})
    clearances = ma.fields.List(ma.fields.Nested(OutletClearanceSchema))
    lead_clearances = ma.fields.List(ma.fields.Nested(LeadClearanceSchema))


class HouseholdQuery(StrictSchema):
    """How much of a home is asked for."""

    is_brief = Flag(
        load_default=False, is_query=True,
        metadata={"description": "true: inspections and rechecks are left empty, and so is the working of each answer"},
    )


@blueprint.route("/households")
class HouseholdsView(MethodView):
    """The scheme's homes; planning lists them with their plans' totals."""

    @requires("administrator")
    @idempotent
    @blueprint.arguments(HomeEntrySchema)
    @etagged
    @blueprint.response(201, HouseholdSchema)
    @blueprint.alt_response(409, description="Another home has this reference")
    def post(self, values: dict[str, Any]) -> object:
        """Add a home."""
        return _shown(open_household(scheme_session(), HomeDetails(**values), **writing()).id)


@blueprint.route("/households/<id:household_id>")
class HouseholdView(MethodView):
    """One home."""

    @requires("administrator", "member")
    @etagged
    @blueprint.arguments(HouseholdQuery, location="query")
    @blueprint.response(200, HouseholdSchema)
    @blueprint.alt_response(404, description="No such household")
    def get(self, query: dict[str, bool], household_id: str) -> object:
        """Get a home with its parts and evidence; no departures and no state of charge.

        The ETag is that of the home's own fields, for a change of them: its parts have their own.
        """
        require_visible_household(household_id)
        note_read(household_id, "address")
        body, headers = _shown(household_id)
        if query["is_brief"]:
            body |= {"inspections": [], "rechecks": []}
            for answer in (*body["clearances"], *body["lead_clearances"]):
                answer["working"] = []
        return body, headers

    @requires("administrator")
    @etagged
    @blueprint.arguments(HomeChangeSchema)
    @blueprint.response(200, HouseholdSchema)
    @blueprint.alt_response(404, description="No such household")
    @blueprint.alt_response(409, description="Another home has this reference")
    def patch(self, values: dict[str, Any], household_id: str) -> object:
        """Change some of the home's own fields."""
        session = scheme_session()
        household = get_household(session, household_id)  # kept, so that the change is made to the row compared
        require_match(household.version)
        change_household(session, household.id, values, **writing())
        return _shown(household_id)


def _shown(household_id: str) -> tuple[dict[str, Any], dict[str, str]]:
    """Return the home as its schema writes it.

    The ETag goes without a 304: parts change, and evidence ages, while the home's own fields stay.
    """
    record = operations.get_home_record(scheme_session(), household_id, at=now())
    note_shown(household_id, HomeClearance(record.clearances, record.lead_clearances))
    home = record.home
    own = {field.name: getattr(home.household, field.name) for field in fields(HomeDetails)}
    labels = {outlet.id: outlet.label for outlet in home.outlets}
    lead_labels = {lead.id: lead.label for lead in home.leads}
    body = {
        **own,
        "id": household_id,
        "supply": home.supply,
        "circuits": home.circuits,
        "outlets": home.outlets,
        "leads": home.leads,
        "vehicles": home.vehicles,
        "contracts": home.contracts,
        "inspections": record.inspections,
        "rechecks": record.rechecks,
        "clearances": [outlet_shown(outlet, labels) for outlet in record.clearances],
        "lead_clearances": [lead_shown(lead, lead_labels) for lead in record.lead_clearances],
    }
    return body, {"ETag": etag_of(home.household.version)}
