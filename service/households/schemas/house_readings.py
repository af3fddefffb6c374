"""JSON shapes of a home's half-hourly meter readings."""

from __future__ import annotations

import marshmallow as ma

from service.households.domain.house_readings import FileClock, Layout, Marks, Unit
from service.infrastructure.http.fields import Choice, Flag, Instant, KilowattHours, StrictSchema, Text, WholeNumber

TEXT_LENGTH_MAX = 2_000_000


class HouseFileSchema(StrictSchema):
    """A meter's file with all that it does not say of itself."""

    text = Text(
        required=True, max_length=TEXT_LENGTH_MAX, is_lines=True, metadata={"description": "CSV, heading first"}
    )
    layout = Choice(Layout, required=True)
    clock = Choice(FileClock, required=True, metadata={"description": "stated: each time has its own offset"})
    marks = Choice(Marks, required=True, metadata={"description": "Whether a time starts or ends its half-hour"})
    unit = Choice(Unit, required=True)
    is_dry_run = Flag(load_default=True, metadata={"description": "Read all of it, keep nothing"})


class ReadingsGapSchema(StrictSchema):
    """Half-hours that a file lacks between its first and its last."""

    starts_at = Instant()
    ends_at = Instant()


class ReadingsSummarySchema(StrictSchema):
    """What is kept of a home."""

    count = WholeNumber(metadata={"description": "Half-hours"})
    first_at = Instant(allow_none=True)
    ends_at = Instant(allow_none=True)
    energy_kwh = KilowattHours(attribute="energy_wh")


class ReadingsTakenSchema(ReadingsSummarySchema):
    """What a file holds, and how much of it was stored."""

    missing = ma.fields.List(ma.fields.Nested(ReadingsGapSchema))
    stored_count = WholeNumber()
