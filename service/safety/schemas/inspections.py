"""JSON shapes of inspections: what an electrician found, who accepts it, and what is to be decided."""

from __future__ import annotations

import marshmallow as ma

from service.households.domain.equipment import YesNo
from service.infrastructure.http.fields import (
    CalendarDate,
    Choice,
    Flag,
    Id,
    Instant,
    StrictSchema,
    Text,
    WholeNumber,
)
from service.infrastructure.http.paging import PageQuery
from service.safety.domain.evidence import (
    AcceptanceGround,
    CertificateKind,
    InspectionSource,
    ObservationCode,
    ObservationReach,
)
from service.safety.operations.inspection_list import STATES

OBSERVATIONS_MAX = 200
"""Own bound of a body, above what the domain takes."""


class ObservationSchema(StrictSchema):
    """One coded finding; C1, C2 and FI stop what they reach until they are closed."""

    code = Choice(ObservationCode, required=True)
    note = Text(load_default="", max_length=1000)
    closed_on = CalendarDate(load_default=None, allow_none=True, metadata={"description": "null: it still stands"})
    reach = Choice(
        ObservationReach,
        load_default=ObservationReach.OUTLET,
        metadata={"description": "At board, earthing or supply it is all of the home"},
    )


class FoundSchema(StrictSchema):
    """What an electrician found at one outlet."""

    outlet_id = Id(required=True)
    inspected_on = CalendarDate(required=True)
    next_due_on = CalendarDate(required=True)
    certificate_number = Text(required=True, max_length=500)
    certificate_kind = Choice(CertificateKind, load_default=CertificateKind.NOT_KNOWN)
    file_id = Id(load_default=None, allow_none=True, metadata={"description": "The certificate, uploaded before"})
    was_tested = Choice(
        YesNo,
        load_default=YesNo.NOT_KNOWN,
        metadata={"description": "This outlet and its circuit were inspected and tested, not sampled"},
    )
    limitation = Text(load_default="", max_length=1000)
    knew_use = Choice(
        YesNo, load_default=YesNo.NOT_KNOWN, metadata={"description": "He knew that a car charges here for hours"}
    )
    answers = ma.fields.Dict(
        keys=ma.fields.String(),
        load_default=None,
        allow_none=True,
        metadata={
            "description": "Each item as recorded; a reading is {value, not_tested_because}. Left out: not recorded. "
            "A reading outside its limit is kept and fails the item; one outside its range is refused"
        },
    )
    limit_a = WholeNumber(load_default=None, allow_none=True, metadata={"description": "His limit for hours on end"})
    limit_reason = Text(load_default="", max_length=1000)
    observations = ma.fields.List(
        ma.fields.Nested(ObservationSchema), load_default=list, validate=ma.validate.Length(max=OBSERVATIONS_MAX)
    )


class InspectionEntrySchema(FoundSchema):
    """A result as an administrator types it: a claim, or with document and answers one to be accepted."""

    electrician = Text(required=True, max_length=500)
    registration = Text(load_default="", max_length=500)


class FailureSchema(StrictSchema):
    """A reading outside its limit, or a finding that fails."""

    field = Text(max_length=40, metadata={"description": "The answer that fails"})
    words = Text(max_length=500)
    limit = Text(max_length=1000, metadata={"description": "The rule, with what it comes to for this circuit"})
    source = Text(max_length=2000, metadata={"description": "Where the limit stands, and how far it is confirmed"})


class InspectionSchema(InspectionEntrySchema):
    """A recorded inspection."""

    id = Id(dump_only=True)
    is_satisfactory = Flag(dump_only=True, metadata={"description": "No C1, C2 or FI of it still stands"})
    failures = ma.fields.List(
        ma.fields.Nested(FailureSchema), dump_only=True, metadata={"description": "Readings and findings that fail"}
    )
    missing = ma.fields.List(
        ma.fields.String(), dump_only=True, metadata={"description": "What such an outlet needs recorded and is not"}
    )
    recorded_at = Instant(dump_only=True)
    source = Choice(InspectionSource, dump_only=True)
    is_partial = Flag(dump_only=True, metadata={"description": "The certificate is in, the readings are to come"})
    supersedes_id = Id(dump_only=True, allow_none=True)
    superseded_at = Instant(dump_only=True, allow_none=True)
    accepted_at = Instant(dump_only=True, allow_none=True)
    acceptance_ground = Choice(AcceptanceGround, dump_only=True, allow_none=True)
    refused_at = Instant(dump_only=True, allow_none=True)
    refusal_reason = Text(max_length=500, dump_only=True, allow_none=True)


class InspectionRefusalSchema(StrictSchema):
    """Why a result is refused."""

    reason = Text(required=True, max_length=1000)


class InspectionAcceptanceSchema(StrictSchema):
    """That a result agrees with its document."""


class InspectionQuery(PageQuery):
    """Which results."""

    state = Choice(STATES, load_default=None, allow_none=True)


class DecidedInspectionSchema(StrictSchema):
    """A result to be decided, or decided, with everybody who had a hand in it."""

    id = Id()
    household_id = Id()
    reference = Text(max_length=40)
    outlet_id = Id()
    outlet_label = Text(max_length=80)
    source = Choice(InspectionSource)
    state = Choice(STATES)
    electrician = Text(max_length=120)
    registration = Text(max_length=200, metadata={"description": "As stated, not verified"})
    certificate_kind = Choice(CertificateKind)
    certificate_number = Text(max_length=60)
    inspected_on = CalendarDate()
    next_due_on = CalendarDate()
    file_id = Id(allow_none=True)
    ground = Choice(AcceptanceGround, allow_none=True)
    is_household_address = Flag(metadata={"description": "The link went to an address of this household"})
    asked_by = Text(max_length=120)
    received_by = Text(max_length=254)
    recorded_at = Instant()
    recorded_by = Text(max_length=120)
    accepted_at = Instant(allow_none=True)
    accepted_by = Text(max_length=120)
    refused_at = Instant(allow_none=True)
    refused_by = Text(max_length=120)
    refusal_reason = Text(max_length=500, allow_none=True)
    supersedes_id = Id(allow_none=True)
    superseded_at = Instant(allow_none=True)
    failures = ma.fields.List(
        ma.fields.Nested(FailureSchema), metadata={"description": "Readings and findings that fail"}
    )
    missing = ma.fields.List(
        ma.fields.String(),
        metadata={"description": "What such an outlet needs recorded and is not: it stays not known"},
    )
