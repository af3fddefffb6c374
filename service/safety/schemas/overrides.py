"""JSON shapes of a safety officer's decisions."""

from __future__ import annotations

from service.infrastructure.http.fields import Choice, Id, StrictSchema, Text, WholeNumber
from service.infrastructure.http.time_fields import CalendarDate, Instant
from service.safety.domain.clearance import Clearance
from service.safety.domain.overrides import OverrideItem, OverrideKind


class OverrideEntrySchema(StrictSchema):
    """A decision: stricter with ``clearance``, or an extension with its two dates and the visit that is booked."""

    kind = Choice(OverrideKind, required=True)
    item_kind = Choice(OverrideItem, required=True)
    item_id = Id(required=True)
    clearance = Choice(Clearance, load_default=None, allow_none=True, metadata={"description": "Never fit_to_use"})
    limit_a = WholeNumber(load_default=None, allow_none=True, maximum=1000)
    due_on = CalendarDate(load_default=None, allow_none=True)
    new_due_on = CalendarDate(
        load_default=None, allow_none=True, metadata={"description": "At most 14 days after due_on"}
    )
    visit_id = Id(load_default=None, allow_none=True)
    reason = Text(required=True, max_length=500)


class OverrideSchema(StrictSchema):
    """A decision with who made and ended it, and when."""

    id = Id()
    kind = Choice(OverrideKind)
    item_kind = Choice(OverrideItem)
    item_id = Id()
    clearance = Choice(Clearance, allow_none=True)
    limit_a = WholeNumber(allow_none=True)
    due_on = CalendarDate(allow_none=True)
    new_due_on = CalendarDate(allow_none=True)
    visit_id = Id(allow_none=True)
    reason = Text(max_length=500)
    made_at = Instant()
    made_by = Id(allow_none=True)
    made_by_name = Text(max_length=200, allow_none=True)
    ended_at = Instant(allow_none=True)
    ended_by = Id(allow_none=True)
    ended_by_name = Text(max_length=200, allow_none=True)
