"""JSON shapes of homes and their contracts; ranges and cross-field rules are the domain's."""

from __future__ import annotations

import marshmallow as ma

from service.common.calendar import Nation
from service.households.domain.equipment import Tenure
from service.households.schemas.equipment import CircuitSchema, LeadSchema, OutletSchema, SupplySchema
from service.households.schemas.shapes import Change
from service.households.schemas.vehicles import VehicleSchema
from service.infrastructure.http.fields import CalendarDate, Choice, Id, LocalTime, StrictSchema, Text, WholeNumber
from service.tariffs.domain.terms import TariffClock

HALF_HOUR_MIN = 30
WINDOWS_MAX = 200
"""Own bound of a body, above what the domain takes: it keeps a hostile list short."""


class MeterWindowSchema(StrictSchema):
    """When this home's meter switches a band on, every day; an end at or before the start is the next day's."""

    band = Text(required=True, max_length=200)
    starts_at = LocalTime(required=True, step_min=HALF_HOUR_MIN, attribute="starts_at_min")
    ends_at = LocalTime(required=True, step_min=HALF_HOUR_MIN, is_end=True, attribute="ends_at_min")


class ContractEntrySchema(StrictSchema):
    """A tariff for a period, and how the home's own meter differs from it."""

    tariff_id = Id(required=True)
    starts_on = CalendarDate(required=True)
    ends_on = CalendarDate(load_default=None, allow_none=True, metadata={"description": "The first day without it"})
    clock = Choice(TariffClock, load_default=None, allow_none=True, metadata={"description": "null: as the tariff"})
    windows = ma.fields.List(
        ma.fields.Nested(MeterWindowSchema),
        load_default=list,
        validate=ma.validate.Length(max=WINDOWS_MAX),
        metadata={"description": "Empty: as the tariff"},
    )
    exit_fee_pence = WholeNumber(
        load_default=None, allow_none=True, metadata={"description": "What leaving earlier costs; null: not known"}
    )
    fixed_until_on = CalendarDate(
        load_default=None, allow_none=True, metadata={"description": "The first day on which leaving is free"}
    )


class ContractChangeSchema(Change, ContractEntrySchema):
    """What can be changed of a contract; windows that are sent take the place of all it had."""


class ContractSchema(ContractEntrySchema):
    """A contract of the home."""

    id = Id(dump_only=True)
    tariff_name = Text(max_length=80, dump_only=True)


class HomeEntrySchema(StrictSchema):
    """Where a home is and on which terms it buys."""

    reference = Text(required=True, max_length=200, metadata={"description": "Unique in the scheme"})
    member_name = Text(required=True, max_length=500)
    address = Text(load_default="", max_length=1000)
    postcode = Text(load_default="", max_length=100)
    zone = Text(load_default="Europe/London", max_length=100, metadata={"description": "IANA time zone"})
    nation = Choice(Nation, required=True)
    region = Text(load_default=None, allow_none=True, max_length=200, metadata={"description": "Distribution region"})
    payment = Text(load_default=None, allow_none=True, max_length=200, metadata={"description": "Payment method"})
    tenure = Choice(Tenure, load_default=Tenure.NOT_KNOWN)
    occupied_since_on = CalendarDate(
        load_default=None,
        allow_none=True,
        metadata={"description": "Other people live there from then on: an earlier inspection is due again"},
    )


class HomeChangeSchema(Change, HomeEntrySchema):
    """What can be changed of a home."""


class HomeSchema(HomeEntrySchema):
    """A home with what stands in it."""

    id = Id(dump_only=True)
    supply = ma.fields.Nested(SupplySchema, allow_none=True, metadata={"description": "null: nothing recorded"})
    circuits = ma.fields.List(ma.fields.Nested(CircuitSchema))
    outlets = ma.fields.List(ma.fields.Nested(OutletSchema))
    leads = ma.fields.List(ma.fields.Nested(LeadSchema))
    vehicles = ma.fields.List(ma.fields.Nested(VehicleSchema))
    contracts = ma.fields.List(ma.fields.Nested(ContractSchema))
