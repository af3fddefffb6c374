"""JSON shapes of a home's habits and of a car's diary; ranges are the domain's."""

from __future__ import annotations

import marshmallow as ma

from service.infrastructure.http.fields import CalendarDate, DecimalText, Id, LocalTime, StrictSchema, WholeNumber

TIMES_MAX, DAYS_MAX = 20, 1000
"""Own bounds of a body, above what the domain takes: they keep a hostile list short."""


class HabitsSchema(StrictSchema):
    """What the people of a home do and like, in the home's local time."""

    swap_times = ma.fields.List(
        LocalTime(),
        required=True,
        attribute="swap_times_min",
        validate=ma.validate.Length(max=TIMES_MAX),
        metadata={"description": "When somebody is up to swap cars at an outlet"},
    )
    need_quantile_permille = WholeNumber(
        required=True, metadata={"description": "How many days in a thousand a charge is to cover, by the diary"}
    )
    yearly_kwh = WholeNumber(
        required=True, allow_none=True, metadata={"description": "The house without its cars; null: not known"}
    )
    quiet_from = LocalTime(required=True, allow_none=True, attribute="quiet_from_min")
    quiet_until = LocalTime(required=True, allow_none=True, attribute="quiet_until_min")


class DiaryDaySchema(StrictSchema):
    """The miles of one local day."""

    id = Id(dump_only=True)
    on = CalendarDate(required=True, attribute="on_date")
    miles = DecimalText(required=True, decimals=1, maximum=999_999_999)


class DiaryEntrySchema(StrictSchema):
    """The miles of one local day; a day not driven has 0."""

    on = CalendarDate(required=True)
    miles = DecimalText(required=True, decimals=1, maximum=999_999_999)


class DiaryEntriesSchema(StrictSchema):
    """Days to enter; one that stands in the diary already takes the new miles."""

    days = ma.fields.List(
        ma.fields.Nested(DiaryEntrySchema), required=True, validate=ma.validate.Length(max=DAYS_MAX)
    )


class DiarySchema(StrictSchema):
    """A car's diary, oldest day first."""

    items = ma.fields.List(ma.fields.Nested(DiaryDaySchema))
