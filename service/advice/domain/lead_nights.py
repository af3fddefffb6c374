"""How long a car is plugged in before each day, from its weekly routine; and what that puts into the battery.

A night belongs to the day it is charged for: it runs from one day's first departure to the next day's, and from or to
noon where a day has no departure. Times are minutes of a local week; clock changes are left out, as a year of such
weeks is asked about and not one date.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Final, Protocol

import numpy as np
from numpy.typing import NDArray

from service.planning.domain.charging import PERMILLE

WEEKDAYS: Final = 7
MINUTES_A_DAY: Final = 1440
MINUTES_A_WEEK: Final = WEEKDAYS * MINUTES_A_DAY
_NOON_MIN: Final = 720
_MINUTES_AN_HOUR: Final = 60


class Departure(Protocol):
    """A weekly departure: weekday 0 is Monday, minutes after local midnight."""

    @property
    def weekday(self) -> int:
        """The day it leaves on."""
        ...

    @property
    def leaves_min(self) -> int:
        """When it leaves."""
        ...

    @property
    def returns_min(self) -> int:
        """When it is back."""
        ...

    @property
    def returns_days_later(self) -> int:
        """How many days later it is back."""
        ...


def plugged_minutes(
    routine: Sequence[Departure],
    *,
    plug_in_min: int | None = None,
    quiet_min: tuple[int, int] | None = None,
    back_earlier_min: int = 0,
) -> tuple[int, ...]:
    """Return the minutes plugged in before each weekday's drive, Monday first.

    Parameters
    ----------
    routine
        The car's weekly departures.
    plug_in_min : int, optional
        The time of day from which the car is plugged in [minutes after midnight]; between noon and then it is not.
        None: as soon as it is back.
    quiet_min : (int, int), optional
        Between which times of day nothing charges.
    back_earlier_min : int
        By how much each return is taken to be earlier; never before leaving.
    """
    minutes = np.arange(MINUTES_A_WEEK)
    usable = np.ones(MINUTES_A_WEEK, dtype=bool)
    for line in routine:
        leaves = line.weekday * MINUTES_A_DAY + line.leaves_min
        back = line.weekday * MINUTES_A_DAY + line.returns_days_later * MINUTES_A_DAY + line.returns_min
        usable[np.arange(leaves, max(leaves, back - back_earlier_min)) % MINUTES_A_WEEK] = False
    of_day = minutes % MINUTES_A_DAY
    if quiet_min is not None:
        usable &= ~_between(of_day, *quiet_min)
    if plug_in_min is not None:
        usable &= ~_between(of_day, _NOON_MIN, plug_in_min)
    ends = [_night_ends(routine, weekday) for weekday in range(WEEKDAYS)]
    return tuple(_minutes_of_night(usable, ends, weekday) for weekday in range(WEEKDAYS))


def battery_gains_wh(minutes: Sequence[int], power_w: Decimal, permille: int, *, shared_by: int = 1) -> tuple[int, ...]:
    """Return what each night puts into the battery, rounded down [Wh]; cars at one outlet share its time evenly.

    >>> battery_gains_wh([300], Decimal(2300), 1000)  # five cheap hours on a 2.3 kW lead
    (11500,)
    """
    return tuple(int(power_w * each / _MINUTES_AN_HOUR / shared_by) * permille // PERMILLE for each in minutes)


def _between(of_day: NDArray[np.int64], from_min: int, until_min: int) -> NDArray[np.bool_]:
    if from_min <= until_min:
        return (of_day >= from_min) & (of_day < until_min)
    return (of_day >= from_min) | (of_day < until_min)


def _night_ends(routine: Sequence[Departure], weekday: int) -> int:
    """Return the minute of the week at which the night before a weekday's drive is over."""
    leaving = [line.leaves_min for line in routine if line.weekday == weekday]
    return weekday * MINUTES_A_DAY + min(leaving, default=_NOON_MIN)


def _minutes_of_night(usable: NDArray[np.bool_], ends: Sequence[int], weekday: int) -> int:
    end, start = ends[weekday], ends[weekday - 1]
    span = np.arange(start, end if end > start else end + MINUTES_A_WEEK) % MINUTES_A_WEEK
    return int(usable[span].sum())
