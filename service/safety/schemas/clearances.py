"""JSON shapes of what evidence says of each outlet and lead, with its working."""

from __future__ import annotations

import marshmallow as ma

from service.infrastructure.http.fields import Choice, Id, Instant, StrictSchema, Text, TextMap, WholeNumber
from service.safety.domain.clearance import Clearance
from service.safety.domain.needs import Need


class WorkingStepSchema(StrictSchema):
    """One step behind an answer."""

    what = Text(max_length=200)
    inputs = TextMap()
    rule = Text(max_length=500)
    source = Text(max_length=2000)
    result = Text(max_length=500)


class OutletClearanceSchema(StrictSchema):
    """Whether a car may charge from an outlet now, and why."""

    outlet_id = Id()
    outlet_label = Text(max_length=80)
    clearance = Choice(Clearance)
    limit_a = WholeNumber(allow_none=True)
    valid_until = Instant(allow_none=True)
    evidence = Text(max_length=4000)
    missing = ma.fields.List(ma.fields.String())
    needs = ma.fields.List(Choice(Need), metadata={"description": "The kinds of what is missing"})
    next_step = Text(max_length=500)
    working = ma.fields.List(ma.fields.Nested(WorkingStepSchema))


class PairSchema(StrictSchema):
    """A car with the lead and the outlet it charges with: what it draws, what may flow there, and the answer."""

    vehicle_id = Id()
    vehicle_label = Text(max_length=80)
    outlet_id = Id()
    outlet_label = Text(max_length=80)
    lead_id = Id(allow_none=True, metadata={"description": "null: the outlet has its own cable, or none is recorded"})
    lead_label = Text(max_length=80, allow_none=True)
    clearance = Choice(Clearance)
    drawn_a = WholeNumber(
        allow_none=True, metadata={"description": "What the car would draw as set now, per phase; null: not known"}
    )
    allowed_a = WholeNumber(
        allow_none=True, metadata={"description": "What may flow there for hours, per phase; null: no charging"}
    )
    set_to_a = WholeNumber(allow_none=True, metadata={"description": "The setting of the lead that would do"})
    words = Text(max_length=500)
    working = ma.fields.List(ma.fields.Nested(WorkingStepSchema))


class LeadClearanceSchema(StrictSchema):
    """Whether a car may charge with a lead now, and why."""

    lead_id = Id()
    lead_label = Text(max_length=80)
    clearance = Choice(Clearance)
    limit_a = WholeNumber(allow_none=True)
    valid_until = Instant(allow_none=True)
    evidence = Text(max_length=4000)
    missing = ma.fields.List(ma.fields.String())
    needs = ma.fields.List(Choice(Need), metadata={"description": "The kinds of what is missing"})
    next_step = Text(max_length=500)
    working = ma.fields.List(ma.fields.Nested(WorkingStepSchema))
