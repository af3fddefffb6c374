"""JSON shapes of weekly routines and dated journeys; ranges and order are the domain's."""

from __future__ import annotations

import marshmallow as ma

from service.households.schemas.shapes import Change
from service.infrastructure.http.fields import (
    DecimalText,
    Flag,
    Id,
    Instant,
    LocalTime,
    StrictSchema,
    Text,
    WholeNumber,
)

DEPARTURES_MAX = 200
"""Own bound of a body, above what the domain takes: it keeps a hostile list short."""


def _miles() -> DecimalText:
    return DecimalText(required=True, decimals=1, maximum=999_999_999, metadata={"description": "There and back"})


class DepartureSchema(StrictSchema):
    """A departure of every week, in the home's local time.

    Where a clock change skips the hour of leaving, the car leaves an hour later on that day.
    """

    weekday = WholeNumber(required=True, metadata={"description": "0 is Monday"})
    leaves_at = LocalTime(required=True, attribute="leaves_min")
    returns_at = LocalTime(required=True, attribute="returns_min")
    returns_days_later = WholeNumber(load_default=0)
    miles = _miles()


class RoutineSchema(StrictSchema):
    """A car's whole week."""

    departures = ma.fields.List(
        ma.fields.Nested(DepartureSchema), required=True, validate=ma.validate.Length(max=DEPARTURES_MAX)
    )


class JourneyEntrySchema(StrictSchema):
    """A dated departure and return."""

    leaves_at = Instant(required=True)
    returns_at = Instant(required=True)
    miles = _miles()
    is_important = Flag(load_default=False)
    replaces_routine = Flag(load_default=True, metadata={"description": "Takes the place of the routine of its days"})
    note = Text(load_default="", max_length=1000)
    is_business = Flag(load_default=False, metadata={"description": "For the employer: its miles may be claimed"})


class JourneyChangeSchema(Change, JourneyEntrySchema):
    """What can be changed of a journey."""


class JourneySchema(JourneyEntrySchema):
    """A journey of a car."""

    id = Id(dump_only=True)


class JourneyListSchema(StrictSchema):
    """A car's journeys that are not over, in order."""

    items = ma.fields.List(ma.fields.Nested(JourneySchema))
