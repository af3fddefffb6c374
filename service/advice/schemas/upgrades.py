"""JSON shapes of the verdict on works at a home, of quotes, and of the scheme's list for a budget."""

from __future__ import annotations

from decimal import Decimal

import marshmallow as ma

from service.advice.domain.budget_ranking import Place
from service.advice.domain.upgrade_notes import NoteKind
from service.advice.domain.upgrade_verdict import Answer
from service.advice.domain.upgrade_works import Upgrade
from service.infrastructure.http.fields import (
    CalendarDate,
    Choice,
    DecimalText,
    Flag,
    Id,
    Instant,
    KilowattHours,
    LocalTime,
    Pence,
    QueryNumber,
    StrictSchema,
    Text,
    TextMap,
)

text, whole = ma.fields.String, ma.fields.Integer
FORMATS = ("csv", "xlsx")
SECOND = "second_"


class UpgradeQuery(StrictSchema):
    """A second car to reckon with, where its miles are given: driven from Monday to Friday."""

    second_miles = DecimalText(
        load_default=None, decimals=1, maximum=999_999, metadata={"description": "A day, there and back"}
    )
    second_leaves_at = LocalTime(load_default=8 * 60, attribute="second_leaves_min")
    second_returns_at = LocalTime(load_default=18 * 60, attribute="second_returns_min")
    second_battery_kwh = DecimalText(
        load_default=Decimal(50), decimals=1, maximum=9_999, metadata={"description": "Usable"}
    )
    second_miles_per_kwh = DecimalText(load_default=Decimal("3.5"), decimals=2, maximum=999)
    second_onboard_limit_a = QueryNumber(load_default=32, maximum=9_999, metadata={"description": "A per phase"})


class UpgradeStepSchema(StrictSchema):
    """One step of the working."""

    what = text(required=True)
    inputs = TextMap(required=True)
    rule = text(required=True)
    source = text(required=True)
    result = text(required=True)


def _steps() -> ma.fields.List:
    return ma.fields.List(ma.fields.Nested(UpgradeStepSchema), required=True)


def _years() -> DecimalText:
    return DecimalText(required=True, allow_none=True, decimals=2, maximum=10**9)


class UpgradeMoneySchema(StrictSchema):
    """What a work costs and brings; null where it is not known, years also where it never pays back."""

    work = Choice(Upgrade, required=True)
    words = text(required=True)
    cost_pence = Pence(required=True, allow_none=True, attribute="cost_up")
    is_quoted = Flag(required=True)
    is_cost_assumed = Flag(required=True)
    saved_pence = Pence(
        required=True, allow_none=True, attribute="saved_up", metadata={"description": "A year, all together"}
    )
    avoided_kwh = KilowattHours(required=True, attribute="avoided_wh", minimum=None)
    payback_years = _years()
    discounted_years = _years()
    worth_pence = Pence(
        required=True, allow_none=True, attribute="worth_up", metadata={"description": "Net present value"}
    )
    pays_back = Flag(required=True, allow_none=True)


class UpgradeOptionSchema(UpgradeMoneySchema):
    """The same with where the money comes from, how firm it is, and the working."""

    from_losses_pence = Pence(required=True, allow_none=True, attribute="losses_up")
    from_hours_pence = Pence(required=True, allow_none=True, attribute="hours_up")
    from_more_pence = Pence(required=True, allow_none=True, attribute="more_up")
    public_pence = Pence(required=True, allow_none=True, attribute="public_up")
    rates_percent = ma.fields.List(DecimalText(decimals=2, minimum=-100, maximum=10**9), required=True)
    most_cost_pence = Pence(required=True, allow_none=True, attribute="most_up")
    least_kwh = KilowattHours(required=True, allow_none=True, attribute="least_wh")
    working = _steps()


class UpgradeNoteSchema(StrictSchema):
    """What works take besides money: with its source, and how sure that is."""

    kind = Choice(NoteKind, required=True)
    works = ma.fields.List(Choice(Upgrade), required=True)
    words = text(required=True)
    source = text(required=True)
    standing = text(required=True)
    working = _steps()


