"""JSON shapes of the table of signs, checks, incidents and the reports they make."""

from __future__ import annotations

import marshmallow as ma

from service.common.calendar import Nation
from service.infrastructure.http.fields import Choice, Flag, Id, Instant, StrictSchema, Text
from service.safety.domain.arithmetic.editions import Mark
from service.safety.domain.clearance import Clearance
from service.safety.domain.signs import REPORTABLE, SIGNS, Reach, SignGroup
from service.safety.models import CHANGED_ITEMS

NOTE_MAX = 1000
"""Own bound of a body, above what the domain takes."""
ANSWERS_MAX = 100
REPORT_STATES = ("open", "lifted", "withdrawn")
OUTCOMES = ("stop", "no_sign", "not_complete")


def _lines(**metadata: str) -> ma.fields.List:
    return ma.fields.List(ma.fields.String(), metadata=metadata)


class EmergencySchema(StrictSchema):
    """Whom to ring about the electricity network."""

    number = Text(max_length=30)
    source = Text(max_length=200)
    mark = Choice(Mark)
    is_confirmed = Flag(metadata={"description": "false: nobody has read the number in a published source yet"})


class PossibleAnswerSchema(StrictSchema):
    """One answer to a question of the check, and what it means."""

    answer = Text(max_length=32)
    words = Text(max_length=200)
    sign = Choice(tuple(SIGNS), allow_none=True)
    means = Text(max_length=200)


class QuestionSchema(StrictSchema):
    """One question of the check."""

    question = Text(max_length=32)
    words = Text(max_length=300)
    is_touching = Flag(metadata={"description": "Ask it only while no answer so far reports a sign"})
    answers = ma.fields.List(ma.fields.Nested(PossibleAnswerSchema))


class LiftSchema(StrictSchema):
    """What lifts a sign from one kind of item."""

    item_kind = Choice(CHANGED_ITEMS)
    words = Text(max_length=300)


class SignSchema(StrictSchema):
    """One sign or incident: what it acts on, what it does, what lifts it."""

    sign = Choice(REPORTABLE)
    group = Choice(SignGroup)
    words = Text(max_length=200)
    outlets = Choice(Reach, metadata={"description": "Which outlets it acts on, seen from the one named"})
    acts_on_lead = Flag()
    effect = Choice(Clearance)
    lifts = ma.fields.List(ma.fields.Nested(LiftSchema))
    do_now = _lines(description="In this order")
    source = Text(max_length=500)
    mark = Choice(Mark)


class SignTableSchema(StrictSchema):
    """All that the forms of a check and of an incident show."""

    edition = Text(max_length=20)
    review = Text(max_length=300)
    nation = Choice(Nation)
    emergency = ma.fields.Nested(EmergencySchema)
    questions = ma.fields.List(ma.fields.Nested(QuestionSchema), metadata={"description": "In the order to ask"})
    signs = ma.fields.List(ma.fields.Nested(SignSchema))


class StoppedItemSchema(StrictSchema):
    """An outlet or lead that a sign acts on."""

    item_kind = Choice(CHANGED_ITEMS)
    item_id = Id()
    label = Text(max_length=80)
    clearance = Choice(Clearance, metadata={"description": "What all evidence says of it now"})
    lifts = Text(max_length=300, metadata={"description": "What lifts this sign from it"})
    lifted_by = Text(max_length=300, allow_none=True, metadata={"description": "null: nothing has"})


class SafetyReportSchema(StrictSchema):
    """One reported sign or incident, and how it stands now."""

    id = Id()
    sign = Choice(tuple(SIGNS))
    words = Text(max_length=200)
    effect = Choice(Clearance)
    state = Choice(REPORT_STATES)
    outlet_id = Id(allow_none=True)
    lead_id = Id(allow_none=True)
    circuit_id = Id(allow_none=True)
    check_id = Id(allow_none=True)
    seen_at = Instant()
    reported_at = Instant()
    reported_by_name = Text(max_length=200, allow_none=True, metadata={"description": "Null where it is not known"})
    note = Text(max_length=500)
    withdrawn_by_name = Text(max_length=200, allow_none=True)
    withdrawn_at = Instant(allow_none=True)
    withdrawal_reason = Text(max_length=500, allow_none=True)
    withdrawal_file_id = Id(allow_none=True)
    items = ma.fields.List(ma.fields.Nested(StoppedItemSchema))


class GivenAnswerSchema(StrictSchema):
    """An answer to one question of the check."""

    question = Text(required=True, max_length=60)
    answer = Text(required=True, max_length=60)


class CheckEntrySchema(StrictSchema):
    """A member's check of an outlet with a lead."""

    outlet_id = Id(required=True)
    lead_id = Id(load_default=None, allow_none=True, metadata={"description": "null: no lead was looked at"})
    answers = ma.fields.List(
        ma.fields.Nested(GivenAnswerSchema), required=True, validate=ma.validate.Length(max=ANSWERS_MAX)
    )
    note = Text(load_default="", max_length=NOTE_MAX)


class CheckSchema(StrictSchema):
    """A recorded check; where it found a sign, ``do_now`` is what to show first."""

    do_now = _lines(description="What to do now, in this order; empty where no sign was found")
    outcome = Choice(OUTCOMES)
    id = Id()
    outlet_id = Id()
    lead_id = Id(allow_none=True)
    made_at = Instant()
    is_clear = Flag(metadata={"description": "Every question answered, none with a sign or with not known"})
    reports = ma.fields.List(ma.fields.Nested(SafetyReportSchema))


class IncidentEntrySchema(StrictSchema):
    """A sign that somebody saw, or something that happened."""

    sign = Choice(REPORTABLE, required=True)
    outlet_id = Id(load_default=None, allow_none=True, metadata={"description": "null: it acts on every outlet"})
    lead_id = Id(load_default=None, allow_none=True, metadata={"description": "null: it acts on every lead"})
    seen_at = Instant(load_default=None, allow_none=True, metadata={"description": "null: now"})
    note = Text(load_default="", max_length=NOTE_MAX)


class IncidentSchema(StrictSchema):
    """A recorded incident; ``do_now`` is what to show first."""

    do_now = _lines(description="What to do now, in this order")
    report = ma.fields.Nested(SafetyReportSchema)


class WithdrawalSchema(StrictSchema):
    """Why a report was a mistake."""

    reason = Text(required=True, max_length=NOTE_MAX)
    file_id = Id(required=True, metadata={"description": "A photo of what was taken for it"})
