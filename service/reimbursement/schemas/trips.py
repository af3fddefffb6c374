"""JSON shapes of business trips, of how cars are held, and of miles elsewhere; ranges are the domain's."""

from __future__ import annotations

from typing import Any

import marshmallow as ma

from service.infrastructure.http.fields import (
    CalendarDate,
    Choice,
    DecimalText,
    Flag,
    Id,
    Instant,
    StrictSchema,
    Text,
)
from service.infrastructure.http.paging import PageQuery
from service.reimbursement.domain.kinds import ClaimState, HeldAs, TripSource
from service.reimbursement.schemas.shapes import miles_field, month_field

text, whole = ma.fields.String, ma.fields.Integer
JOURNEYS_MAX = 200
"""Own bound of a body: it keeps a hostile list short."""


class CarHoldingEntrySchema(StrictSchema):
    """Whose car it is from a day on; one on salary sacrifice is a company car."""

    vehicle_id = Id(required=True)
    from_on = CalendarDate(required=True)
    held_as = Choice(HeldAs, required=True)


class CarHoldingSchema(CarHoldingEntrySchema):
    """A stated holding."""

    id = Id()
    vehicle_label = text()
    recorded_at = Instant()


class CarHoldingListSchema(StrictSchema):
    """The holdings of a home's cars, by car and the newest first."""

    items = ma.fields.List(ma.fields.Nested(CarHoldingSchema))


class BusinessTripEntrySchema(StrictSchema):
    """A business trip that was driven."""

    vehicle_id = Id(required=True)
    on_date = CalendarDate(required=True)
    origin = Text(required=True, max_length=500)
    destination = Text(required=True, max_length=500)
    reason = Text(required=True, max_length=500)
    miles = DecimalText(required=True, decimals=1, maximum=999_999_999)


class BusinessTripChangeSchema(BusinessTripEntrySchema):
    """What can be changed of a trip: each of its fields may be left out."""

    def __init__(self, **options: Any) -> None:
        super().__init__(**{"partial": True, **options})


class BusinessTripSchema(BusinessTripEntrySchema):
    """A trip, and the claim it stands in; ``is_locked``: that claim was sent."""

    id = Id()
    vehicle_label = text()
    source = Choice(TripSource)
    journey_id = Id(allow_none=True)
    claim_id = Id(allow_none=True)
    claim_state = Choice(ClaimState, allow_none=True)
    is_locked = Flag()


class TripQuery(PageQuery):
    """Which trips."""

    month = month_field(load_default=None, allow_none=True)
    state = Choice(("open", "claimed"), load_default=None, allow_none=True)


class BusinessTripListSchema(StrictSchema):
    """A page of trips, and the miles of all pages."""

    items = ma.fields.List(ma.fields.Nested(BusinessTripSchema))
    total = whole()
    page = whole()
    page_size = whole()
    miles = miles_field()


class TripImportQuery(StrictSchema):
    """Whether only to look."""

    is_dry_run = Flag(is_query=True, load_default=False)


class CsvErrorSchema(StrictSchema):
    """What is wrong in which line and column; the header is line 1, an empty column means the whole line."""

    line = whole()
    column = text()
    value = text()
    rule = text()


class CsvTripSchema(StrictSchema):
    """A trip as a line says it."""

    line = whole()
    on_date = CalendarDate()
    vehicle_label = text()
    origin = text()
    destination = text()
    reason = text()
    miles = miles_field()


class TripImportSchema(StrictSchema):
    """What a CSV text holds; with one error nothing of it is stored."""

    is_stored = Flag()
    row_count = whole()
    miles = miles_field()
    errors = ma.fields.List(ma.fields.Nested(CsvErrorSchema))
    items = ma.fields.List(ma.fields.Nested(CsvTripSchema))


class TakeableJourneySchema(StrictSchema):
    """A planned journey that can be taken as a trip once it is over."""

    journey_id = Id()
    vehicle_id = Id()
    vehicle_label = text()
    on_date = CalendarDate()
    miles = miles_field()
    note = text()
    is_business = Flag()
    is_past = Flag()
    is_taken = Flag()


class TakeableListSchema(StrictSchema):
    """The home's journeys that are over or marked as business, the newest first."""

    items = ma.fields.List(ma.fields.Nested(TakeableJourneySchema))


class TakenJourneySchema(StrictSchema):
    """A journey to take, and what it does not say itself."""

    journey_id = Id(required=True)
    origin = Text(required=True, max_length=500)
    destination = Text(required=True, max_length=500)
    reason = Text(required=True, max_length=500)


class TakenListSchema(StrictSchema):
    """Journeys to take, all or none."""

    journeys = ma.fields.List(
        ma.fields.Nested(TakenJourneySchema), required=True, validate=ma.validate.Length(min=1, max=JOURNEYS_MAX)
    )


class TakenTripsSchema(StrictSchema):
    """The trips that journeys became."""

    items = ma.fields.List(ma.fields.Nested(BusinessTripSchema))


class TaxYearMilesSchema(StrictSchema):
    """Business miles of one tax year in an own car that the employer paid outside this service."""

    tax_year_from_on = CalendarDate(required=True, metadata={"description": "A 6 April"})
    miles = DecimalText(required=True, decimals=1, maximum=999_999_999)
    tax_year = text(dump_only=True)


class MilesElsewhereSchema(StrictSchema):
    """All that is stated of miles elsewhere, the newest tax year first."""

    items = ma.fields.List(
        ma.fields.Nested(TaxYearMilesSchema), required=True, validate=ma.validate.Length(max=JOURNEYS_MAX)
    )