class UpgradeSchema(StrictSchema):
    """Whether works at a home's outlet are worth it, in one line and in full."""

    answer = Choice(Answer, required=True)
    best = Choice(Upgrade, required=True, allow_none=True)
    headline = text(required=True)
    outlet = text(required=True)
    is_stopped = Flag(required=True, metadata={"description": "Charging is stopped: safety comes before money"})
    is_as_if_cleared = Flag(required=True, metadata={"description": "Nothing may charge there so far"})
    has_second_car = Flag(required=True)
    as_if = text(required=True)
    life_years = whole(required=True, allow_none=True)
    rate_percent = text(required=True)
    short_kwh = KilowattHours(required=True, allow_none=True, attribute="short_wh")
    options = ma.fields.List(ma.fields.Nested(UpgradeOptionSchema), required=True)
    takes = ma.fields.List(ma.fields.Nested(UpgradeNoteSchema), required=True)
    notes = ma.fields.List(text(), required=True)
    working = _steps()


class QuoteEntrySchema(StrictSchema):
    """What a firm asks for a work at the home, VAT included."""

    kind = Choice(Upgrade, required=True)
    cost_pence = DecimalText(required=True, decimals=0, maximum=999_999_999, metadata={"description": "Whole pence"})
    quoted_on = CalendarDate(required=True)
    note = Text(load_default="", max_length=1000)


class QuoteChangeSchema(StrictSchema):
    """What can be changed of a quote."""

    kind = Choice(Upgrade)
    cost_pence = DecimalText(decimals=0, maximum=999_999_999)
    quoted_on = CalendarDate()
    note = Text(max_length=1000)


class QuoteSchema(StrictSchema):
    """A quote as it is kept."""

    id = Id(required=True)
    kind = Choice(Upgrade, required=True)
    cost_pence = DecimalText(required=True, decimals=0, maximum=999_999_999)
    quoted_on = CalendarDate(required=True)
    note = text(required=True)


class QuoteListSchema(StrictSchema):
    """A home's quotes, the newest first, and how many it may keep."""

    items = ma.fields.List(ma.fields.Nested(QuoteSchema), required=True)
    most = whole(required=True)


class SchemeUpgradesQuery(StrictSchema):
    """How much there is to spend [whole pounds]."""

    budget_pounds = QueryNumber(load_default=0)


class UpgradesExportQuery(SchemeUpgradesQuery):
    """The same, and in which format."""

    format = Choice(FORMATS, load_default="csv")


class RankedHomeSchema(StrictSchema):
    """A home in its place, with the work meant for it and why."""

    rank = whole(required=True)
    household_id = Id(required=True)
    reference = text(required=True)
    clearance = text(required=True)
    place = Choice(Place, required=True)
    is_paid_for = Flag(required=True)
    why = text(required=True)
    reckoned_at = Instant(required=True, allow_none=True)
    work = ma.fields.Nested(UpgradeMoneySchema, required=True, allow_none=True)


class PlaceCountSchema(StrictSchema):
    """How many homes stand in a place."""

    place = Choice(Place, required=True)
    household_count = whole(required=True)


class SchemeUpgradesSchema(StrictSchema):
    """The scheme's homes in the order in which a budget should reach them, and how the choice was made."""

    budget_pounds = whole(required=True)
    spent_pounds = whole(required=True)
    avoided_kwh = KilowattHours(required=True, attribute="avoided_wh", minimum=None)
    worth_pence = Pence(required=True, attribute="worth_up")
    home_count = whole(required=True)
    reckoned_count = whole(required=True, metadata={"description": "Homes reckoned as they are now"})
    life_years = whole(required=True)
    rate_percent = text(required=True)
    counts = ma.fields.List(ma.fields.Nested(PlaceCountSchema), required=True)
    items = ma.fields.List(ma.fields.Nested(RankedHomeSchema), required=True)
    working = _steps()
