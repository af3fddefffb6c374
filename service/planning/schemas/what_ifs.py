"""JSON shapes of what is changed of a home, of both sides of a comparison, and of what small changes are worth.

Ranges are the domain's. What an administrator sees has totals only: no departure, no time, nothing of the working.
"""

import marshmallow as ma

from service.households.domain.equipment import OutletControl, OutletKind
from service.infrastructure.http.fields import (
    Choice,
    DecimalText,
    Flag,
    Id,
    Instant,
    KilowattHours,
    LocalTime,
    Pence,
    StrictSchema,
    Text,
    WholeNumber,
)
from service.planning.domain.worth_knowing import WorthKind
from service.planning.schemas.plans import PlanStepSchema

DEPARTURES_MAX = 200
"""Own bound of a body, above what the domain takes: it keeps a hostile list short."""

text, whole = ma.fields.String, ma.fields.Integer


class NewDepartureSchema(StrictSchema):
    """A departure of every week, in the home's local time."""

    weekday = WholeNumber(required=True, metadata={"description": "0 is Monday"})
    leaves_at = LocalTime(required=True, attribute="leaves_min")
    returns_at = LocalTime(required=True, attribute="returns_min")
    returns_days_later = WholeNumber(load_default=0)
    miles = DecimalText(required=True, decimals=1, maximum=999_999_999, metadata={"description": "There and back"})


def _departures() -> ma.fields.List:
    return ma.fields.List(
        ma.fields.Nested(NewDepartureSchema), required=True, validate=ma.validate.Length(max=DEPARTURES_MAX)
    )


class NewRoutineSchema(StrictSchema):
    """Another week of one of the home's cars."""

    vehicle_id = Id(required=True)
    departures = _departures()


class SecondCarSchema(StrictSchema):
    """A car that the home does not have, and where it would charge."""

    label = Text(load_default="the second car", max_length=500)
    battery_kwh = KilowattHours(required=True, attribute="battery_wh", metadata={"description": "Usable"})
    miles_per_kwh = DecimalText(required=True, decimals=2, maximum=999, metadata={"description": "From the battery"})
    onboard_limit_a = WholeNumber(required=True, metadata={"description": "A per phase"})
    onboard_phases = WholeNumber(load_default=1)
    ceiling_percent = WholeNumber(load_default=80)
    reserve_percent = WholeNumber(load_default=20)
    outlet_id = Id(load_default=None, allow_none=True)
    lead_id = Id(load_default=None, allow_none=True)
    departures = _departures()


class OtherTariffSchema(StrictSchema):
    """Another tariff of the scheme from today on."""

    tariff_id = Id(required=True)


class OtherOutletSchema(StrictSchema):
    """What one of the home's outlets is changed into; planned as if it were cleared, which it is not."""

    outlet_id = Id(required=True)
    kind = Choice(OutletKind, required=True)
    limit_a = WholeNumber(required=True, metadata={"description": "A per phase, for hours on end"})
    phases = WholeNumber(load_default=1)
    control = Choice(OutletControl, load_default=OutletControl.NOT_KNOWN)


class OtherSupplySchema(StrictSchema):
    """Another fuse."""

    fuse_a = WholeNumber(required=True, metadata={"description": "A per phase"})
    phases = WholeNumber(load_default=1)


class OtherLimitsSchema(StrictSchema):
    """Another everyday ceiling and reserve of one of the home's cars."""

    vehicle_id = Id(required=True)
    ceiling_percent = WholeNumber(required=True)
    reserve_percent = WholeNumber(required=True)


class ChangesSchema(StrictSchema):
    """What is changed, all of it at once; at least one thing."""

    routine = ma.fields.Nested(NewRoutineSchema, load_default=None, allow_none=True)
    second_car = ma.fields.Nested(SecondCarSchema, load_default=None, allow_none=True)
    tariff = ma.fields.Nested(OtherTariffSchema, load_default=None, allow_none=True)
    outlet = ma.fields.Nested(OtherOutletSchema, load_default=None, allow_none=True)
    supply = ma.fields.Nested(OtherSupplySchema, load_default=None, allow_none=True)
    limits = ma.fields.Nested(OtherLimitsSchema, load_default=None, allow_none=True)


