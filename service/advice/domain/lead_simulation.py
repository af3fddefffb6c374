"""Many years of state of charge, night by night: which nights leave too little for the day after.

All years go side by side, one day at a time. What a day lacks is taken to be charged elsewhere on the way, so the car
comes home with its reserve and the next night starts from there.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from service.advice.domain.diary_years import WEEK_DAYS, Energies


@dataclass(frozen=True)
class Battery:
    """A car's battery [Wh]: all of it, what everyday charging fills, and what a day should leave."""

    full_wh: int
    ceiling_wh: int
    reserve_wh: int


@dataclass(frozen=True)
class Nights:
    """What many years of nights came to; ``missing_wh`` is what each day lacked, shape (days, years)."""

    missing_wh: Energies

    @property
    def years(self) -> int:
        """Return how many years there are."""
        return int(self.missing_wh.shape[1])

    @property
    def night_share(self) -> float:
        """Return the share of nights that left too little."""
        return float(np.count_nonzero(self.missing_wh)) / self.missing_wh.size

    @property
    def week_share(self) -> float:
        """Return the share of weeks with such a night."""
        return float(self._weeks().mean())

    @property
    def short_nights_a_year(self) -> float:
        """Return how many nights of a year left too little."""
        return float(np.count_nonzero(self.missing_wh)) / self.years

    @property
    def missing_wh_a_year(self) -> int:
        """Return the battery energy that a year lacks, to be charged elsewhere."""
        return round(int(self.missing_wh.sum(dtype=np.int64)) / self.years)

    def night_shares(self, groups: int) -> NDArray[np.float64]:
        """Return the share of nights of each group of years that stand side by side."""
        short = self.missing_wh > 0
        return np.asarray(short.reshape(len(short), groups, -1).mean(axis=(0, 2)))

    def _weeks(self) -> NDArray[np.bool_]:
        weeks = self.missing_wh.reshape(-1, WEEK_DAYS, self.years)
        return np.asarray((weeks > 0).any(axis=1))


def simulate(used_wh: Energies, gains_wh: ArrayLike, battery: Battery, *, fill_before_wh: int | None = None) -> Nights:
    """Return the nights of some years; each year starts charged to the everyday ceiling.

    Parameters
    ----------
    used_wh : ndarray, shape (days, years)
        Battery energy that each day's driving takes [Wh].
    gains_wh : array of ints, shape (days,)
        What the night before each day can put into the battery [Wh].
    battery : Battery
        Its limits.
    fill_before_wh : int, optional
        Where given, the ceiling does not hold on the three nights before a day that takes more than this [Wh].

    Notes
    -----
    Night: the charge rises by the gain, up to the ceiling; above it already, it stays. Day: the drive is taken off;
    where less than the reserve would be left, the difference is missing and the car comes home with its reserve.
    """
    days, years = used_wh.shape
    gains = np.asarray(gains_wh, dtype=np.int32)
    missing = np.empty((days, years), dtype=np.int32)
    charge = np.full(years, battery.ceiling_wh, dtype=np.int32)
    ceilings = None if fill_before_wh is None else _ceilings(used_wh, battery, fill_before_wh)
    for day in range(days):
        ceiling = np.int32(battery.ceiling_wh) if ceilings is None else ceilings[day]
        charge = np.maximum(charge, np.minimum(ceiling, charge + gains[day]))
        left = charge - used_wh[day]
        np.maximum(battery.reserve_wh - left, 0, out=missing[day])
        charge = left + missing[day]
    return Nights(missing)


FILLED_NIGHTS = 3
"""So many nights before a long day the ceiling may be left: own choice."""


def _ceilings(used_wh: Energies, battery: Battery, fill_before_wh: int) -> Energies:
    is_long = used_wh > fill_before_wh
    is_raised = is_long.copy()
    for ahead in range(1, FILLED_NIGHTS):
        is_raised[:-ahead] |= is_long[ahead:]
    return np.where(is_raised, np.int32(battery.full_wh), np.int32(battery.ceiling_wh))
