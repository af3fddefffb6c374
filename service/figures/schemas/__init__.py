"""JSON shapes of the book of figures."""

import marshmallow as ma

from service.figures.domain.book import Standing
from service.figures.domain.kinds import KINDS
from service.infrastructure.http.fields import CalendarDate, Choice, DecimalText, Instant, StrictSchema

text = ma.fields.String


class FigureQuery(StrictSchema):
    """Which figures."""

    name = Choice(KINDS, load_default=None)
    on = CalendarDate(load_default=None, metadata={"description": "Only what is in force on this day"})


class FigureSchema(StrictSchema):
    """One figure from a day on, with where it is from and how sure that is."""

    name = text(required=True)
    key = text(required=True, metadata={"description": "Empty where the name has one figure a day"})
    subject = text(required=True)
    label = text(required=True)
    from_on = CalendarDate(required=True)
    until_on = CalendarDate(
        required=True, allow_none=True,
        metadata={"description": "Not known from this day on, unless a later one follows; null: until the next"},
    )
    is_in_force = ma.fields.Boolean(required=True, metadata={"description": "On the day asked about, or today"})
    value = DecimalText(required=True, decimals=6, maximum=10**12)
    unit = text(required=True)
    standing = Choice(Standing, required=True)
    source = text(required=True)
    recorded_by = text(required=True, allow_none=True, metadata={"description": "null: it came with the service"})
    recorded_at = Instant(required=True, allow_none=True)


class FigureNotKnownSchema(StrictSchema):
    """A figure that no source in the book gives for the day."""

    name = text(required=True)
    key = text(required=True)
    subject = text(required=True)
    label = text(required=True)
    since_on = CalendarDate(required=True, allow_none=True, metadata={"description": "null: it never was known"})


class FigureListSchema(StrictSchema):
    """The book of figures, and what it does not know on the day asked about, or today."""

    on = CalendarDate(required=True)
    subjects = ma.fields.List(text(), required=True, metadata={"description": "In the order that they are looked for"})
    items = ma.fields.List(ma.fields.Nested(FigureSchema), required=True)
    not_known = ma.fields.List(ma.fields.Nested(FigureNotKnownSchema), required=True)
