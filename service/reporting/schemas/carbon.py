"""JSON shapes of what charging stands for in carbon: kilograms outside, grams inside."""

import marshmallow as ma

from service.infrastructure.http.fields import (
    CalendarDate,
    DecimalText,
    KilowattHours,
    QueryNumber,
    ScaledNumber,
    StrictSchema,
    TextMap,
)

text, whole = ma.fields.String, ma.fields.Integer


class Kilograms(ScaledNumber):
    """kg in JSON, g inside."""

    scale, unit = 1000, " kg"


class CarbonQuery(StrictSchema):
    """Which days, and which year's set of factors."""

    from_on = CalendarDate(load_default=None, metadata={"description": "A year before the end if not given"})
    to_on = CalendarDate(load_default=None, metadata={"description": "The day after the last"})
    set_year = QueryNumber(
        load_default=None, minimum=2000, maximum=2100,
        metadata={"description": "One set for all days; else each year's own, or the newest where it has none"},
    )


class CarbonStepSchema(StrictSchema):
    """One step of a working."""

    what = text(required=True)
    inputs = TextMap(required=True)
    rule = text(required=True)
    source = text(required=True)
    result = text(required=True)


class CarbonEnergySchema(StrictSchema):
    """Energy at the wall by how it is known."""

    metered_kwh = KilowattHours(required=True, attribute="metered_wh")
    stated_kwh = KilowattHours(required=True, attribute="stated_wh")
    away_kwh = KilowattHours(required=True, attribute="away_wh")
    estimated_kwh = KilowattHours(required=True, attribute="estimated_wh")
    total_kwh = KilowattHours(required=True, attribute="energy_wh")


class PetrolCarSchema(StrictSchema):
    """A petrol car of one size over the same miles."""

    size = text(required=True)
    emitted_kg = Kilograms(required=True, allow_none=True, attribute="emitted_g")
    saved_kg = Kilograms(
        required=True, allow_none=True, minimum=None, attribute="saved_g",
        metadata={"description": "Less emitted by the electricity; below 0 it is more"},
    )


class CarbonMonthSchema(StrictSchema):
    """One month; null where the book has no factor for it."""

    month_on = CalendarDate(required=True)
    energy_kwh = KilowattHours(required=True, attribute="energy_wh")
    estimated_kwh = KilowattHours(required=True, attribute="estimated_wh")
    miles = DecimalText(required=True, decimals=1, maximum=10**9)
    electricity_kg = Kilograms(required=True, allow_none=True, attribute="electricity_g")
    petrol_kg = Kilograms(
        required=True, allow_none=True, attribute="petrol_g", metadata={"description": "The average petrol car"}
    )


class CarbonSchema(StrictSchema):
    """What the charging of a period stands for, with its working; the sums are of ``months``."""

    from_on = CalendarDate(required=True)
    to_on = CalendarDate(required=True)
    set_years = ma.fields.List(whole(), required=True, metadata={"description": "Sets that the book holds"})
    energy = ma.fields.Nested(CarbonEnergySchema, required=True)
    told_miles = DecimalText(required=True, decimals=1, maximum=10**9)
    estimated_miles = DecimalText(required=True, decimals=1, maximum=10**9)
    electricity_kg = Kilograms(required=True, allow_none=True, attribute="electricity_g")
    petrol_cars = ma.fields.List(ma.fields.Nested(PetrolCarSchema), required=True)
    months = ma.fields.List(ma.fields.Nested(CarbonMonthSchema), required=True)
    planned_kwh = KilowattHours(
        required=True, allow_none=True, attribute="planned_wh",
        metadata={"description": "What the plans in force draw; in no sum, as it is not yet charged"},
    )
    planned_kg = Kilograms(required=True, allow_none=True, attribute="planned_g")
    notes = ma.fields.List(text(), required=True)
    working = ma.fields.List(ma.fields.Nested(CarbonStepSchema), required=True)


class SchemeCarbonSchema(CarbonSchema):
    """The same of the scheme: months that fewer than five homes tell of are in no sum."""

    household_count = whole(required=True)
    told_household_count = whole(required=True, metadata={"description": "Homes that anything is counted of"})
    fewest_households = whole(required=True)
