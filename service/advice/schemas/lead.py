"""JSON shape of the verdict on a lead; an administrator gets it without the diary, the times and the working."""

from __future__ import annotations

import marshmallow as ma

from service.advice.domain.lead_closers import CloserKind
from service.advice.domain.lead_question import Verdict
from service.advice.domain.lead_verdict import Unknown
from service.infrastructure.http.fields import (
    CalendarDate,
    Choice,
    DecimalText,
    Flag,
    Id,
    Instant,
    KilowattHours,
    LocalTime,
    Percent,
    StrictSchema,
    TextMap,
    WholeNumber,
)

text = ma.fields.String
_NIGHTS = {"description": "Nights, or weeks with one, that leave too little for the day after and the reserve"}


class LeadVerdictQuery(StrictSchema):
    """What is asked besides."""

    plug_in_at = LocalTime(
        load_default=None,
        attribute="plug_in_min",
        metadata={"description": "When the car is plugged in, in the home's local time; left out: when it is back"},
    )
    long_miles = DecimalText(
        load_default=None,
        decimals=1,
        maximum=999_999_999,
        metadata={"description": "A long journey to ask about; left out: the longest one ahead, or day kept"},
    )


class LeadVerdictStepSchema(StrictSchema):
    """One step of the working."""

    what = text(required=True)
    inputs = TextMap(required=True)
    rule = text(required=True)
    source = text(required=True)
    result = text(required=True)


class LeadNightSchema(StrictSchema):
    """A day that was kept: what it took, beside what the night before it gives, both at the wall."""

    on = CalendarDate(required=True)
    miles = DecimalText(required=True, decimals=1, maximum=999_999_999)
    need_kwh = KilowattHours(required=True, attribute="need_wh")
    given_kwh = KilowattHours(required=True, attribute="given_wh")
    need_minutes = WholeNumber(required=True)
    plugged_minutes = WholeNumber(required=True)


class LeadLongJourneySchema(StrictSchema):
    """What a week with one long journey needs."""

    miles = DecimalText(required=True, decimals=1, maximum=999_999_999)
    words = text(required=True)
    nights_to_fill = WholeNumber(
        required=True, allow_none=True, metadata={"description": "Past the ceiling; null: no number of nights"}
    )
    elsewhere_kwh = KilowattHours(required=True, attribute="elsewhere_wh")
    nights_until_usual = WholeNumber(required=True, allow_none=True)


class LeadCloserSchema(StrictSchema):
    """One thing that could close the gap, tried on the same years; the cheapest first."""

    kind = Choice(CloserKind, required=True)
    words = text(required=True)
    night_percent = Percent(required=True, attribute="night_permille", metadata=_NIGHTS)
    week_percent = Percent(required=True, attribute="week_permille", metadata=_NIGHTS)
    would_close = Flag(required=True)
    note = text(required=True)
    working = ma.fields.List(ma.fields.Nested(LeadVerdictStepSchema), required=True)


class LeadSureSchema(StrictSchema):
    """How sure this is from so few days."""

    level = text(required=True)
    words = text(required=True)
    low_percent = Percent(required=True, attribute="low_permille")
    high_percent = Percent(required=True, attribute="high_permille")
    could_be_percent = Percent(required=True, allow_none=True, attribute="could_be_permille")


class LeadAnswerSchema(StrictSchema):
    """The figures; of an outlet that is not cleared, what they would be if it were."""

    verdict = Choice(Verdict, required=True)
    night_percent = Percent(required=True, attribute="night_permille", metadata=_NIGHTS)
    week_percent = Percent(required=True, attribute="week_permille", metadata=_NIGHTS)
    years = WholeNumber(required=True, metadata={"description": "So many years were simulated"})
    is_battery = Flag(required=True, metadata={"description": "What falls short is mostly more than the battery holds"})
    sure = ma.fields.Nested(LeadSureSchema, required=True)
    carried_miles = DecimalText(decimals=1, maximum=999_999_999, metadata={"description": "A day; its driver's"})
    driven_miles = DecimalText(decimals=1, maximum=999_999_999, metadata={"description": "A day; its driver's"})
    margin_miles = DecimalText(decimals=1, minimum=-999_999_999, maximum=999_999_999)
    nights = ma.fields.List(ma.fields.Nested(LeadNightSchema))
    long_journey = ma.fields.Nested(LeadLongJourneySchema)
    closers = ma.fields.List(ma.fields.Nested(LeadCloserSchema))
    working = ma.fields.List(ma.fields.Nested(LeadVerdictStepSchema))


class LeadVerdictSchema(StrictSchema):
    """Is the lead enough; ``first`` stands before everything where nothing may be charged yet."""

    vehicle_id = Id(required=True)
    verdict = Choice(Verdict, required=True)
    headline = text(required=True)
    first = text(required=True)
    next_step = text(required=True)
    not_known_because = Choice(Unknown, required=True, allow_none=True)
    days_kept = WholeNumber(required=True)
    days_needed = WholeNumber(required=True, metadata={"description": "Days of diary before there is an answer"})
    cleared_until = Instant(required=True, allow_none=True)
    feeds_by = text(required=True)
    power_kw = KilowattHours(required=True, allow_none=True, attribute="power_w")
    assumptions = ma.fields.List(text(), required=True)
    answer = ma.fields.Nested(LeadAnswerSchema, required=True, allow_none=True)
