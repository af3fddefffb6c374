"""The price of each half-hour that a household pays, and a plain word where it is not known.

The view is cut wherever the contract or a version starts or ends. A piece is then priced by its
rate sheet, read on the tariff's clock, or by the half-hourly series. Results are shared between
households with the same terms, so their arrays are read-only.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from itertools import groupby, pairwise
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

from service.common.calendar import Nation, day_kind
from service.common.errors import Rejected
from service.common.slots import (
    SLOTS_PER_PLAIN_DAY,
    day_of_number,
    instant_at,
    local_of,
    local_walls,
    slot_index,
    walls_of,
)
from service.tariffs.domain.day_words import KINDS, MONTH_NAMES
from service.tariffs.domain.rate_bands import RateSheet, Window, band_tables, sheet_words, with_own_windows
from service.tariffs.domain.terms import VAT_UNITS, Contract, Series, TariffClock, TariffKind, Version

GMT = ZoneInfo("UTC")
_FIRST_ON, _LAST_ON = date(1900, 1, 1), date(9000, 1, 1)  # dates beyond mean "always" and overflow datetime
_NOT_RECEIVED = "half-hour price not received"
_NO_VERSION = "no version of the tariff is in force"
_BAND_FAULTS = {-1: "no rate band covers this time", -2: "more than one rate band covers this time"}

Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class SlotPrices:
    """Prices of consecutive slots, VAT included.

    ``price_up`` int64 (count,) in micro-pence per kWh; where ``is_known`` (bool, count) is False it
    is a stand-in that may order slots but must not be shown or summed. ``standing_up_per_day`` is
    that of the first slot, None if not known. ``missing`` names each period without a price and why.
    Arrays are read-only and may be shared.
    """

    price_up: Ints
    is_known: Flags
    standing_up_per_day: int | None
    missing: tuple[str, ...]


def price_slots(
    *,
    kind: TariffKind,
    clock: TariffClock,
    versions: Sequence[Version],
    series: Mapping[int, int] | None,
    contract: Contract,
    first_slot: int,
    count: int,
    zone: ZoneInfo,
    nation: Nation,
) -> SlotPrices:
    """Return the price in each of ``count`` slots from ``first_slot`` for one household.

    Parameters
    ----------
    kind, clock, versions
        The tariff. Its versions change at midnight of its clock; windows, day kinds and months
        are read on that clock too (the contract's own clock, where it states one).
    series : mapping of slot to price, or None
        Half-hourly prices for the household's region [micro-pence per kWh], with as much history
        as should count for stand-ins. Pass one ``Series`` object for all households that share it.
    contract : Contract
        Starts and ends at midnight of the household's own zone, whichever clock its meter keeps.
    zone, nation
        The household's zone, and whose bank holidays hold there.

    Returns
    -------
    SlotPrices
        An unknown price has a stand-in: for a half-hourly tariff the mean of the given series at
        the same local half-hour, else the dearest known price in view, else 0.

    Notes
    -----
    VAT is added exactly where prices are stored without it, and rounded half up to 1e-6 p. Of the
    sheets that fit the contract the most particular one holds, region before payment method.
    """
    clock_zone = GMT if (contract.clock or clock) is TariffClock.GMT else zone
    has_bands = kind is TariffKind.BANDED
    view = range(first_slot, first_slot + count)
    pieces = tuple(pieces_of(versions, contract, view, zone, clock_zone, has_bands=has_bands))
    if has_bands:
        return _priced(pieces, None, zone, clock_zone, nation)
    return _priced(pieces, series if isinstance(series, Series) else Series(series or {}), zone, clock_zone, nation)


@dataclass(frozen=True)
class Piece:
    """Consecutive slots under one version and contract; ``reason`` says why they have no price.

    ``vat`` is what prices hold in the end, ``vat_to_add`` what stored ones lack, in hundredths of a percent.
    """

    first_slot: int
    count: int
    sheet: RateSheet | None
    vat_to_add: int
    reason: str | None
    vat: int = 0

    @property
    def standing_up(self) -> int | None:
        """Return the standing charge, VAT included [micro-pence per day], None where it is not known."""
        if self.sheet is None or self.reason:
            return None
        return int(_with_vat(np.array([self.sheet.standing_up_per_day]), self.vat_to_add)[0])


def pieces_of(
    versions: Sequence[Version],
    contract: Contract,
    view: range,
    zone: ZoneInfo,
    clock_zone: ZoneInfo,
    *,
    has_bands: bool,
) -> Iterator[Piece]:
    """Yield the view cut wherever the contract or a version starts or ends."""
    ordered = sorted(versions, key=lambda version: version.valid_from_on)
    starts = [_midnight(version.valid_from_on, clock_zone) for version in ordered]
    begins = _midnight(contract.starts_on, zone)
    ends = view.stop if contract.ends_on is None else _midnight(contract.ends_on, zone)
    cuts = sorted({view.start, view.stop, *(cut for cut in (*starts, begins, ends) if view.start < cut < view.stop)})
    for first, end in pairwise(cuts):
        in_force = [version for version, start in zip(ordered, starts, strict=True) if start <= first]
        version = in_force[-1] if in_force else None
        sheet, reason = _sheet_of(version, contract, has_bands=has_bands)
        if first < begins:
            reason = f"the contract starts on {_date_words(contract.starts_on)}"
        elif first >= ends and contract.ends_on is not None:
            reason = f"the contract ended on {_date_words(contract.ends_on)}"
        vat_from = version or (ordered[0] if ordered else None)
        vat = (vat_from.vat_to_add, vat_from.vat_units) if vat_from else (0, 0)
        yield Piece(first, end - first, sheet, vat[0], reason, vat[1])


def _sheet_of(version: Version | None, contract: Contract, *, has_bands: bool) -> tuple[RateSheet | None, str | None]:
    """Return the contract's sheet in a version, or None, and why there is no price, or None."""
    if version is None:
        return None, _NO_VERSION
    wanted = ((region, payment) for region in (contract.region, None) for payment in (contract.payment, None))
    by_key = {(sheet.region, sheet.payment): sheet for sheet in reversed(version.sheets)}
    sheet = next((by_key[key] for key in wanted if key in by_key), None)
    if not has_bands:
        return sheet, None
    if sheet is None:
        return None, f"the tariff has no prices for {sheet_words(contract.region, contract.payment)}"
    if not contract.windows:
        return sheet, None
    return _sheet_on_meter(sheet, tuple(sorted(contract.windows.items())))


@lru_cache(maxsize=1024)
def _sheet_on_meter(
    sheet: RateSheet, windows: tuple[tuple[str, tuple[Window, ...]], ...]
) -> tuple[RateSheet, str | None]:
    """Return the sheet with a meter's own windows; a reason too if a version renamed their bands."""
    try:
        return with_own_windows(sheet, dict(windows)), None
    except Rejected as rejected:
        return sheet, f"the meter's own windows do not fit the tariff: {rejected.faults[0].rule}"


@lru_cache(maxsize=512)
def _priced(
    pieces: tuple[Piece, ...], series: Series | None, zone: ZoneInfo, clock_zone: ZoneInfo, nation: Nation
) -> SlotPrices:
    """Price the pieces by series, or by bands where there is none; fill in stand-ins, name what is missing."""
    parts = [
        _by_bands(piece, clock_zone, nation) if series is None else _by_series(piece, series, zone) for piece in pieces
    ]
    price_up = np.concatenate([np.zeros(0, dtype=np.int64), *(part.price_up for part in parts)])
    has_price = np.concatenate([np.zeros(0, dtype=np.bool_), *(part.has_price for part in parts)])
    reasons = [reason for part in parts for reason in part.reasons]
    is_known = np.array([not reason for reason in reasons], dtype=np.bool_)
    price_up[~has_price] = price_up[is_known].max() if is_known.any() else 0
    price_up.setflags(write=False)
    is_known.setflags(write=False)
    missing = tuple(_missing_words(pieces[0].first_slot, reasons, zone)) if pieces else ()
    return SlotPrices(price_up, is_known, pieces[0].standing_up if pieces else None, missing)


@dataclass(frozen=True, eq=False)
class _Part:
    """One piece's prices; ``has_price`` marks known prices and means alike, a reason ("" if none) the unknown."""

    price_up: Ints
    has_price: Flags
    reasons: list[str]


def _by_bands(piece: Piece, clock_zone: ZoneInfo, nation: Nation) -> _Part:
    if piece.sheet is None or piece.reason:
        nothing = np.zeros(piece.count, dtype=np.int64)
        return _Part(nothing, nothing > 0, [piece.reason or ""] * piece.count)
    bands = bands_in_force(piece.sheet, range(piece.first_slot, piece.first_slot + piece.count), clock_zone, nation)
    band_prices = np.array([band.price_up for band in piece.sheet.bands] + [0, 0], dtype=np.int64)
    price_up = _with_vat(band_prices, piece.vat_to_add)[bands]  # -1 and -2 read the two zeros
    return _Part(price_up, bands >= 0, [_BAND_FAULTS.get(band, "") for band in bands.tolist()])


def bands_in_force(sheet: RateSheet, slots: range, clock_zone: ZoneInfo, nation: Nation) -> Ints:
    """Return the position of the band in force in each slot, -1 for none and -2 for several."""
    own, tail = band_tables(sheet)
    days, half_hours = np.divmod(local_walls(slots.start, len(slots), clock_zone), SLOTS_PER_PLAIN_DAY)
    eve = int(days.min()) - 1
    traits = np.array([_day_traits(day, nation) for day in range(eve, int(days.max()) + 1)])
    months, kinds = traits[days - eve].T
    eve_months, eve_kinds = traits[days - eve - 1].T
    today, since_eve = own[months, kinds, half_hours], tail[eve_months, eve_kinds, half_hours]
    one = np.where(since_eve == -1, today, since_eve)
    bands = np.where((today == -1) | (since_eve == -1) | (today == since_eve), one, -2).astype(np.int64)
    otherwise = [position for position, band in enumerate(sheet.bands) if band.is_otherwise]
    if otherwise:
        bands[bands == -1] = otherwise[0]
    return bands


@lru_cache(maxsize=16384)
def _day_traits(day: int, nation: Nation) -> tuple[int, int]:
    """Return month (from 0) and position of the day kind, the first two axes of a band table."""
    on = day_of_number(day)
    return on.month - 1, KINDS.index(day_kind(on, nation))


def _by_series(piece: Piece, series: Series, zone: ZoneInfo) -> _Part:
    slots = np.arange(piece.first_slot, piece.first_slot + piece.count)
    mean_up, has_mean = _means(series, zone)
    half_hours = walls_of(slots, zone) % SLOTS_PER_PLAIN_DAY
    price_up, has_price = mean_up[half_hours], has_mean[half_hours]
    reasons = [piece.reason or _NOT_RECEIVED] * piece.count
    if not piece.reason:
        at = np.flatnonzero(np.isin(slots, series.slots))
        price_up[at] = series.price_up[np.searchsorted(series.slots, slots[at])]
        has_price[at] = True
        for position in at:
            reasons[position] = ""
    return _Part(_with_vat(price_up, piece.vat_to_add), has_price, reasons)


@lru_cache(maxsize=64)
def _means(series: Series, zone: ZoneInfo) -> tuple[Ints, Flags]:
    """Return the mean stored price at each local half-hour of the day, shape (48,), and where there is one."""
    half_hours = walls_of(series.slots, zone) % SLOTS_PER_PLAIN_DAY
    sums, counts = np.zeros(SLOTS_PER_PLAIN_DAY, dtype=np.int64), np.zeros(SLOTS_PER_PLAIN_DAY, dtype=np.int64)
    np.add.at(sums, half_hours, series.price_up)
    np.add.at(counts, half_hours, 1)
    return _rounded(sums, np.maximum(counts, 1)), counts > 0


def _with_vat(price_up: Ints, vat_to_add: int) -> Ints:
    return _rounded(price_up * (VAT_UNITS + vat_to_add), np.int64(VAT_UNITS)) if vat_to_add else price_up


def _rounded(numerators: Ints, denominators: Ints | np.int64) -> Ints:
    """Round as ``money.round_half_up`` does, element by element; denominators are positive."""
    sizes: Ints = (2 * np.abs(numerators) + denominators) // (2 * denominators)
    return sizes * np.sign(numerators)


def _missing_words(first_slot: int, reasons: Sequence[str], zone: ZoneInfo) -> Iterator[str]:
    """Yield each run of slots that share a reason, in the household's local time."""
    done = first_slot
    for reason, run in groupby(reasons):
        start, done = done, done + sum(1 for _ in run)
        if reason:
            yield f"{_time_words(start, zone)} to {_time_words(done, zone)}: {reason}"


def _time_words(slot: int, zone: ZoneInfo) -> str:
    local = local_of(slot, zone)
    again = " (second time that day)" if local.fold else ""
    return f"{_date_words(local.date())} {local:%H:%M}{again}"


def _date_words(day: date) -> str:
    return f"{day.day} {MONTH_NAMES[day.month - 1]} {day.year}"


@lru_cache(maxsize=4096)
def _midnight(day: date, zone: ZoneInfo) -> int:
    return slot_index(instant_at(min(max(day, _FIRST_ON), _LAST_ON), 0, zone))
