"""JSON shapes of the home survey and of consents; the shapes of answers stand with the API, which joins features."""

from __future__ import annotations

import marshmallow as ma

from service.infrastructure.http.fields import CalendarDate, Choice, DecimalText, Flag, Id, Instant, StrictSchema, Text
from service.safety.domain.survey_steps import ConsentAnswer, ConsentKind, SurveyStep


class ConsentEntrySchema(StrictSchema):
    """What somebody who may have a say answered, as the member states it."""

    answer = Choice(ConsentAnswer, load_default=ConsentAnswer.NOT_KNOWN)
    given_on = CalendarDate(load_default=None, allow_none=True)
    file_id = Id(load_default=None, allow_none=True, metadata={"description": "An uploaded document for a consent"})


class ConsentSchema(ConsentEntrySchema):
    """The newest answer about one consent."""

    kind = Choice(ConsentKind, dump_only=True)
    recorded_at = Instant(dump_only=True, allow_none=True)


class SurveyStepSchema(StrictSchema):
    """One step for one outlet or lead, or for the home."""

    step = Choice(SurveyStep)
    item_id = Id(allow_none=True)
    label = Text(max_length=120)
    answers = ma.fields.Raw(metadata={"description": "As the step takes them; where not saved, what is recorded"})
    saved_at = Instant(allow_none=True)
    is_complete = Flag()


class SurveySchema(StrictSchema):
    """The survey of one home as it stands."""

    steps = ma.fields.List(ma.fields.Nested(SurveyStepSchema), metadata={"description": "In the order asked"})
    electrician_questions = ma.fields.List(Text(max_length=1000))
    consents = ma.fields.List(ma.fields.Nested(ConsentSchema))
    is_complete = Flag()
    saved_share = DecimalText(decimals=2, maximum=1, metadata={"description": "Share of the steps saved"})


class ItemQuerySchema(StrictSchema):
    """The outlet or lead that a step is about."""

    item_id = Id(load_default=None, metadata={"description": "Left out where none is recorded yet"})
