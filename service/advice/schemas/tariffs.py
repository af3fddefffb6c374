"""JSON shapes of a home's own use and of the scheme's tariffs ranked for it; nothing of when its cars leave."""

from __future__ import annotations

import marshmallow as ma

from service.advice.domain.house_use import UseSource
from service.advice.domain.petrol import SIZES
from service.advice.domain.tariff_firmness import Firmness, FlipInput
from service.households.domain.equipment import MeterKind
from service.infrastructure.http.fields import (
    CalendarDate,
    Choice,
    DecimalText,
    Flag,
    Id,
    KilowattHours,
    Pence,
    Percent,
    StrictSchema,
    TextMap,
    WholeNumber,
)

text = ma.fields.String
_MONEY = {"description": "Whole pence, VAT included, each rounded once"}


def _pence(*, allow_none: bool = False, description: str = "") -> ma.fields.Integer:
    metadata = {"description": description} if description else _MONEY
    return ma.fields.Integer(required=True, allow_none=allow_none, metadata=metadata)


class TariffStepSchema(StrictSchema):
    """One step of the working."""

    what = text(required=True)
    inputs = TextMap(required=True)
    rule = text(required=True)
    source = text(required=True)
    result = text(required=True)


def _steps() -> ma.fields.List:
    return ma.fields.List(ma.fields.Nested(TariffStepSchema), required=True)


def _texts() -> ma.fields.List:
    return ma.fields.List(text(), required=True)


class HouseUseSchema(StrictSchema):
    """What the house uses in the coming year without its cars, and how that is known."""

    yearly_kwh = KilowattHours(required=True, attribute="yearly_wh")
    source = Choice(UseSource, required=True)
    working = _steps()


class TariffQuery(StrictSchema):
    """Which petrol car to compare with."""

    petrol_size = Choice(
        SIZES, load_default="1401_to_2000", attribute="size", metadata={"description": "Engine [cc] of a dated rate"}
    )
    petrol_pence_per_litre = DecimalText(load_default=None, decimals=2, maximum=9999, attribute="pence_per_litre")
    petrol_miles_per_gallon = DecimalText(load_default=None, decimals=1, maximum=9999, attribute="miles_per_gallon")


class BandUseSchema(StrictSchema):
    """What a year takes in one band."""

    name = text(required=True)
    energy_kwh = KilowattHours(required=True, attribute="energy_wh")
    cost_pence = _pence()


class BreakEvenSchema(StrictSchema):
    """The share of use in the cheap hours at which it costs what a flat tariff does; null: no share does it."""

    against = text(required=True)
    share_percent = Percent(required=True, allow_none=True, attribute="share_permille")
    own_share_percent = Percent(required=True, attribute="own_share_permille")


class RankedTariffSchema(StrictSchema):
    """A tariff in its place."""

    rank = WholeNumber(required=True)
    tariff_id = Id(required=True)
    name = text(required=True)
    is_present = Flag(required=True)
    is_estimate = Flag(required=True, metadata={"description": "Means of half-hourly prices stand for the year"})
    yearly_pence = _pence()
    house_pence = _pence()
    car_pence = _pence()
    standing_pence = _pence()
    vat_pence = _pence(description="In the yearly sum, not beside it")
    car_kwh = KilowattHours(required=True, attribute="car_wh")
    pence_per_mile = Pence(required=True, allow_none=True, attribute="up_per_mile")
    difference_pence = _pence(allow_none=True, description="To the present tariff; below 0: it is cheaper")
    leaving_pence = _pence(allow_none=True, description="Once, for leaving the present contract; null: not known")
    year_one_pence = _pence(allow_none=True, description="The year and what leaving costs; null: not known")
    bands = ma.fields.List(ma.fields.Nested(BandUseSchema), required=True)
    reasons = _texts()
    questions = _texts()
    break_even = ma.fields.Nested(BreakEvenSchema, required=True, allow_none=True)
    working = _steps()


class LeftOutSchema(StrictSchema):
    """A tariff that is not ranked, and why."""

    tariff_id = Id(required=True)
    name = text(required=True)
    reasons = _texts()


class FlipSchema(StrictSchema):
    """Where an input stands, and where first and second place would swap; kWh, miles, or % of use."""

    what = Choice(FlipInput, required=True)
    of = text(required=True, metadata={"description": "The tariff whose cheap hours are meant; empty: none"})
    value = DecimalText(required=True, decimals=1, maximum=10**9)
    flips_at = DecimalText(required=True, allow_none=True, decimals=1, maximum=10**12)
    is_near = Flag(required=True, metadata={"description": "It could well happen"})


class FirmnessSchema(StrictSchema):
    """How firm the first place is."""

    verdict = Choice(Firmness, required=True)
    between = _texts()
    difference_pence = _pence(allow_none=True, description="A year, between first and second")
    flips = ma.fields.List(ma.fields.Nested(FlipSchema), required=True)
    reasons = _texts()
    rule = text(required=True)


class PetrolSchema(StrictSchema):
    """What a mile costs in petrol."""

    pence_per_mile = Pence(required=True, allow_none=True, attribute="up_per_mile")
    is_current = Flag(required=True, metadata={"description": "false: no figure for today is known"})
    working = _steps()


class TariffComparisonSchema(StrictSchema):
    """The scheme's tariffs ranked for a home by its whole year."""

    starts_on = CalendarDate(required=True)
    ends_on = CalendarDate(required=True, metadata={"description": "The first day after the year"})
    meter_kind = Choice(MeterKind, required=True)
    region = text(required=True, allow_none=True)
    payment = text(required=True, allow_none=True)
    house_use = ma.fields.Nested(HouseUseSchema, required=True)
    car_kwh_a_year = KilowattHours(required=True, attribute="car_wh")
    car_miles_a_year = WholeNumber(required=True)
    petrol = ma.fields.Nested(PetrolSchema, required=True)
    items = ma.fields.List(ma.fields.Nested(RankedTariffSchema), required=True)
    left_out = ma.fields.List(ma.fields.Nested(LeftOutSchema), required=True)
    firmness = ma.fields.Nested(FirmnessSchema, required=True)
    leaving = text(required=True, metadata={"description": "What leaving the present contract costs, in words"})
    notes = _texts()
