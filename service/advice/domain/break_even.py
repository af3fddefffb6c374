"""When two tariffs cost a home the same: in closed form, exact, for each input that can change which one is cheaper.

A year's cost is taken to be a sum of straight lines: the house's part grows with its yearly kWh, the car's with its
miles, each with its shape through the day as it is; the standing charge stays. Costs are 1e-9 p (``_np``).
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from service.common.errors import Fault, Rejected
from service.common.units import WH_PER_KWH


@dataclass(frozen=True, slots=True)
class YearCost:
    """A year under one tariff in its three parts."""

    house_np: int
    car_np: int
    standing_np: int

    @property
    def total_np(self) -> int:
        """Return the whole year."""
        return self.house_np + self.car_np + self.standing_np


def house_factor(first: YearCost, second: YearCost) -> Fraction | None:
    """Return by what the house's use must be multiplied for both to cost the same; None where nothing does it."""
    return _factor(
        second.car_np + second.standing_np - first.car_np - first.standing_np, first.house_np - second.house_np
    )


def car_factor(first: YearCost, second: YearCost) -> Fraction | None:
    """Return by what the car's miles must be multiplied for both to cost the same; None where nothing does it."""
    return _factor(
        second.house_np + second.standing_np - first.house_np - first.standing_np, first.car_np - second.car_np
    )


def _factor(rest_np: int, slope_np: int) -> Fraction | None:
    if slope_np == 0:
        return None
    factor = Fraction(rest_np, slope_np)
    return factor if factor >= 0 else None


@dataclass(frozen=True, slots=True)
class CheapUse:
    """How a year's use lies to the cheap hours of a tariff: energy in them and in the others, and what each cost."""

    cheap_wh: int
    cheap_np: int
    other_wh: int
    other_np: int

    @property
    def share(self) -> Fraction:
        """Return the part of the use that falls in the cheap hours."""
        total = self.cheap_wh + self.other_wh
        return Fraction(self.cheap_wh, total) if total else Fraction(0)

    @property
    def spread_np(self) -> Fraction | None:
        """Return by what a Wh is cheaper in the cheap hours, each side at the mean of its use; None with one side."""
        if not self.cheap_wh or not self.other_wh:
            return None
        return Fraction(self.other_np, self.other_wh) - Fraction(self.cheap_np, self.cheap_wh)


def share_needed(use: CheapUse, total_np: int, other_total_np: int) -> Fraction | None:
    """Return the share of use in the cheap hours at which the tariff costs what another does, whose cost stays.

    Parameters
    ----------
    use : CheapUse
        Of the tariff whose share moves.
    total_np, other_total_np : int
        The year under it now, and under the other tariff.

    Returns
    -------
    Fraction or None
        None where no share between 0 and 1 does it, or the cheap hours are not cheaper.
    """
    spread = use.spread_np
    if spread is None or spread <= 0:
        return None
    share = use.share + Fraction(total_np - other_total_np, use.cheap_wh + use.other_wh) / spread
    return share if 0 <= share <= 1 else None


@dataclass(frozen=True, slots=True)
class Rates:
    """A tariff of one price or two [micro-pence per kWh] and a standing charge [micro-pence per day]."""

    dear_up: int
    cheap_up: int
    standing_up_per_day: int = 0


def break_even_share(flat: Rates, two_rate: Rates, *, yearly_wh: int, days: int = 365) -> Fraction | None:
    """Return the share of use in the cheap hours at which a two-rate tariff costs what a flat one does.

    Raises
    ------
    Rejected
        If the flat tariff has two prices, or nothing is used.

    Examples
    --------
    >>> flat, two = Rates(26_250_000, 26_250_000), Rates(30_700_000, 7_900_000)
    >>> round(float(break_even_share(flat, two, yearly_wh=3_000_000)) * 100, 2)
    19.52
    """
    faults = []
    if flat.dear_up != flat.cheap_up:
        faults.append(Fault("flat", flat.cheap_up, "must have one price"))
    if yearly_wh <= 0:
        faults.append(Fault("yearly_wh", yearly_wh, "must be above 0"))
    if faults:
        raise Rejected(*faults)
    if two_rate.dear_up <= two_rate.cheap_up:
        return None
    standing_up = Fraction((two_rate.standing_up_per_day - flat.standing_up_per_day) * days * WH_PER_KWH, yearly_wh)
    share = (two_rate.dear_up + standing_up - flat.dear_up) / Fraction(two_rate.dear_up - two_rate.cheap_up)
    return share if 0 <= share <= 1 else None


def blended_up(rates: Rates, cheap_share: Fraction) -> Fraction:
    """Return the mean price of a kWh with a share of use in the cheap hours, standing charge apart."""
    return rates.cheap_up * cheap_share + rates.dear_up * (1 - cheap_share)
