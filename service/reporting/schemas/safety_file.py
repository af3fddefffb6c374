"""JSON shape of a safety file: parts with facts and tables of text, as they are read."""

from __future__ import annotations

import marshmallow as ma

from service.infrastructure.http.fields import StrictSchema
from service.infrastructure.http.time_fields import Instant

text, whole = ma.fields.String, ma.fields.Integer


class FileQuery(StrictSchema):
    """Now, or an instant of the past."""

    at = Instant(load_default=None, metadata={"description": "A past instant: only what was recorded by then is in"})


class FileTableSchema(StrictSchema):
    """Rows of text under heads; ``total`` counts the earlier rows that are held back too."""

    title = text(required=True)
    heads = ma.fields.List(text(), required=True)
    rows = ma.fields.List(ma.fields.List(text()), required=True)
    total = whole(required=True)
    empty = text(required=True, metadata={"description": "What to say where there is no row"})


class FilePartSchema(StrictSchema):
    """One part under its heading."""

    name = text(required=True)
    title = text(required=True)
    notes = ma.fields.List(text(), required=True)
    facts = ma.fields.List(ma.fields.List(text()), required=True, metadata={"description": "[[name, value], ...]"})
    tables = ma.fields.List(ma.fields.Nested(FileTableSchema), required=True)


class SafetyFileSchema(StrictSchema):
    """All that is known of one home's safety at an instant."""

    household_id = text(required=True)
    reference = text(required=True)
    title = text(required=True)
    at = Instant(required=True)
    as_at = text(required=True, metadata={"description": "The instant on the home's clock"})
    zone = text(required=True)
    is_not = text(required=True, metadata={"description": "What this file is not"})
    parts = ma.fields.List(ma.fields.Nested(FilePartSchema), required=True)
    limits = ma.fields.List(text(), required=True, metadata={"description": "What a file as at an instant cannot show"})
