"""An electricity bill, exact: energy at its prices, a standing charge a local day, the VAT in both, rounded once.

Energies are Wh, prices micro-pence per kWh, so their product is 1e-9 p (``_np``) and a whole number. Nothing is rounded
before the end; ``in_pence`` is the one rule that does. Energy without a known price never becomes money: it stands
beside the bill.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from operator import mul
from typing import Final

import numpy as np
from numpy.typing import NDArray

from service.common.money import UP_PER_PENNY, round_half_up
from service.common.units import WH_PER_KWH
from service.tariffs.domain.priced_days import PricedDays
from service.tariffs.domain.terms import VAT_UNITS

NP_PER_UP: Final = WH_PER_KWH
NP_PER_PENNY: Final = UP_PER_PENNY * NP_PER_UP
YEAR_DAYS: Final = 365
"""A year as published annual bills count it, leap years too; what a period really had is its own number of days."""
ROUNDING_RULE: Final = "exact until the end, then once to the nearest whole penny, a half away from zero"
_INT64_SAFE: Final = 2**62


@dataclass(frozen=True, slots=True)
class Line:
    """Energy bought in one band at one rate of VAT; the cost has the VAT in it, ``vat`` is in 0.01 % of it without."""

    band: str
    energy_wh: int
    cost_np: int
    vat: int = 0


@dataclass(frozen=True, slots=True)
class Standing:
    """The standing charge of some days at one rate of VAT."""

    days: int
    cost_np: int
    vat: int = 0


@dataclass(frozen=True, slots=True)
class Bill:
    """What a period comes to; lines by band and rate of VAT, ``days`` all of its local days.

    ``unpriced_wh`` and ``unpriced_days`` are in no cost: their prices are not known.
    """

    lines: tuple[Line, ...]
    standing: tuple[Standing, ...]
    days: int
    unpriced_wh: int = 0
    unpriced_days: int = 0

    @property
    def is_whole(self) -> bool:
        """Tell whether every price is known."""
        return not self.unpriced_wh and not self.unpriced_days

    @property
    def energy_wh(self) -> int:
        """Return the energy that has a price."""
        return sum(line.energy_wh for line in self.lines)

    @property
    def energy_np(self) -> int:
        """Return what the energy costs."""
        return sum(line.cost_np for line in self.lines)

    @property
    def standing_np(self) -> int:
        """Return what the days cost."""
        return sum(each.cost_np for each in self.standing)

    @property
    def total_np(self) -> int:
        """Return the whole of it."""
        return self.energy_np + self.standing_np

    @property
    def vat_np(self) -> int:
        """Return the VAT that is in the total: of each rate its part, rounded once to 1e-9 p."""
        cost_of_rate: dict[int, int] = defaultdict(int)
        for line in self.lines:
            cost_of_rate[line.vat] += line.cost_np
        for each in self.standing:
            cost_of_rate[each.vat] += each.cost_np
        return sum(round_half_up(cost * vat, VAT_UNITS + vat) for vat, cost in cost_of_rate.items())

    @property
    def total_pence(self) -> int:
        """Return the total as it would be owed."""
        return in_pence(self.total_np)


def in_pence(cost_np: int) -> int:
    """Return whole pence by ``ROUNDING_RULE``.

    >>> in_pence(1_500_000_000), in_pence(-1_500_000_000)
    (2, -2)
    """
    return round_half_up(cost_np, NP_PER_PENNY)


def priced_line(band: str, energy_wh: int, price_up: int, *, vat: int = 0) -> Line:
    """Return energy at one price, VAT included."""
    return Line(band, energy_wh, energy_wh * price_up, vat)


def standing_of(days: int, up_per_day: int, *, vat: int = 0) -> Standing:
    """Return some days at one standing charge, VAT included."""
    return Standing(days, days * up_per_day * NP_PER_UP, vat)


def bill_of(lines: Iterable[Line], standing: Iterable[Standing]) -> Bill:
    """Return the bill of some energy and days: (kWh x rate + days x standing charge), for any fuel."""
    charges = tuple(standing)
    return Bill(_gathered(lines), charges, sum(each.days for each in charges))


def bill_of_days(days: PricedDays, energy_wh: NDArray[np.int64]) -> Bill:
    """Return the bill of whole local days for what is used in each of their half-hours.

    Parameters
    ----------
    energy_wh : ndarray, shape (count,)
        Energy of each half-hour of ``days`` [Wh].

    Raises
    ------
    ValueError
        If there is not one energy for each half-hour.
    """
    return Bill(
        energy_lines(days, np.arange(days.count), energy_wh),
        tuple(_standing_lines(days)),
        days=len(days.day_at),
        unpriced_wh=int(energy_wh[~days.is_known].sum()),
        unpriced_days=int((~days.is_standing_known).sum()),
    )


def energy_lines(days: PricedDays, at: NDArray[np.int64], energy_wh: NDArray[np.int64]) -> tuple[Line, ...]:
    """Return the lines of some half-hours, by position in ``days``; those without a known price are left out."""
    if at.shape != energy_wh.shape:
        raise ValueError("there must be one energy for each half-hour")
    known = days.is_known[at]
    at, used = at[known], energy_wh[known]
    kinds = days.band[at] * (VAT_UNITS + 1) + days.vat[at]
    lines = []
    for kind in np.unique(kinds).tolist():
        band, vat = divmod(kind, VAT_UNITS + 1)
        wh, price_up = used[kinds == kind], days.price_up[at[kinds == kind]]
        lines.append(Line(days.band_names[band], int(wh.sum()), _dot(wh, price_up), vat))
    return tuple(lines)


def merged(bill: Bill, lines: Sequence[Line]) -> Bill:
    """Return the bill with further energy in it."""
    return Bill(_gathered([*bill.lines, *lines]), bill.standing, bill.days, bill.unpriced_wh, bill.unpriced_days)


def times(lines: Sequence[Line], count: int) -> tuple[Line, ...]:
    """Return lines as often as ``count`` such periods have them."""
    return tuple(Line(line.band, line.energy_wh * count, line.cost_np * count, line.vat) for line in lines)


def annualised_np(bill: Bill) -> int:
    """Return what ``YEAR_DAYS`` at the period's daily cost come to; the bill itself keeps its actual days.

    Raises
    ------
    ValueError
        If the period has no day.
    """
    if not bill.days:
        raise ValueError("a period without a day says nothing of a year")
    return round_half_up(bill.total_np * YEAR_DAYS, bill.days)


def _gathered(lines: Iterable[Line]) -> tuple[Line, ...]:
    """Return one line a band and rate of VAT, in the order in which they first came."""
    found: dict[tuple[str, int], tuple[int, int]] = {}
    for line in lines:
        energy_wh, cost_np = found.get((line.band, line.vat), (0, 0))
        found[line.band, line.vat] = (energy_wh + line.energy_wh, cost_np + line.cost_np)
    return tuple(Line(band, *sums, vat) for (band, vat), sums in found.items())


def _standing_lines(days: PricedDays) -> Iterator[Standing]:
    vat_of_day = days.vat[days.day_at]
    known = days.is_standing_known
    for vat in np.unique(vat_of_day[known]).tolist():
        charges = days.standing_up[known & (vat_of_day == vat)]
        yield Standing(len(charges), sum(charges.tolist()) * NP_PER_UP, vat)


def _dot(energy_wh: NDArray[np.int64], price_up: NDArray[np.int64]) -> int:
    """Return the sum of products, in 64 bits where none can overflow and in whole numbers of any size otherwise."""
    if not len(energy_wh):
        return 0
    if int(np.abs(energy_wh).sum()) * int(np.abs(price_up).max()) < _INT64_SAFE:
        return int(np.dot(energy_wh, price_up))
    return sum(map(mul, energy_wh.tolist(), price_up.tolist()))
