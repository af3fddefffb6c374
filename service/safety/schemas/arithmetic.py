"""JSON shapes of a home's arithmetic: numbers with their working; null is not known."""

from __future__ import annotations

from typing import Any

import marshmallow as ma

from service.households.domain.equipment import YesNo
from service.infrastructure.http.fields import Choice, DecimalText, Flag, QueryNumber, StrictSchema, Text
from service.safety.domain.arithmetic.answers import Answer
from service.safety.domain.arithmetic.demand import LoadKind
from service.safety.domain.arithmetic.network_operator import NetworkAction
from service.safety.schemas.clearances import WorkingStepSchema

EXACT_DECIMALS = 28
"""Numbers are shown as they were worked out; the working rounds them for people."""


def _number(**options: Any) -> DecimalText:
    return DecimalText(decimals=EXACT_DECIMALS, maximum=10**6, **options)


class RefusalSchema(StrictSchema):
    """A recorded value that lies beyond a rule or table."""

    field = Text(max_length=120)
    value = Text(max_length=120)
    rule = Text(max_length=300)


class DemandRowSchema(StrictSchema):
    """One row of the diversity table."""

    kind = Choice(LoadKind)
    connected_a = _number()
    counted_a = _number()
    rule = Text(max_length=200)


class DemandSchema(StrictSchema):
    """A home's maximum demand."""

    demand_a = _number(allow_none=True, metadata={"description": "null: a row of it is not known"})
    at_least_a = _number(metadata={"description": "What the known rows come to"})
    method = Text(max_length=300)
    rows = ma.fields.List(ma.fields.Nested(DemandRowSchema))
    not_known = ma.fields.List(Text(max_length=120))
    action = Choice(NetworkAction, allow_none=True, metadata={"description": "null: beyond the rules, see refused"})
    reasons = ma.fields.List(Text(max_length=200))
    refused = ma.fields.List(ma.fields.Nested(RefusalSchema))
    working = ma.fields.List(ma.fields.Nested(WorkingStepSchema))


class DemandQuerySchema(StrictSchema):
    """What the network operator's form asks and nobody records: as somebody states it for this answer alone."""

    is_unmetered = Choice(YesNo, load_default=YesNo.NOT_KNOWN)
    is_adequate = Choice(YesNo, load_default=YesNo.NOT_KNOWN)
    has_doubt = Choice(YesNo, load_default=YesNo.NOT_KNOWN)
    is_upgrade_certain = Choice(YesNo, load_default=YesNo.NOT_KNOWN)
    is_area_scheme = Choice(YesNo, load_default=YesNo.NOT_KNOWN)
    measured_a = QueryNumber(load_default=None, metadata={"description": "Highest demand measured, without charging"})
    measured_days = QueryNumber(load_default=None)
    measured_by = Text(load_default="", max_length=200)
    limit_a = QueryNumber(load_default=None, metadata={"description": "What a load-management device holds it to"})
    device = Text(load_default="", max_length=200)


class RunArithmeticSchema(StrictSchema):
    """One run of the circuit."""

    label = Text(max_length=120)
    capacity_a = _number(allow_none=True)
    missing = ma.fields.List(Text(max_length=120))
    answer = Choice(Answer)


class RingArithmeticSchema(StrictSchema):
    """How the car's current splits on a ring."""

    label = Text(max_length=120)
    leg_a = _number()
    other_leg_a = _number()
    is_worst_place = Flag()


class CircuitArithmeticSchema(StrictSchema):
    """A circuit against a car's current."""

    current_a = _number()
    answer = Choice(Answer)
    capacity_a = _number(allow_none=True)
    governed_by = Text(max_length=120)
    drop_v = _number(allow_none=True)
    drop_percent = _number(allow_none=True)
    drop_limit_v = _number()
    drop_answer = Choice(Answer)
    runs = ma.fields.List(ma.fields.Nested(RunArithmeticSchema))
    rings = ma.fields.List(ma.fields.Nested(RingArithmeticSchema))
    refused = ma.fields.List(ma.fields.Nested(RefusalSchema))
    working = ma.fields.List(ma.fields.Nested(WorkingStepSchema))


class RingQuerySchema(StrictSchema):
    """Where the outlet sits on a ring."""

    ring_along_m = DecimalText(
        decimals=1, maximum=1000, load_default=None,
        metadata={"description": "Along one leg; left out, the worst place counts"},
    )  # fmt: skip
