"""JSON shapes of homes and their parts; ranges and cross-field rules are the domain's.

An entry schema is what a person sends to create, a change schema what they send to change some of it.
"""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Any

import marshmallow as ma

from service.common.calendar import Nation
from service.households.domain.equipment import CircuitRunKind, Earthing, LeadKind, OutletKind, Place, YesNo
from service.infrastructure.http.fields import (
    GREATEST_INTEGER,
    CalendarDate,
    Choice,
    DecimalText,
    Flag,
    Id,
    Instant,
    KilowattHours,
    LocalTime,
    StrictSchema,
    Text,
    WholeNumber,
)
from service.tariffs.domain.terms import TariffClock

HALF_HOUR_MIN = 30
DEPARTURES_MAX, RUNS_MAX, WINDOWS_MAX = 200, 100, 200
"""Own bounds of a body, above what the domain takes: they keep a hostile list short."""


class DecimalNumber(ma.fields.Field):
    """A JSON number held as ``Decimal``, exactly as it was written."""

    def __init__(self, *, decimals: int, **options: Any) -> None:
        metadata = {"type": "number", "multipleOf": float(Decimal(1).scaleb(-decimals)), **options.pop("metadata", {})}
        super().__init__(metadata=metadata, **options)
        self._plain = re.compile(rf"-?[0-9]{{1,9}}(\.[0-9]{{1,{decimals}}})?")
        self._decimals = decimals

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> Decimal:
        if isinstance(value, bool) or not isinstance(value, int | float) or abs(value) > GREATEST_INTEGER:
            raise ma.ValidationError("Must be a number.")
        text = repr(value).removesuffix(".0")
        if not self._plain.fullmatch(text):
            raise ma.ValidationError(f"Must be a number with at most {self._decimals} decimals.")
        return Decimal(text)

    def _serialize(self, value: Any, attr: Any, obj: Any, **kwargs: Any) -> Any:
        return None if value is None else self.write(value)

    @staticmethod
    def write(value: Decimal) -> float:
        """Return a JSON number; whole ones without a fraction."""
        return int(value) if value == int(value) else float(value)


class Change:
    """Makes an entry schema one of changes: fields of its own may be left out, what is nested is sent whole."""

    _declared_fields: dict[str, ma.fields.Field[Any]]

    def __init__(self, **options: Any) -> None:
        super().__init__(**{"partial": tuple(self._declared_fields), **options})  # type: ignore[call-arg]


def _miles() -> DecimalText:
    return DecimalText(required=True, decimals=1, maximum=999_999_999, metadata={"description": "There and back"})


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


class HomeChangeSchema(Change, HomeEntrySchema):
    """What can be changed of a home."""


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


class DepartureSchema(StrictSchema):
    """A departure of every week, in the home's local time.

    Where a clock change skips the hour of leaving, the car leaves an hour later on that day.
    """

    weekday = WholeNumber(required=True, metadata={"description": "0 is Monday"})
    leaves_at = LocalTime(required=True, attribute="leaves_min")
    returns_at = LocalTime(required=True, attribute="returns_min")
    returns_days_later = WholeNumber(load_default=0)
    miles = _miles()


class RoutineSchema(StrictSchema):
    """A car's whole week."""

    departures = ma.fields.List(
        ma.fields.Nested(DepartureSchema), required=True, validate=ma.validate.Length(max=DEPARTURES_MAX)
    )


class JourneyEntrySchema(StrictSchema):
    """A dated departure and return."""

    leaves_at = Instant(required=True)
    returns_at = Instant(required=True)
    miles = _miles()
    is_important = Flag(load_default=False)
    replaces_routine = Flag(load_default=True, metadata={"description": "Takes the place of the routine of its days"})
    note = Text(load_default="", max_length=1000)


class JourneyChangeSchema(Change, JourneyEntrySchema):
    """What can be changed of a journey."""


class JourneySchema(JourneyEntrySchema):
    """A journey of a car."""

    id = Id(dump_only=True)


class JourneyListSchema(StrictSchema):
    """A car's journeys that are not over, in order."""

    items = ma.fields.List(ma.fields.Nested(JourneySchema))


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


class ContractChangeSchema(Change, ContractEntrySchema):
    """What can be changed of a contract; windows that are sent take the place of all it had."""


class ContractSchema(ContractEntrySchema):
    """A contract of the home."""

    id = Id(dump_only=True)
    tariff_name = Text(max_length=80, dump_only=True)


class HomeSchema(HomeEntrySchema):
    """A home with what stands in it."""

    id = Id(dump_only=True)
    supply = ma.fields.Nested(SupplySchema, allow_none=True, metadata={"description": "null: nothing recorded"})
    circuits = ma.fields.List(ma.fields.Nested(CircuitSchema))
    outlets = ma.fields.List(ma.fields.Nested(OutletSchema))
    leads = ma.fields.List(ma.fields.Nested(LeadSchema))
    vehicles = ma.fields.List(ma.fields.Nested(VehicleSchema))
    contracts = ma.fields.List(ma.fields.Nested(ContractSchema))
