"""JSON shape of what was charged by local day, against prices and plans."""

from __future__ import annotations

import marshmallow as ma

from service.infrastructure.http.fields import (
    CalendarDate,
    Choice,
    Flag,
    Id,
    KilowattHours,
    Pence,
    StrictSchema,
    TextMap,
    WholeNumber,
)

_DEARER = {"description": "More than the cheapest half-hours of the same time plugged in; null: a price is missing"}


class ChargedQuery(StrictSchema):
    """Which local days, both included; the last fortnight where none are named."""

    from_on = CalendarDate(load_default=None)
    to_on = CalendarDate(load_default=None)


class ChargedDaySchema(StrictSchema):
    """One local day; energy at the wall."""

    on = CalendarDate(required=True)
    home_kwh = KilowattHours(attribute="home_wh")
    elsewhere_kwh = KilowattHours(attribute="elsewhere_wh")
    paid_pence = WholeNumber(metadata={"description": "For charging elsewhere that began on this day"})
    unpaid_count = WholeNumber(metadata={"description": "Charges elsewhere whose price nobody recorded"})
    cost_pence = Pence(attribute="cost_up", allow_none=True, metadata={"description": "At home; null: not all priced"})
    unpriced_kwh = KilowattHours(attribute="unpriced_wh")
    outside_cheap_kwh = KilowattHours(attribute="outside_cheap_wh")
    dearer_pence = Pence(attribute="dearer_up", allow_none=True, metadata=_DEARER)
    planned_kwh = KilowattHours(
        attribute="planned_wh", allow_none=True, metadata={"description": "null: no plan is kept of the whole day"}
    )
    estimate_kwh = KilowattHours(
        attribute="estimate_wh", metadata={"description": "From miles, in a week without a record; in no total above"}
    )
    is_spread = Flag(metadata={"description": "A record without half-hours was spread evenly over its time"})


class ChargedTotalsSchema(StrictSchema):
    """All days together."""

    home_kwh = KilowattHours(attribute="home_wh")
    elsewhere_kwh = KilowattHours(attribute="elsewhere_wh")
    paid_pence = WholeNumber()
    unpaid_count = WholeNumber()
    cost_pence = Pence(attribute="cost_up", metadata={"description": "Of energy with a price"})
    unpriced_kwh = KilowattHours(attribute="unpriced_wh")
    outside_cheap_kwh = KilowattHours(attribute="outside_cheap_wh")
    dearer_pence = Pence(attribute="dearer_up", metadata={"description": "Of stays that could be compared"})
    uncompared_kwh = KilowattHours(attribute="uncompared_wh")
    estimate_kwh = KilowattHours(attribute="estimate_wh")
    planned_kwh = KilowattHours(attribute="planned_wh", metadata={"description": "On days with a plan kept"})
    planned_days = WholeNumber()
    home_on_planned_days_kwh = KilowattHours(attribute="home_on_planned_days_wh")


class ChargedEstimateSchema(StrictSchema):
    """A day's estimate for one car."""

    on = CalendarDate()
    vehicle_id = Id()
    energy_kwh = KilowattHours(attribute="energy_wh")
    basis = Choice(("diary", "odometer"))


class ChargedStepSchema(StrictSchema):
    """One step of the working."""

    what = ma.fields.String(required=True)
    inputs = TextMap(required=True)
    rule = ma.fields.String(required=True)
    source = ma.fields.String(required=True)
    result = ma.fields.String(required=True)


class ChargedSchema(StrictSchema):
    """What was charged, with its working."""

    days = ma.fields.List(ma.fields.Nested(ChargedDaySchema))
    totals = ma.fields.Nested(ChargedTotalsSchema)
    estimates = ma.fields.List(ma.fields.Nested(ChargedEstimateSchema))
    notes = ma.fields.List(ma.fields.String())
    working = ma.fields.List(ma.fields.Nested(ChargedStepSchema), attribute="steps")
