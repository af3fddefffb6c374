"""JSON shapes of recorded evidence: inspections, tests of leads, rechecks."""

from __future__ import annotations

import marshmallow as ma

from service.infrastructure.http.fields import CalendarDate, Choice, Flag, Id, Instant, StrictSchema, Text
from service.safety.domain.evidence import LeadTestKind, ObservationCode, RecheckItem

OBSERVATIONS_MAX = 200
"""Own bound of a body, above what the domain takes."""


class ObservationSchema(StrictSchema):
    """One coded finding; C1, C2 and FI stop the use of the outlet until they are closed."""

    code = Choice(ObservationCode, required=True)
    note = Text(load_default="", max_length=1000)
    closed_on = CalendarDate(load_default=None, allow_none=True, metadata={"description": "null: it still stands"})


class InspectionEntrySchema(StrictSchema):
    """An electrician's recorded result for one outlet."""

    outlet_id = Id(required=True)
    inspected_on = CalendarDate(required=True)
    next_due_on = CalendarDate(required=True)
    certificate_number = Text(required=True, max_length=500)
    electrician = Text(required=True, max_length=500)
    observations = ma.fields.List(
        ma.fields.Nested(ObservationSchema), load_default=list, validate=ma.validate.Length(max=OBSERVATIONS_MAX)
    )


class InspectionSchema(InspectionEntrySchema):
    """A recorded inspection."""

    id = Id(dump_only=True)
    is_satisfactory = Flag(dump_only=True, metadata={"description": "No C1, C2 or FI of it still stands"})


class ClosureSchema(StrictSchema):
    """The day from which a finding no longer stands."""

    closed_on = CalendarDate(required=True)


class RecheckSchema(StrictSchema):
    """An item that falls due on a date, with the rule that set the date."""

    id = Id(dump_only=True)
    item_kind = Choice(RecheckItem)
    item_id = Id()
    item_label = Text(max_length=120)
    due_on = CalendarDate()
    rule = Text(max_length=200)
    done_on = CalendarDate(allow_none=True)


class CompletionSchema(StrictSchema):
    """The day a recheck was done."""

    done_on = CalendarDate(required=True)


class LeadTestEntrySchema(StrictSchema):
    """A test of a lead with its result, or that a new lead took its place."""

    kind = Choice(LeadTestKind, required=True)
    done_at = Instant(required=True)
    is_passed = Flag(load_default=True, metadata={"description": "false: the lead is stopped at once"})
    tested_by = Text(required=True, max_length=500)
    reference = Text(load_default="", max_length=500)


class LeadTestSchema(LeadTestEntrySchema):
    """A recorded test or replacement of a lead."""

    id = Id(dump_only=True)
    lead_id = Id(dump_only=True)
    recorded_at = Instant(dump_only=True)
