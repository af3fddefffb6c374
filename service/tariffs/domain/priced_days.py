"""Whole local days as a bill reads them: each half-hour's price, band and VAT, and each day's standing charge."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from zoneinfo import ZoneInfo

import numpy as np

from service.common.calendar import Nation
from service.common.slots import local_day_slots
from service.tariffs.domain.prices import GMT, Flags, Ints, Piece, bands_in_force, pieces_of, price_slots
from service.tariffs.domain.terms import Contract, TariffClock, TariffKind, TariffTerms

EVERY_HALF_HOUR = "half-hourly prices"


@dataclass(frozen=True, eq=False)
class PricedDays:
    """Consecutive local days; arrays of half-hours have one entry for each, in order, arrays of days likewise.

    ``price_up`` is VAT included [micro-pence per kWh], a stand-in where ``is_known`` is False. ``band`` is a position
    in ``band_names``, -1 where no band is known. ``vat`` is in hundredths of a percent of the price without it.
    ``day_at`` is each day's first half-hour as a position; ``standing_up`` [micro-pence per day] counts only where
    ``is_standing_known``, and is that of the day's first half-hour. ``missing`` is as ``SlotPrices`` has it.
    """

    first_slot: int
    price_up: Ints
    is_known: Flags
    band: Ints
    band_names: tuple[str, ...]
    vat: Ints
    day_at: Ints
    standing_up: Ints
    is_standing_known: Flags
    missing: tuple[str, ...]

    @property
    def count(self) -> int:
        """Return the number of half-hours."""
        return len(self.price_up)


def price_days(
    terms: TariffTerms,
    contract: Contract,
    first_on: date,
    end_on: date,
    *,
    zone: ZoneInfo,
    nation: Nation,
) -> PricedDays:
    """Return the local days [first_on, end_on) of a household under a tariff and contract.

    Versions published for a day to come take over on it; the last one is taken to hold on. Clock changes are in it: a
    day has 46, 48 or 50 half-hours.
    """
    days = [local_day_slots(first_on + timedelta(days=step), zone) for step in range((end_on - first_on).days)]
    view = range(days[0].start, days[-1].stop) if days else range(0)
    prices = price_slots(
        kind=terms.kind, clock=terms.clock, versions=terms.versions,
        series=terms.series.get(contract.region or "", terms.series.get("")), contract=contract,
        first_slot=view.start, count=len(view), zone=zone, nation=nation,
    )  # fmt: skip
    clock_zone = GMT if (contract.clock or terms.clock) is TariffClock.GMT else zone
    has_bands = terms.kind is TariffKind.BANDED
    pieces = tuple(pieces_of(terms.versions, contract, view, zone, clock_zone, has_bands=has_bands)) if view else ()
    band, names = _bands(pieces, clock_zone, nation, has_bands=has_bands)
    day_at = np.array([day.start - view.start for day in days], dtype=np.int64)
    piece_of_slot = np.repeat(np.arange(len(pieces)), [piece.count for piece in pieces])
    of_days = [pieces[position].standing_up for position in piece_of_slot[day_at].tolist()]
    return PricedDays(
        first_slot=view.start,
        price_up=prices.price_up,
        is_known=prices.is_known,
        band=band,
        band_names=names,
        vat=np.repeat(np.array([piece.vat for piece in pieces], dtype=np.int64), [piece.count for piece in pieces]),
        day_at=day_at,
        standing_up=np.array([each or 0 for each in of_days], dtype=np.int64),
        is_standing_known=np.array([each is not None for each in of_days], dtype=np.bool_),
        missing=prices.missing,
    )


def _bands(
    pieces: tuple[Piece, ...], clock_zone: ZoneInfo, nation: Nation, *, has_bands: bool
) -> tuple[Ints, tuple[str, ...]]:
    """Return each half-hour's band as a position in the names, and the names: a band of later versions keeps its."""
    if not has_bands:
        return np.zeros(sum(piece.count for piece in pieces), dtype=np.int64), (EVERY_HALF_HOUR,)
    names: dict[str, int] = {}
    parts = [np.zeros(0, dtype=np.int64)]
    for piece in pieces:
        if piece.sheet is None or piece.reason:
            parts.append(np.full(piece.count, -1, dtype=np.int64))
            continue
        places = [names.setdefault(band.name, len(names)) for band in piece.sheet.bands]
        slots = range(piece.first_slot, piece.first_slot + piece.count)
        in_force = bands_in_force(piece.sheet, slots, clock_zone, nation)
        parts.append(np.array([*places, -1, -1], dtype=np.int64)[np.where(in_force < 0, len(places), in_force)])
    return np.concatenate(parts), tuple(names)