class WhatIfEntrySchema(StrictSchema):
    """What to compare, and what to call it."""

    label = Text(required=True, max_length=500)
    changes = ma.fields.Nested(ChangesSchema, required=True)


class SideTotalsSchema(StrictSchema):
    """What the seven days come to; the cost is null where a price is not known."""

    cost_pence = Pence(required=True, allow_none=True, attribute="cost_up")
    energy_kwh = KilowattHours(required=True, attribute="energy_wh")
    short_kwh = KilowattHours(required=True, attribute="short_wh")


class SideSchema(SideTotalsSchema):
    """The same, with how many journeys would leave short and in how many nights anything charges."""

    short_departures = whole(required=True)
    night_count = whole(required=True)


class YearlySchema(StrictSchema):
    """For 52 weeks like this one: what is saved, below nought what it costs more, and how much shortfall is closed."""

    saved_pence = Pence(required=True, allow_none=True, attribute="saved_up")
    closed_kwh = KilowattHours(required=True, attribute="closed_wh", minimum=None)
    as_if = text(required=True)


class WhatIfResultSchema(StrictSchema):
    """Both sides of a comparison, what was taken for granted, and the working."""

    starts_at = text(required=True, metadata={"format": "date-time"})
    ends_at = text(required=True, metadata={"format": "date-time"})
    now = ma.fields.Nested(SideSchema, required=True)
    changed = ma.fields.Nested(SideSchema, required=True)
    yearly = ma.fields.Nested(YearlySchema, required=True)
    notes = ma.fields.List(text(), required=True)
    working = ma.fields.List(ma.fields.Nested(PlanStepSchema), required=True)


class WhatIfSchema(StrictSchema):
    """A comparison as it is kept: its figures are those of the week in which it was made."""

    id = text(required=True)
    label = text(required=True)
    created_at = Instant(required=True)
    is_shared = Flag(required=True)
    changes = ma.fields.Nested(ChangesSchema, required=True)
    result = ma.fields.Nested(WhatIfResultSchema, required=True)


class WhatIfListSchema(StrictSchema):
    """A home's comparisons, newest first, and how many it may keep."""

    items = ma.fields.List(ma.fields.Nested(WhatIfSchema), required=True)
    most = whole(required=True)


class SharingSchema(StrictSchema):
    """Whether the scheme's administrators see a comparison's totals."""

    is_shared = Flag(required=True)


class SharedResultSchema(StrictSchema):
    """Totals alone."""

    now = ma.fields.Nested(SideTotalsSchema, required=True)
    changed = ma.fields.Nested(SideTotalsSchema, required=True)
    yearly = ma.fields.Nested(YearlySchema, required=True)


class SharedWhatIfSchema(StrictSchema):
    """A comparison as its member shared it."""

    id = text(required=True)
    label = text(required=True)
    created_at = Instant(required=True)
    result = ma.fields.Nested(SharedResultSchema, required=True)


class SharedWhatIfListSchema(StrictSchema):
    """What a home's members shared, newest first."""

    items = ma.fields.List(ma.fields.Nested(SharedWhatIfSchema), required=True)


class TariffChoiceSchema(StrictSchema):
    """A tariff that a home could be compared with."""

    id = text(required=True)
    name = text(required=True)


class TariffChoiceListSchema(StrictSchema):
    """The scheme's tariffs with prices, by name."""

    items = ma.fields.List(ma.fields.Nested(TariffChoiceSchema), required=True)


class WorthItemSchema(StrictSchema):
    """One small change and what it is worth; before and after are amperes or per cent, null for an hour more."""

    kind = Choice(WorthKind, required=True)
    label = text(required=True)
    before = whole(required=True, allow_none=True)
    after = whole(required=True, allow_none=True)
    saved_pence = Pence(required=True, allow_none=True, attribute="saved_up")
    closed_kwh = KilowattHours(required=True, attribute="closed_wh", minimum=None)
    working = ma.fields.List(ma.fields.Nested(PlanStepSchema), required=True)


class WorthSchema(StrictSchema):
    """What small changes are worth a year; ``as_if`` says what kind of year."""

    as_if = text(required=True)
    items = ma.fields.List(ma.fields.Nested(WorthItemSchema), required=True)
