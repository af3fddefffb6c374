"""JSON shapes of tariffs; which prices make sense together is the domain's question."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import marshmallow as ma

from service.common.calendar import DayKind
from service.infrastructure.http.fields import (
    CalendarDate,
    Choice,
    DecimalText,
    Flag,
    Instant,
    LocalTime,
    Pence,
    StrictSchema,
    Text,
    WholeNumber,
)
from service.tariffs.domain.terms import MeterNeeded, TariffClock, TariffKind

# Own bounds: what a person types for one version; they keep the check for overlaps short.
SHEETS_MAX, BANDS_MAX, WINDOWS_MAX = 60, 12, 24
FIRST_MONTH, LAST_MONTH = 1, 12


class SortedSet(ma.fields.List):
    """A list without order or repeats: read as a list, written sorted by ``key``."""

    def __init__(self, inner: ma.fields.Field[Any], *, order: Iterable[Any], **options: Any) -> None:
        self._order = list(order)
        length = ma.validate.Length(min=1, max=len(self._order))
        options["metadata"] = {"uniqueItems": True, **options.get("metadata", {})}
        super().__init__(inner, validate=length, load_default=lambda: list(self._order), **options)

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> list[Any]:
        found = super()._deserialize(value, attr, data, **kwargs)
        if len(set(found)) != len(found):
            raise ma.ValidationError("Must not name one twice.")
        return found

    def _serialize(self, value: Any, attr: Any, obj: Any, **kwargs: Any) -> Any:
        return None if value is None else self.write(value)

    def write(self, value: Iterable[Any]) -> list[Any]:
        """Return the members in their fixed order, an Enum's as its value."""
        members = frozenset(value)
        return [getattr(each, "value", each) for each in self._order if each in members]


class WindowSchema(StrictSchema):
    """A time of day on chosen kinds of day in chosen months; an end at or before the start is the next day's."""

    starts_at = LocalTime(required=True, step_min=30, attribute="starts_at_min")
    ends_at = LocalTime(required=True, step_min=30, is_end=True, attribute="ends_at_min")
    day_kinds = SortedSet(Choice(DayKind), order=DayKind, metadata={"description": "Left out: every day"})
    months = SortedSet(
        WholeNumber(minimum=FIRST_MONTH, maximum=LAST_MONTH),
        order=range(FIRST_MONTH, LAST_MONTH + 1),
        metadata={"description": "1 is January; left out: the whole year"},
    )


class BandSchema(StrictSchema):
    """A price and the windows it holds in; the otherwise band holds when no window does."""

    name = Text(required=True, min_length=1, max_length=40)
    price_pence_per_kwh = Pence(required=True, attribute="price_up")
    is_otherwise = Flag(load_default=False)
    windows = ma.fields.List(
        ma.fields.Nested(WindowSchema), load_default=list, validate=ma.validate.Length(max=WINDOWS_MAX)
    )


class SheetSchema(StrictSchema):
    """Bands and standing charge for one region and payment method; null means any."""

    region = Text(load_default=None, allow_none=True, min_length=1, max_length=40)
    payment = Text(load_default=None, allow_none=True, min_length=1, max_length=40)
    standing_pence_per_day = Pence(required=True, attribute="standing_up_per_day")
    bands = ma.fields.List(
        ma.fields.Nested(BandSchema),
        load_default=list,
        validate=ma.validate.Length(max=BANDS_MAX),
        metadata={"description": "Empty for a half-hourly tariff"},
    )


class DraftSchema(StrictSchema):
    """What a person types in for a version."""

    valid_from_on = CalendarDate(required=True)
    label = Text(required=True, min_length=1, max_length=80)
    vat_percent = DecimalText(required=True, decimals=2, maximum=100)
    vat_included = Flag(required=True, metadata={"description": "false: VAT is added to the prices typed in"})
    sheets = ma.fields.List(
        ma.fields.Nested(SheetSchema), required=True, validate=ma.validate.Length(min=1, max=SHEETS_MAX)
    )


class VersionSchema(DraftSchema):
    """A version in full."""

    id = ma.fields.String(required=True)
    tariff_id = ma.fields.String(required=True)
    published_at = Instant(required=True, allow_none=True, metadata={"description": "null: a draft"})


