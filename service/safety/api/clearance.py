"""Clearance of a home alone, now or as at a past instant: light enough for pages that only ask "may I charge?"."""

from __future__ import annotations

from dataclasses import fields
from datetime import datetime
from typing import Any

import marshmallow as ma
from flask.views import MethodView

from service.common.errors import Fault, Rejected
from service.infrastructure.http.access import require_visible_household, requires
from service.infrastructure.http.fields import StrictSchema
from service.infrastructure.http.time_fields import Instant
from service.infrastructure.http.transactions import now, scheme_session
from service.safety import operations
from service.safety.api.notes import note_shown
from service.safety.api.routes import blueprint
from service.safety.domain.clearance import OutletClearance
from service.safety.domain.home_pairs import CarPair
from service.safety.domain.lead_clearance import LeadClearance
from service.safety.schemas import LeadClearanceSchema, OutletClearanceSchema, PairSchema


class AsAtQuery(StrictSchema):
    """Now, or an instant of the past."""

    at = Instant(load_default=None, metadata={"description": "A past instant: only what was recorded by then counts"})


class HomeClearanceSchema(StrictSchema):
    """What evidence says of each outlet and lead of a home at an instant, and of each car with them."""

    at = Instant()
    clearances = ma.fields.List(ma.fields.Nested(OutletClearanceSchema))
    lead_clearances = ma.fields.List(ma.fields.Nested(LeadClearanceSchema))
    pairs = ma.fields.List(
        ma.fields.Nested(PairSchema),
        metadata={"description": "Each car with each outlet that may feed it, cars and leads as they are recorded now"},
    )


@blueprint.route("/households/<id:household_id>/clearance")
class ClearanceView(MethodView):
    """What evidence says of one home."""

    @requires("administrator", "member")
    @blueprint.arguments(AsAtQuery, location="query")
    @blueprint.response(200, HomeClearanceSchema)
    @blueprint.alt_response(404, description="No such household")
    def get(self, query: dict[str, Any], household_id: str) -> object:
        """Get the clearance of each outlet and lead, with ``at`` as at a past instant."""
        require_visible_household(household_id)
        at = asked_instant(query["at"])
        evidence = operations.get_home_evidence(scheme_session(), household_id, at=at)
        clearance = evidence.clearance_at(at)
        if query["at"] is None:
            note_shown(household_id, clearance)
        labels = {outlet.id: outlet.label for outlet in evidence.home.outlets}
        lead_labels = {lead.id: lead.label for lead in evidence.home.leads}
        return {
            "at": at,
            "clearances": [outlet_shown(outlet, labels) for outlet in clearance.outlets],
            "lead_clearances": [lead_shown(lead, lead_labels) for lead in clearance.leads],
            "pairs": [_pair_shown(pair) for pair in evidence.pairs(clearance)],
        }


def asked_instant(at: datetime | None) -> datetime:
    """Return the instant asked about, which is now where none is named; raises ``Rejected`` for one to come."""
    if at is not None and at > now():
        raise Rejected(Fault("at", at.isoformat(), "must not lie in the future"))
    return at or now()


def outlet_shown(outlet: OutletClearance, labels: dict[str, str]) -> dict[str, Any]:
    """Return an outlet's answer as its schema writes it."""
    own = {field.name: getattr(outlet, field.name) for field in fields(OutletClearance)}
    return {**own, "outlet_label": labels[outlet.outlet_id], "working": outlet.working.steps}


def lead_shown(lead: LeadClearance, labels: dict[str, str]) -> dict[str, Any]:
    """Return a lead's answer as its schema writes it."""
    own = {field.name: getattr(lead, field.name) for field in fields(LeadClearance)}
    return {**own, "lead_label": labels[lead.lead_id], "working": lead.working.steps}


def _pair_shown(pair: CarPair) -> dict[str, Any]:
    return {
        "vehicle_id": pair.car.id,
        "vehicle_label": pair.car.label,
        "outlet_id": pair.outlet.id,
        "outlet_label": pair.outlet.label,
        "lead_id": pair.lead.id if pair.lead else None,
        "lead_label": pair.lead.label if pair.lead else None,
        "clearance": pair.clearance,
        "drawn_a": pair.drawn_a,
        "allowed_a": pair.allowed_a,
        "set_to_a": pair.set_to_a,
        "words": pair.words,
        "working": pair.steps,
    }
