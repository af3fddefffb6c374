"""JSON shapes of extension leads in use; they stand here because their figures are written as a home's are."""

from __future__ import annotations

import marshmallow as ma

from service.households.domain.equipment import Place, YesNo
from service.households.schemas.shapes import DecimalNumber
from service.infrastructure.http.fields import Choice, Flag, Id, Instant, StrictSchema, Text, WholeNumber
from service.safety.schemas import WorkingStepSchema


def _yes_no(description: str) -> Choice:
    return Choice(YesNo, load_default=YesNo.NOT_KNOWN, metadata={"description": description})


class ExtensionEntrySchema(StrictSchema):
    """An extension lead that is used between socket and charging lead; what is left out is not known."""

    outlet_id = Id(required=True, metadata={"description": "The outlet it is plugged into"})
    label = Text(load_default="Extension lead", max_length=500)
    mark = Text(load_default="", max_length=500, metadata={"description": "What tells it from others"})
    size_mm2 = DecimalNumber(decimals=2, load_default=None, allow_none=True)
    length_m = DecimalNumber(decimals=1, load_default=None, allow_none=True)
    is_coiled = _yes_no("It is not fully unwound")
    is_chained = _yes_no("It is plugged into another, or another into it")
    has_several_sockets = _yes_no("It has more than one socket")
    place = Choice(Place, load_default=Place.NOT_KNOWN, metadata={"description": "Where it lies, the worse of two"})
    is_outdoor_rated = _yes_no("It is made for use outdoors")
    reel_unwound_w = WholeNumber(
        load_default=None, allow_none=True, metadata={"description": "What a reel's label allows unwound; null: none"}
    )


class ExtensionSchema(ExtensionEntrySchema):
    """A recorded use, and what may be done with it now: do not use, or at most so many amperes."""

    id = Id(dump_only=True)
    outlet_label = Text(max_length=80, dump_only=True)
    recorded_at = Instant(dump_only=True)
    recorded_by = Id(dump_only=True, allow_none=True)
    ended_at = Instant(dump_only=True, allow_none=True, metadata={"description": "null: it is in use"})
    ended_by = Id(dump_only=True, allow_none=True)
    allows_charging = Flag(dump_only=True, allow_none=True, metadata={"description": "null: not used any more"})
    limit_a = WholeNumber(dump_only=True, allow_none=True)
    reasons = ma.fields.List(ma.fields.String(), dump_only=True, metadata={"description": "Why it may not be used"})
    can_be_lifted = Flag(
        dump_only=True, allow_none=True, metadata={"description": "false: no inspection allows it as it is used"}
    )
    do_now = ma.fields.List(ma.fields.String(), dump_only=True, metadata={"description": "In order; empty: nothing"})
    working = ma.fields.List(ma.fields.Nested(WorkingStepSchema), dump_only=True)
