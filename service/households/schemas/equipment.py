"""JSON shapes of supply, circuits, outlets and leads; ranges and cross-field rules are the domain's."""

from __future__ import annotations

import marshmallow as ma

from service.households.domain.equipment import CircuitRunKind, Earthing, LeadKind, OutletKind, Place, YesNo
from service.households.schemas.shapes import Change, DecimalNumber
from service.infrastructure.http.fields import CalendarDate, Choice, Flag, Id, StrictSchema, Text, WholeNumber

RUNS_MAX = 100
"""Own bound of a body, above what the domain takes: it keeps a hostile list short."""


class SupplySchema(StrictSchema):
    """The service cut-out."""

    fuse_a = WholeNumber(load_default=None, allow_none=True, metadata={"description": "null: not known"})
    phases = WholeNumber(load_default=1)
    earthing = Choice(Earthing, load_default=Earthing.NOT_KNOWN)
    looped = Choice(YesNo, load_default=YesNo.NOT_KNOWN)
    other_loads = Text(load_default="", max_length=1000)


class CircuitRunEntrySchema(StrictSchema):
    """One run of a circuit."""

    kind = Choice(CircuitRunKind, required=True)
    device = Text(load_default="", max_length=500)
    cable = Text(load_default="", max_length=500)
    method = Text(load_default="", max_length=500)
    length_m = DecimalNumber(decimals=1, load_default=None, allow_none=True)


class CircuitRunSchema(CircuitRunEntrySchema):
    """One run of a circuit and its place in it."""

    position = WholeNumber(dump_only=True)


class CircuitEntrySchema(StrictSchema):
    """The way from the origin to an outlet."""

    label = Text(required=True, max_length=500)
    runs = ma.fields.List(
        ma.fields.Nested(CircuitRunEntrySchema),
        required=True,
        validate=ma.validate.Length(max=RUNS_MAX),
        metadata={"description": "In order from the origin"},
    )


class CircuitSchema(StrictSchema):
    """A recorded circuit."""

    id = Id(dump_only=True)
    label = Text(max_length=80)
    runs = ma.fields.List(ma.fields.Nested(CircuitRunSchema))


class IdentitySchema(StrictSchema):
    """What tells one thing from another of its kind."""

    maker_model = Text(load_default="", max_length=500)
    serial_or_batch = Text(load_default="", max_length=500)
    supplied_by = Text(load_default="", max_length=500)
    since_on = CalendarDate(load_default=None, allow_none=True)


class OutletTraitsSchema(IdentitySchema):
    """What is said of an outlet, its kind apart."""

    label = Text(required=True, max_length=500)
    is_tethered = Flag(load_default=None, allow_none=True, metadata={"description": "Of a charging point"})
    place = Choice(Place, load_default=Place.NOT_KNOWN)
    limit_a = WholeNumber(required=True, metadata={"description": "For hours on end, A per phase"})
    phases = WholeNumber(load_default=1)
    circuit_id = Id(load_default=None, allow_none=True)


class OutletChangeSchema(Change, OutletTraitsSchema):
    """What can be changed of an outlet; another kind of outlet is another outlet."""


class OutletEntrySchema(OutletTraitsSchema):
    """Where a vehicle is fed."""

    kind = Choice(OutletKind, required=True)


class OutletSchema(OutletEntrySchema):
    """A recorded outlet."""

    id = Id(dump_only=True)
    ordinal = WholeNumber(dump_only=True)


class LeadTraitsSchema(IdentitySchema):
    """What is said of a lead, its kind apart."""

    label = Text(required=True, max_length=500)
    rated_a = WholeNumber(required=True)
    set_a = WholeNumber(required=True, metadata={"description": "What it is set to now; plans reckon with this"})


class LeadChangeSchema(Change, LeadTraitsSchema):
    """What can be changed of a lead; another kind of lead is another lead."""


class LeadEntrySchema(LeadTraitsSchema):
    """A portable lead or loose cable."""

    kind = Choice(LeadKind, required=True)


class LeadSchema(LeadEntrySchema):
    """A recorded lead."""

    id = Id(dump_only=True)
