"""JSON shapes of evidence: inspections, rechecks, and what they say of each outlet."""

from __future__ import annotations

import marshmallow as ma

from service.infrastructure.http.fields import (
    CalendarDate,
    Choice,
    Flag,
    Id,
    Instant,
    StrictSchema,
    Text,
    TextMap,
    WholeNumber,
)
from service.safety.domain.clearance import Clearance
from service.safety.domain.evidence import ObservationCode, RecheckItem

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


class WorkingStepSchema(StrictSchema):
    """One step behind an answer."""

    what = Text(max_length=200)
    inputs = TextMap()
    rule = Text(max_length=500)
    source = Text(max_length=500)
    result = Text(max_length=500)


class OutletClearanceSchema(StrictSchema):
    """Whether a car may charge from an outlet now, and why."""

    outlet_id = Id()
    outlet_label = Text(max_length=80)
    clearance = Choice(Clearance)
    limit_a = WholeNumber(allow_none=True)
    valid_until = Instant(allow_none=True)
    evidence = Text(max_length=500)
    missing = ma.fields.List(ma.fields.String())
    next_step = Text(max_length=500)
    working = ma.fields.List(ma.fields.Nested(WorkingStepSchema))
