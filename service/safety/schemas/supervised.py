"""JSON shapes of the supervised first charge and of the photo of a lead's setting."""

from __future__ import annotations

import marshmallow as ma

from service.infrastructure.http.fields import Choice, Flag, Id, Instant, StrictSchema, Text, WholeNumber
from service.safety.domain.supervised_charge import FeelAnswer, SupervisedState
from service.safety.schemas.signs import SafetyReportSchema


class SupervisedEntrySchema(StrictSchema):
    """What is to charge where, and at what current."""

    outlet_id = Id(required=True)
    lead_id = Id(load_default=None, allow_none=True, metadata={"description": "null: the outlet's own cable"})
    current_a = WholeNumber(required=True, maximum=1000, metadata={"description": "At most 10 A"})


class SupervisedChargeSchema(StrictSchema):
    """A supervised charge with the times from which each feeling counts."""

    id = Id()
    outlet_id = Id()
    lead_id = Id(allow_none=True)
    current_a = WholeNumber()
    state = Choice(SupervisedState)
    words = Text(max_length=200, metadata={"description": "The state in words"})
    started_at = Instant()
    first_from_at = Instant(metadata={"description": "The first feeling counts from here on"})
    later_from_at = Instant(metadata={"description": "The second feeling counts from here on"})
    until_at = Instant()
    first_felt_at = Instant(allow_none=True)
    first_answer = Choice(FeelAnswer, allow_none=True)
    later_felt_at = Instant(allow_none=True)
    later_answer = Choice(FeelAnswer, allow_none=True)
    ended_at = Instant(allow_none=True)
    is_clear = Flag()


class FeelingEntrySchema(StrictSchema):
    """How plug and socket feel to the back of a hand."""

    answer = Choice(FeelAnswer, required=True)


class FeelingSchema(StrictSchema):
    """What was recorded; where it found heat, ``do_now`` is what to show first."""

    do_now = ma.fields.List(ma.fields.String(), metadata={"description": "In this order; empty where no sign was felt"})
    charge = ma.fields.Nested(SupervisedChargeSchema)
    reports = ma.fields.List(ma.fields.Nested(SafetyReportSchema))


class SettingPhotoSchema(StrictSchema):
    """A photo of a lead's setting, and the current that it shows."""

    file_id = Id(required=True)
    shown_a = WholeNumber(required=True, maximum=1000)


class SettingShownSchema(StrictSchema):
    """What a lead is set to, as a photo showed."""

    lead_id = Id()
    set_a = WholeNumber()
    setting_shown_a = WholeNumber()
    setting_shown_at = Instant()
    file_id = Id()
