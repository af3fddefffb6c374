"""JSON shapes of cars and what is read off them; ranges are the domain's."""

from __future__ import annotations

import marshmallow as ma

from service.households.domain.equipment import PortPosition
from service.households.schemas.shapes import Change, DecimalNumber
from service.infrastructure.http.fields import Choice, Id, Instant, KilowattHours, StrictSchema, Text, WholeNumber

IDS_MAX = 20
"""Own bound of a body, above what the domain takes: it keeps a hostile list short."""


class VehicleEntrySchema(StrictSchema):
    """A car, and what it charges with."""

    label = Text(required=True, max_length=500)
    battery_kwh = KilowattHours(required=True, attribute="battery_wh", metadata={"description": "Usable"})
    miles_per_kwh = DecimalNumber(required=True, decimals=2, metadata={"description": "Per kWh from the battery"})
    onboard_limit_a = WholeNumber(required=True, metadata={"description": "A per phase"})
    onboard_phases = WholeNumber(load_default=1)
    ceiling_percent = WholeNumber(load_default=80, metadata={"description": "Everyday charging stops here"})
    reserve_percent = WholeNumber(load_default=20, metadata={"description": "What a journey should leave"})
    outlet_id = Id(load_default=None, allow_none=True)
    lead_id = Id(load_default=None, allow_none=True)
    other_outlet_ids = ma.fields.List(
        Id(),
        load_default=list,
        validate=ma.validate.Length(max=IDS_MAX),
        metadata={"description": "Outlets that could feed it besides its usual one"},
    )
    taper_from_percent = WholeNumber(
        load_default=None, allow_none=True, metadata={"description": "From here on it draws less; null: not known"}
    )
    standby_w = WholeNumber(
        load_default=0, metadata={"description": "What it takes from its battery while it stands, on average"}
    )
    port = Choice(
        PortPosition,
        load_default=PortPosition.NOT_KNOWN,
        metadata={"description": "Where its charging port is, as seen from the driver's seat"},
    )


class VehicleChangeSchema(Change, VehicleEntrySchema):
    """What can be changed of a car."""


class VehicleSchema(VehicleEntrySchema):
    """A car of the home."""

    id = Id(dump_only=True)
    ordinal = WholeNumber(dump_only=True, metadata={"description": "Who comes first at a shared outlet"})


class VehicleListSchema(StrictSchema):
    """The cars of a home in their order."""

    items = ma.fields.List(ma.fields.Nested(VehicleSchema))


class ChargeEntrySchema(StrictSchema):
    """A state of charge as the car shows it now."""

    percent = WholeNumber(required=True)


class ChargeSchema(StrictSchema):
    """The last state of charge that somebody read off the car."""

    percent = WholeNumber(allow_none=True)
    read_at = Instant(allow_none=True)
