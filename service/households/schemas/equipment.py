"""JSON shapes of supply, circuits, outlets and leads; ranges and cross-field rules are the domain's."""

from __future__ import annotations

import marshmallow as ma

from service.households.domain.equipment import (
    CableKind,
    CircuitRunKind,
    DeviceKind,
    Earthing,
    LargeLoadKind,
    LeadKind,
    OutletControl,
    OutletKind,
    Place,
    RcdType,
    YesNo,
)
from service.households.domain.equipment_details import METHODS
from service.households.schemas.shapes import Change, DecimalNumber
from service.infrastructure.http.fields import CalendarDate, Choice, Flag, Id, Instant, StrictSchema, Text, WholeNumber

RUNS_MAX = 100
"""Own bound of a body, above what the domain takes: it keeps a hostile list short."""


class LargeLoadSchema(StrictSchema):
    """A large load of the home, or a whole lighting or socket circuit."""

    kind = Choice(LargeLoadKind, required=True)
    power_w = WholeNumber(
        load_default=None, allow_none=True, metadata={"description": "null: not known; 0: there is none"}
    )


class SupplySchema(StrictSchema):
    """The service cut-out."""

    fuse_a = WholeNumber(load_default=None, allow_none=True, metadata={"description": "null: not known"})
    phases = WholeNumber(load_default=1)
    earthing = Choice(Earthing, load_default=Earthing.NOT_KNOWN)
    looped = Choice(YesNo, load_default=YesNo.NOT_KNOWN)
    other_loads = Text(load_default="", max_length=1000)
    loads = ma.fields.List(  # type: ignore[assignment]
        ma.fields.Nested(LargeLoadSchema),
        load_default=list,
        validate=ma.validate.Length(max=RUNS_MAX),
        metadata={"description": "A kind that is not listed is not known"},
    )


class CircuitRunEntrySchema(StrictSchema):
    """One run of a circuit."""

    kind = Choice(CircuitRunKind, required=True)
    device = Text(load_default="", max_length=500)
    cable = Text(load_default="", max_length=500)
    method = Text(load_default="", max_length=500)
    length_m = DecimalNumber(decimals=1, load_default=None, allow_none=True)
    device_kind = Choice(DeviceKind, load_default=DeviceKind.NOT_KNOWN)
    device_a = WholeNumber(load_default=None, allow_none=True)
    rcd_type = Choice(RcdType, load_default=RcdType.NOT_KNOWN)
    rcd_ma = WholeNumber(load_default=None, allow_none=True)
    cable_kind = Choice(CableKind, load_default=CableKind.NOT_KNOWN)
    cable_mm2 = DecimalNumber(decimals=2, load_default=None, allow_none=True)
    installed = Choice(
        [*METHODS, ""], load_default="", metadata={"description": "Reference method of the table; empty: not known"}
    )
    ambient_c = WholeNumber(load_default=None, allow_none=True)
    grouped_circuits = WholeNumber(load_default=None, allow_none=True)
    insulation_mm = WholeNumber(load_default=None, allow_none=True)


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
    car_place = Choice(Place, load_default=Place.NOT_KNOWN, metadata={"description": "Where the car stands"})
    ip_code = Text(load_default="", max_length=100)
    ev_mark = Choice(YesNo, load_default=YesNo.NOT_KNOWN)
    in_sun = Choice(YesNo, load_default=YesNo.NOT_KNOWN)
    nights_a_week = WholeNumber(load_default=None, allow_none=True)
    control = Choice(
        OutletControl,
        load_default=OutletControl.NOT_KNOWN,
        metadata={"description": "timer: one start and stop a night; schedule: any half-hours"},
    )
    start_delay_s = WholeNumber(
        load_default=None, allow_none=True, metadata={"description": "How late it may start by itself; null: not known"}
    )


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
    settings_a = ma.fields.List(
        WholeNumber(),
        load_default=list,
        validate=ma.validate.Length(max=RUNS_MAX),
        metadata={"description": "What it can be set to; empty: nothing else, or not known"},
    )
    has_plug_sensor = Choice(YesNo, load_default=YesNo.NOT_KNOWN)
    length_m = DecimalNumber(decimals=1, load_default=None, allow_none=True)


class LeadChangeSchema(Change, LeadTraitsSchema):
    """What can be changed of a lead; another kind of lead is another lead."""


class LeadEntrySchema(LeadTraitsSchema):
    """A portable lead or loose cable."""

    kind = Choice(LeadKind, required=True)


class LeadSchema(LeadEntrySchema):
    """A recorded lead; ``setting_shown_a`` is what a photo of its setting showed, null without one."""

    id = Id(dump_only=True)
    setting_shown_a = WholeNumber(dump_only=True, allow_none=True)
    setting_shown_at = Instant(dump_only=True, allow_none=True)
