"""JSON shapes of a home's electricity meter; ranges are the domain's."""

from __future__ import annotations

import marshmallow as ma

from service.households.domain.equipment import MeterKind
from service.infrastructure.http.fields import CalendarDate, Choice, DecimalText, Id, StrictSchema, Text, WholeNumber


class MeterSchema(StrictSchema):
    """Which meter a home has, and what the house uses."""

    meter_kind = Choice(MeterKind, required=True)
    yearly_kwh = WholeNumber(
        required=True, allow_none=True, metadata={"description": "The house without its cars; null: not known"}
    )


class MeterEntrySchema(StrictSchema):
    """What a register stood at on a day."""

    read_on = CalendarDate(required=True)
    kwh = DecimalText(required=True, decimals=1, maximum=999_999_999_999)
    register = Text(load_default="", max_length=200, metadata={"description": "Empty where the meter has one only"})


class MeterReadingSchema(MeterEntrySchema):
    """A reading of the home's meter."""

    id = Id(dump_only=True)


class MeterReadingListSchema(StrictSchema):
    """The readings of the home's meter, the newest day first."""

    items = ma.fields.List(ma.fields.Nested(MeterReadingSchema), required=True)
