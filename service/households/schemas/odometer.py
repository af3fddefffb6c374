"""JSON shapes of odometer readings and of an imported diary; ranges are the domain's."""

from __future__ import annotations

import marshmallow as ma

from service.infrastructure.http.fields import CalendarDate, DecimalText, Flag, Id, StrictSchema, WholeNumber

MILES_MAX = 999_999_999


class OdometerEntrySchema(StrictSchema):
    """What the odometer stood at when a day ended."""

    read_on = CalendarDate(required=True)
    miles = DecimalText(required=True, decimals=1, maximum=MILES_MAX)


class OdometerReadingSchema(OdometerEntrySchema):
    """A reading that is kept."""

    id = Id(dump_only=True)


class BetweenReadingsSchema(StrictSchema):
    """What two neighbouring readings say of the days after the first one."""

    after_on = CalendarDate(required=True)
    until_on = CalendarDate(required=True)
    miles = DecimalText(required=True, decimals=1, maximum=MILES_MAX)
    kept_miles = DecimalText(
        required=True, decimals=1, maximum=MILES_MAX, metadata={"description": "Of these, in the diary"}
    )
    open_day_count = WholeNumber(required=True, metadata={"description": "Days that nobody kept"})
    is_less = Flag(required=True, metadata={"description": "The diary has more miles than the odometer ran"})


class EstimatedDaySchema(StrictSchema):
    """A day that nobody kept, estimated from the odometer; it counts for nothing."""

    on = CalendarDate(required=True)
    miles = DecimalText(required=True, decimals=1, maximum=MILES_MAX)


class OdometerSchema(StrictSchema):
    """A car's readings, oldest first, and what they say."""

    items = ma.fields.List(ma.fields.Nested(OdometerReadingSchema), required=True)
    between = ma.fields.List(ma.fields.Nested(BetweenReadingsSchema), required=True)
    estimated = ma.fields.List(ma.fields.Nested(EstimatedDaySchema), required=True)


class DiaryImportQuery(StrictSchema):
    """How to take a text in."""

    is_dry_run = Flag(
        load_default=False, is_query=True, metadata={"description": "true: look at the text and store nothing"}
    )


class ImportedDaySchema(StrictSchema):
    """A day of the text."""

    on = CalendarDate(required=True)
    miles = DecimalText(required=True, decimals=1, maximum=MILES_MAX)


class DiaryImportSchema(StrictSchema):
    """What an import did, or would do."""

    days = ma.fields.List(ma.fields.Nested(ImportedDaySchema), required=True)
    new_count = WholeNumber(required=True)
    changed_count = WholeNumber(required=True, metadata={"description": "Days that take other miles than before"})
    is_dry_run = Flag(required=True)
