"""JSON shapes of recorded evidence: closed findings, tests of leads, rechecks."""

from __future__ import annotations

from service.infrastructure.http.fields import CalendarDate, Choice, Flag, Id, Instant, StrictSchema, Text, WholeNumber
from service.safety.domain.evidence import LeadTestKind, RecheckItem
from service.safety.domain.rechecks import Task


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
    task = Choice(Task, metadata={"description": "What is done with it; `other` where a person set the date"})
    rule_name = Text(max_length=40)
    source = Text(max_length=300, metadata={"description": "Where the rule comes from, and how far it is confirmed"})
    interval_days = WholeNumber(allow_none=True)
    is_claimed = Flag(metadata={"description": "From a typed or imported date: the document is missing"})


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
