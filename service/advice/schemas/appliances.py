"""JSON shapes of a home's appliances and of the advice on them; ranges are the domain's."""

from __future__ import annotations

import marshmallow as ma

from service.advice.domain.appliance_advice import Move
from service.advice.domain.appliance_checks import Barrier
from service.advice.domain.appliances import ApplianceKind
from service.infrastructure.http.fields import (
    Choice,
    Flag,
    KilowattHours,
    LocalTime,
    Pence,
    StrictSchema,
    Text,
    TextMap,
    WholeNumber,
)

LIST_MAX = 50
"""Own bound of a body, above what the domain takes: it keeps a hostile list short."""
_BOOK = {"description": "null: the figure of the book"}


class ApplianceSchema(StrictSchema):
    """One appliance as a household states it."""

    kind = Choice(ApplianceKind, required=True)
    label = Text(load_default="", max_length=200)
    runs_a_week = WholeNumber(required=True)
    run_kwh = KilowattHours(load_default=None, allow_none=True, attribute="run_wh", metadata=_BOOK)
    power_w = WholeNumber(load_default=None, allow_none=True, metadata=_BOOK)
    run_minutes = WholeNumber(
        load_default=None, allow_none=True, attribute="run_min", metadata={"description": "null: as assumed"}
    )
    usual_start = LocalTime(
        load_default=None, allow_none=True, attribute="starts_min", metadata={"description": "null: 19:00, assumed"}
    )


class AwakeSchema(StrictSchema):
    """A time of the day in which somebody is awake at home, in the home's local time."""

    from_ = LocalTime(required=True, data_key="from")
    until = LocalTime(required=True, is_end=True)


class AppliancesSchema(StrictSchema):
    """All that a household would move, and when somebody is awake at home."""

    appliances = ma.fields.List(
        ma.fields.Nested(ApplianceSchema), required=True, validate=ma.validate.Length(max=LIST_MAX)
    )
    awake = ma.fields.List(ma.fields.Nested(AwakeSchema), required=True, validate=ma.validate.Length(max=LIST_MAX))


class ApplianceStepSchema(StrictSchema):
    """One step of the working."""

    what = ma.fields.String(required=True)
    inputs = TextMap(required=True)
    rule = ma.fields.String(required=True)
    source = ma.fields.String(required=True)
    result = ma.fields.String(required=True)


class ApplianceFigureSchema(StrictSchema):
    """A figure that was used, and where it comes from."""

    what = ma.fields.String(required=True)
    value = ma.fields.String(required=True)
    source = ma.fields.String(required=True)


class ApplianceAdviceItemSchema(StrictSchema):
    """Advice on one appliance."""

    kind = Choice(ApplianceKind, required=True)
    label = ma.fields.String(required=True)
    move = Choice(Move, required=True)
    headline = ma.fields.String(required=True)
    usual_start = LocalTime(required=True)
    start = LocalTime(required=True, allow_none=True, metadata={"description": "null: nothing is suggested"})
    runs_a_week = WholeNumber(required=True)
    yearly_cost_pence = Pence(required=True, allow_none=True, attribute="yearly_cost_up")
    yearly_saving_pence = Pence(required=True, allow_none=True, attribute="yearly_saving_up")
    barriers = ma.fields.List(Choice(Barrier), required=True)
    figures = ma.fields.List(ma.fields.Nested(ApplianceFigureSchema), required=True)
    working = ma.fields.List(ma.fields.Nested(ApplianceStepSchema), required=True, attribute="steps")


class ApplianceAdviceSchema(StrictSchema):
    """Advice on a home's appliances; the cautions belong beside it wherever it is shown."""

    awake = ma.fields.List(ma.fields.Nested(AwakeSchema), required=True)
    is_awake_assumed = Flag(required=True)
    tariff_names = ma.fields.List(ma.fields.String(), required=True)
    are_past_prices = Flag(required=True, metadata={"description": "Half-hourly prices that are over stand for a year"})
    cautions = ma.fields.List(ma.fields.String(), required=True)
    items = ma.fields.List(ma.fields.Nested(ApplianceAdviceItemSchema), required=True)