class VersionSummarySchema(StrictSchema):
    """A version in a tariff's list."""

    id = ma.fields.String(required=True)
    valid_from_on = CalendarDate(required=True)
    published_at = Instant(required=True, allow_none=True, metadata={"description": "null: a draft"})
    label = ma.fields.String(required=True)


class SeriesSchema(StrictSchema):
    """What a half-hourly series covers."""

    first_at = Instant(required=True)
    last_at = Instant(required=True, metadata={"description": "Start of the last half-hour"})
    count = ma.fields.Integer(required=True, metadata={"description": "Prices of all regions together"})


class NewTariffSchema(StrictSchema):
    """What a person types in for a tariff."""

    name = Text(required=True, min_length=1, max_length=80)
    kind = Choice(TariffKind, required=True)
    clock = Choice(TariffClock, required=True)


class TakingSchema(StrictSchema):
    """Who can take a tariff, and what taking it would bind a home to."""

    meter_needed = Choice(MeterNeeded, required=True)
    needs_charging_point = Flag(required=True)
    other_terms = Text(required=True, max_length=500, metadata={"description": "In words, asked as a question"})
    is_open = Flag(required=True, metadata={"description": "false: closed to new contracts"})
    exit_fee_pence = WholeNumber(required=True, allow_none=True, metadata={"description": "null: not known"})
    fixed_months = WholeNumber(required=True, allow_none=True, metadata={"description": "null: not known, or none"})


class OcpiImportSchema(StrictSchema):
    """A tariff object of OCPI 2.2.1, and what such an object does not say."""

    name = Text(required=True, min_length=1, max_length=80)
    valid_from_on = CalendarDate(required=True)
    standing_pence_per_day = Pence(required=True, attribute="standing_up_per_day")
    tariff = ma.fields.Dict(
        keys=ma.fields.String(), required=True, metadata={"description": "The tariff object as the standard has it"}
    )


class TariffSchema(TakingSchema):
    """A tariff with its versions, in the order in which they take over."""

    id = ma.fields.String(required=True)
    name = ma.fields.String(required=True)
    kind = Choice(TariffKind, required=True)
    clock = Choice(TariffClock, required=True)
    current_version_id = ma.fields.String(
        required=True, allow_none=True, metadata={"description": "In force today, by the date in UTC"}
    )
    versions = ma.fields.List(ma.fields.Nested(VersionSummarySchema), required=True)
    series = ma.fields.Nested(SeriesSchema, required=True, allow_none=True)


class TariffListSchema(StrictSchema):
    """Every tariff of the scheme, by name."""

    items = ma.fields.List(ma.fields.Nested(TariffSchema), required=True)


class PublicationSchema(StrictSchema):
    """That a version is published, and since when."""

    version_id = ma.fields.String(required=True)
    published_at = Instant(required=True)


class GapSchema(StrictSchema):
    """Half-hours [starts_at, ends_at) without a price."""

    region = ma.fields.String(required=True, allow_none=True)
    starts_at = Instant(required=True)
    ends_at = Instant(required=True)


class UploadSchema(StrictSchema):
    """What an upload of half-hourly prices did."""

    stored_count = ma.fields.Integer(required=True, metadata={"description": "Prices in the file"})
    changed_count = ma.fields.Integer(required=True, metadata={"description": "Of these, new or altered"})
    missing = ma.fields.List(
        ma.fields.Nested(GapSchema), required=True, metadata={"description": "Gaps between its first and last price"}
    )


class PriceQuery(StrictSchema):
    """Which half-hours of a series."""

    from_ = Instant(required=True, data_key="from", attribute="starts_at")
    to = Instant(required=True, attribute="ends_at")
    region = Text(load_default=None, min_length=1, max_length=40)


class PricePointSchema(StrictSchema):
    """The price of one half-hour as it was uploaded."""

    starts_at = Instant(required=True)
    price_pence_per_kwh = Pence(required=True, attribute="price_up")


class PriceListSchema(StrictSchema):
    """Stored prices in time order."""

    items = ma.fields.List(ma.fields.Nested(PricePointSchema), required=True)
