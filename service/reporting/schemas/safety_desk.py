"""JSON shapes of the safety desk."""

from __future__ import annotations

import marshmallow as ma

from service.infrastructure.http.fields import Choice, Flag, Id, StrictSchema, Text, WholeNumber
from service.infrastructure.http.paging import PageQuery, page_schema, sort_field
from service.infrastructure.http.time_fields import CalendarDate, Instant
from service.reminders.operations import WhyNot
from service.reporting.operations import DESK_SORTS, MISSING, TOLD
from service.safety.domain.levels import Clearance

text, whole = ma.fields.String, ma.fields.Integer
FORMATS = ("csv", "xlsx")


def _filters() -> dict[str, ma.fields.Field]:
    return {
        "clearance": Choice(tuple(word.value for word in Clearance), load_default=None),
        "overdue": Flag(load_default=None, is_query=True),
        "missing": Choice(MISSING, load_default=None, metadata={"description": "What a home lacks"}),
        "told": Choice(TOLD, load_default=None, metadata={"description": "Notices: none, some unread, all read"}),
        "area": Text(load_default=None, max_length=8, metadata={"description": "How the postcode begins"}),
    }


class DeskQuery(PageQuery):
    """Which homes, in which order."""

    locals().update(_filters())
    sort = sort_field(*DESK_SORTS, usual="clearance")


class ExportQuery(StrictSchema):
    """Which homes, in which format."""

    locals().update(_filters())
    format = Choice(FORMATS, load_default="csv")


class MatchingSchema(StrictSchema):
    """Filters, each null where it is not set."""

    clearance = Choice(tuple(word.value for word in Clearance), required=True, allow_none=True)
    overdue = Flag(required=True, allow_none=True)
    missing = Choice(MISSING, required=True, allow_none=True)
    told = Choice(TOLD, required=True, allow_none=True)
    area = Text(required=True, allow_none=True, max_length=8)


class ChosenHomesSchema(StrictSchema):
    """Homes by their ids, or all that filters let through, with the number that the person saw."""

    household_ids = ma.fields.List(Id(), required=True, allow_none=True)
    all_matching = ma.fields.Nested(MatchingSchema, required=True, allow_none=True)
    household_count = WholeNumber(required=True, minimum=1)


class DeskVisitsEntrySchema(ChosenHomesSchema):
    """The chosen homes, and why they are to be visited."""

    reason = Text(required=True, max_length=300)


class DeskVisitsSchema(StrictSchema):
    """What became of the homes."""

    asked = whole(required=True)
    had_visit = whole(required=True)
    had_nothing = whole(required=True, metadata={"description": "Homes whose outlets are all clear, or that have none"})


class AskedPersonSchema(StrictSchema):
    """What became of one person of a chosen home."""

    household_id = Id(required=True)
    reference = text(required=True)
    name = text(required=True, allow_none=True, metadata={"description": "Null where the home has no member"})
    why_not = Choice(WhyNot, required=True, allow_none=True, metadata={"description": "Null where mail was queued"})
    goes_out_at = Instant(
        required=True, allow_none=True, metadata={"description": "Later than now outside the home's sending hours"}
    )


class DeskCheckRemindersSchema(StrictSchema):
    """Everybody of the chosen homes, by reference and name."""

    people = ma.fields.List(ma.fields.Nested(AskedPersonSchema), required=True)


class DeskToldSchema(StrictSchema):
    """The newest safety notice of a home."""

    name = text(required=True)
    subject = text(required=True)
    told_at = Instant(required=True)
    read_at = Instant(required=True, allow_none=True)


class DeskVisitSchema(StrictSchema):
    """The newest visit that has not ended."""

    state = text(required=True)
    agreed_on = CalendarDate(required=True, allow_none=True)


class DeskOutletSchema(StrictSchema):
    """An outlet that no car may charge from now."""

    id = text(required=True)
    label = text(required=True)


class DeskRowSchema(StrictSchema):
    """One home of the desk."""

    id = text(required=True)
    reference = text(required=True)
    area = text(required=True)
    clearance = text(required=True)
    since_on = CalendarDate(required=True, allow_none=True)
    next_recheck_on = CalendarDate(required=True, allow_none=True)
    days_left = whole(required=True, allow_none=True, metadata={"description": "Negative once it is overdue"})
    overdue_count = whole(required=True)
    unread_count = whole(required=True)
    last_inspection_on = CalendarDate(required=True, allow_none=True)
    last_check_at = Instant(required=True, allow_none=True)
    missing = ma.fields.List(text(), required=True)
    not_clear = ma.fields.List(ma.fields.Nested(DeskOutletSchema), required=True)
    told = ma.fields.Nested(DeskToldSchema, required=True, allow_none=True)
    visit = ma.fields.Nested(DeskVisitSchema, required=True, allow_none=True)


class ClearanceCountSchema(StrictSchema):
    """How many homes have a clearance."""

    clearance = text(required=True)
    household_count = whole(required=True)


class DeskSchema(page_schema(DeskRowSchema)):  # type: ignore[misc]
    """A page of the desk, with counts over every home that the other filters let through."""

    counts = ma.fields.List(ma.fields.Nested(ClearanceCountSchema), required=True)
    areas = ma.fields.List(text(), required=True, metadata={"description": "First parts of the scheme's postcodes"})
