"""JSON shapes of visits and of the scheme's list of electricians."""

from __future__ import annotations

from datetime import time
from typing import Any

import marshmallow as ma

from service.infrastructure.http.fields import (
    CalendarDate,
    Choice,
    Id,
    Instant,
    LocalTime,
    StrictSchema,
    Text,
    WholeNumber,
)
from service.infrastructure.http.paging import PageQuery, sort_field
from service.safety.domain.visit_states import TAKEN_BY_HAND, VisitState
from service.safety.operations.visit_list import SORTS
from service.safety.schemas.clearances import WorkingStepSchema

LIST_MAX = 100
"""Own bound of a body, above what the domain takes."""


class DayTime(LocalTime):
    """A wall time "HH:MM", held as a time of day."""

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> Any:
        minutes = super()._deserialize(value, attr, data, **kwargs)
        return time(minutes // 60 % 24, minutes % 60)

    @staticmethod
    def write(value: time) -> str:  # type: ignore[override]
        """Return "HH:MM"."""
        return f"{value:%H:%M}"


class Change:
    """Makes an entry schema one of changes: its fields may be left out."""

    def __init__(self, **options: Any) -> None:
        super().__init__(**{"partial": True, **options})


class ElectricianEntrySchema(StrictSchema):
    """Somebody to put on the list."""

    name = Text(required=True, max_length=500)
    email = Text(required=True, max_length=500)
    firm = Text(load_default="", max_length=500)
    telephone = Text(load_default="", max_length=200)
    registration = Text(
        load_default="", max_length=500, metadata={"description": "Body and number as stated; nobody verified it"}
    )


class ElectricianChangeSchema(Change, ElectricianEntrySchema):
    """What can be changed of somebody on the list."""


class ElectricianSchema(ElectricianEntrySchema):
    """Somebody who is or was on the list."""

    id = Id(dump_only=True)
    listed_at = Instant(dump_only=True)
    unlisted_at = Instant(dump_only=True, allow_none=True, metadata={"description": "null: on the list"})
    etag = Text(max_length=40, dump_only=True, metadata={"description": "To send in If-Match with a change"})


class ElectricianListSchema(StrictSchema):
    """The list, those on it first."""

    items = ma.fields.List(ma.fields.Nested(ElectricianSchema))


class VisitEntrySchema(StrictSchema):
    """Which outlets are to be inspected, and why."""

    outlet_ids = ma.fields.List(Id(), required=True, validate=ma.validate.Length(max=LIST_MAX))
    reason = Text(load_default="", max_length=1000)


class VisitTermsSchema(StrictSchema):
    """Who comes and when, and what it costs."""

    electrician_id = Id(load_default=None, allow_none=True)
    agreed_on = CalendarDate(
        load_default=None, allow_none=True, metadata={"description": "A day agrees it; null: it fell through"}
    )
    agreed_from = DayTime(load_default=None, allow_none=True, metadata={"description": "The home's local time"})
    agreed_until = DayTime(load_default=None, allow_none=True)
    cost_pence = WholeNumber(load_default=None, allow_none=True)


class VisitChangeSchema(Change, VisitTermsSchema):
    """What can be changed of a visit."""


class VisitMoveSchema(StrictSchema):
    """A step that a person takes with a visit."""

    state = Choice([state.value for state in TAKEN_BY_HAND], required=True)
    note = Text(load_default="", max_length=1000)


class HomeVisitSchema(StrictSchema):
    """A visit as the home sees it."""

    id = Id()
    household_id = Id()
    outlet_ids = ma.fields.List(Id())
    outlets = ma.fields.List(ma.fields.String(), metadata={"description": "Labels"})
    state = Choice(VisitState)
    reason = Text(max_length=300)
    electrician_name = Text(max_length=120)
    agreed_on = CalendarDate(allow_none=True)
    agreed_from = DayTime(allow_none=True)
    agreed_until = DayTime(allow_none=True)
    asked_at = Instant()


class HomeVisitListSchema(StrictSchema):
    """A home's visits, the newest first."""

    items = ma.fields.List(ma.fields.Nested(HomeVisitSchema))


class VisitRowSchema(HomeVisitSchema):
    """A visit in the scheme's list."""

    reference = Text(max_length=40)
    area = Text(max_length=12, metadata={"description": "The outward part of the postcode"})
    electrician_id = Id(allow_none=True)
    cost_pence = WholeNumber(allow_none=True)
    risk = WholeNumber(metadata={"description": "The greater, the sooner: common practice, no source"})
    risk_working = ma.fields.List(ma.fields.Nested(WorkingStepSchema))


class VisitStepSchema(StrictSchema):
    """That a visit moved on."""

    state = Choice(VisitState)
    happened_at = Instant()
    by = Text(max_length=120, metadata={"description": "Who: a name, or the electrician by his link"})
    note = Text(max_length=300)


class VisitSchema(VisitRowSchema):
    """One visit with the steps that it took."""

    steps = ma.fields.List(ma.fields.Nested(VisitStepSchema), metadata={"description": "The oldest first"})


class VisitQuery(PageQuery):
    """Which visits."""

    state = Choice(VisitState, load_default=None, allow_none=True)
    area = Text(load_default=None, max_length=8, metadata={"description": "The outward part of a postcode"})
    sort = sort_field(*SORTS, usual="risk")
