"""JSON shapes of a survey's answers, which bear the fields of what they are recorded in."""

from __future__ import annotations

import marshmallow as ma

from service.households.domain.equipment import Earthing, Place, Tenure, YesNo
from service.households.schemas.equipment import CircuitRunEntrySchema, LargeLoadSchema
from service.households.schemas.shapes import DecimalNumber
from service.infrastructure.http.fields import CalendarDate, Choice, Flag, Id, StrictSchema, Text, WholeNumber
from service.safety.domain.survey_answers import LeadAnswer, OutletAnswer
from service.safety.domain.survey_steps import SurveyStep
from service.safety.schemas import ConsentEntrySchema

LIST_MAX = 100
"""Own bound of a body, above what the domain takes."""


def _number() -> WholeNumber:
    return WholeNumber(load_default=None, allow_none=True, metadata={"description": "null: not known"})


def _photos() -> ma.fields.List:
    return ma.fields.List(Id(), load_default=list, validate=ma.validate.Length(max=LIST_MAX))


class HomeAnswersSchema(StrictSchema):
    """The home."""

    tenure = Choice(Tenure, load_default=Tenure.NOT_KNOWN)
    moved_in_on = CalendarDate(load_default=None, allow_none=True)


class SupplyAnswersSchema(StrictSchema):
    """The service cut-out and other large loads."""

    fuse_a = _number()
    phases = _number()
    earthing = Choice(Earthing, load_default=Earthing.NOT_KNOWN)
    looped = Choice(YesNo, load_default=YesNo.NOT_KNOWN)
    loads = ma.fields.List(  # type: ignore[assignment]
        ma.fields.Nested(LargeLoadSchema), load_default=list, validate=ma.validate.Length(max=LIST_MAX)
    )
    photo_ids = _photos()


class OutletAnswersSchema(StrictSchema):
    """Where the car is plugged in."""

    kind = Choice(OutletAnswer, load_default=OutletAnswer.NOT_KNOWN)
    label = Text(load_default="", max_length=500)
    is_tethered = Flag(load_default=None, allow_none=True)
    rated_a = _number()
    place = Choice(Place, load_default=Place.NOT_KNOWN)
    car_place = Choice(Place, load_default=Place.NOT_KNOWN)
    ip_code = Text(load_default="", max_length=100)
    ev_mark = Choice(YesNo, load_default=YesNo.NOT_KNOWN)
    in_sun = Choice(YesNo, load_default=YesNo.NOT_KNOWN)
    nights_a_week = _number()
    maker_model = Text(load_default="", max_length=500)
    serial_or_batch = Text(load_default="", max_length=500)
    since_on = CalendarDate(load_default=None, allow_none=True)
    photo_ids = _photos()


class CircuitAnswersSchema(StrictSchema):
    """The way to the outlet."""

    label = Text(load_default="", max_length=500)
    runs = ma.fields.List(
        ma.fields.Nested(CircuitRunEntrySchema),
        load_default=list,
        validate=ma.validate.Length(max=LIST_MAX),
        metadata={"description": "In order from the origin; empty: not known"},
    )
    photo_ids = _photos()


class LeadAnswersSchema(StrictSchema):
    """The lead, by its plate."""

    kind = Choice(LeadAnswer, load_default=LeadAnswer.NOT_KNOWN)
    label = Text(load_default="", max_length=500)
    rated_a = _number()
    set_a = _number()
    settings_a = ma.fields.List(WholeNumber(), load_default=list, validate=ma.validate.Length(max=LIST_MAX))
    has_plug_sensor = Choice(YesNo, load_default=YesNo.NOT_KNOWN)
    length_m = DecimalNumber(decimals=1, load_default=None, allow_none=True)
    maker_model = Text(load_default="", max_length=500)
    serial_or_batch = Text(load_default="", max_length=500)
    since_on = CalendarDate(load_default=None, allow_none=True)
    photo_ids = _photos()
    uses_extension = Choice(
        YesNo,
        load_default=YesNo.NOT_KNOWN,
        metadata={"description": "yes: its use is recorded, with nothing known of it, and stops its outlet at once"},
    )


class ConsentsAnswersSchema(StrictSchema):
    """Who may have a say, and what they said."""

    landlord = ma.fields.Nested(ConsentEntrySchema, load_default=dict)
    freeholder = ma.fields.Nested(ConsentEntrySchema, load_default=dict)
    insurer = ma.fields.Nested(ConsentEntrySchema, load_default=dict)


ANSWER_SHAPES: dict[SurveyStep, StrictSchema] = {
    SurveyStep.HOME: HomeAnswersSchema(),
    SurveyStep.SUPPLY: SupplyAnswersSchema(),
    SurveyStep.OUTLET: OutletAnswersSchema(),
    SurveyStep.CIRCUIT: CircuitAnswersSchema(),
    SurveyStep.LEAD: LeadAnswersSchema(),
    SurveyStep.CONSENTS: ConsentsAnswersSchema(),
}


class HomeStepSchema(StrictSchema):
    """The step about the home."""

    answers = ma.fields.Nested(HomeAnswersSchema, required=True)


class SupplyStepSchema(StrictSchema):
    """The step about the supply."""

    answers = ma.fields.Nested(SupplyAnswersSchema, required=True)


class OutletStepSchema(StrictSchema):
    """The step about an outlet."""

    answers = ma.fields.Nested(OutletAnswersSchema, required=True)


class CircuitStepSchema(StrictSchema):
    """The step about an outlet's circuit."""

    answers = ma.fields.Nested(CircuitAnswersSchema, required=True)


class LeadStepSchema(StrictSchema):
    """The step about a lead."""

    answers = ma.fields.Nested(LeadAnswersSchema, required=True)


class ConsentsStepSchema(StrictSchema):
    """The step about consents."""

    answers = ma.fields.Nested(ConsentsAnswersSchema, required=True)
