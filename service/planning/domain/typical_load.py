"""What an average home draws half-hour by half-hour, from a published profile, scaled to a home's yearly use.

The profile is that of Profile Class 1 (domestic, one rate) used in settling Great Britain's electricity: the average
demand of many homes. It is dated 1997 and an average: smoother than any one home, and from before heat pumps. Nothing
but its shape is used.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from enum import StrEnum
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from service.common.slots import SLOTS_PER_PLAIN_DAY, day_of_number
from service.common.units import HALF_HOURS_PER_HOUR, WH_PER_KWH
from service.households.domain.ranges import in_range, refuse

PROFILE_ZONE: Final = "Europe/London"  # the only one whose homes the profile describes
# Read from two public copies, which agree on the winter weekday; the archive's own licence page was not opened.
PROFILE_SOURCE: Final = (
    "Electricity user load profiles by profile class, Profile Class 1, 1997 (Electricity Association and Elexon; "
    "UKERC Energy Data Centre, open access)"
)
YEARLY_MAX_KWH: Final = 100_000  # own bound on what a home may be said to use

_TEN_W: Final = 10  # the unit of the table


class Season(StrEnum):
    """The profile's seasons."""

    WINTER = "winter"
    SPRING = "spring"
    SUMMER = "summer"
    HIGH_SUMMER = "high_summer"
    AUTUMN = "autumn"


class DayType(StrEnum):
    """The profile's days; bank holidays are not told apart."""

    WEEKDAY = "weekday"
    SATURDAY = "saturday"
    SUNDAY = "sunday"


# average demand in each half-hour from local midnight [10 W]; source: PROFILE_SOURCE
_PROFILE: Final = {
    (Season.WINTER, DayType.WEEKDAY):
        "33 28 25 23 22 21 21 20 20 21 22 24 31 39 52 63 62 57 52 50 49 48 47 47 "
        "49 49 47 45 44 46 47 53 64 78 89 92 92 91 88 84 80 78 77 72 67 59 49 41",
    (Season.WINTER, DayType.SATURDAY):
        "39 32 28 25 23 22 21 21 21 21 22 23 27 32 39 46 51 56 57 57 57 57 56 56 "
        "59 59 58 54 52 53 53 56 63 73 83 89 89 90 89 84 80 74 73 69 64 59 52 46",
    (Season.WINTER, DayType.SUNDAY):
        "41 34 30 27 25 23 22 21 21 21 21 22 24 27 31 38 44 53 58 62 68 70 73 74 "
        "77 77 74 68 63 63 64 65 72 79 86 90 92 90 88 85 82 78 77 72 67 60 50 42",
    (Season.SPRING, DayType.WEEKDAY):
        "29 25 22 21 20 19 19 19 19 19 19 21 27 35 42 48 49 44 43 42 41 39 38 38 "
        "42 41 39 36 37 37 37 41 46 54 60 59 58 57 57 57 61 64 67 64 61 53 45 36",
    (Season.SPRING, DayType.SATURDAY):
        "33 29 25 23 22 20 19 19 19 20 20 20 23 28 33 39 43 46 49 48 49 48 47 50 "
        "52 50 46 43 41 44 43 45 50 54 58 61 61 57 59 61 62 64 63 60 57 53 47 39",
    (Season.SPRING, DayType.SUNDAY):
        "33 30 27 24 22 21 20 19 19 19 20 20 21 24 29 34 42 45 50 55 55 59 61 66 "
        "67 65 61 55 49 47 46 46 49 50 55 58 57 56 58 55 62 65 67 63 59 54 44 36",
    (Season.SUMMER, DayType.WEEKDAY):
        "27 23 21 20 19 19 18 18 18 18 19 20 25 32 40 43 44 41 40 39 38 37 37 37 "
        "39 38 36 35 34 35 35 39 44 52 56 55 54 52 50 48 47 49 51 53 55 49 41 34",
    (Season.SUMMER, DayType.SATURDAY):
        "31 26 23 21 20 19 19 19 19 19 19 20 22 27 31 36 40 43 46 46 46 44 43 45 "
        "47 45 43 42 41 40 40 42 42 47 52 53 50 51 50 49 47 45 47 50 51 49 43 37",
    (Season.SUMMER, DayType.SUNDAY):
        "32 28 25 22 21 20 19 19 19 19 19 19 20 23 28 31 37 41 46 49 52 54 56 58 "
        "61 61 57 51 46 45 46 45 46 48 49 51 51 51 50 47 48 48 52 53 54 50 41 34",
    (Season.HIGH_SUMMER, DayType.WEEKDAY):
        "29 25 22 21 20 19 19 19 19 19 20 21 24 30 37 39 41 41 40 40 39 39 37 38 "
        "40 39 37 35 35 35 36 37 42 50 53 52 51 50 48 46 48 51 56 56 54 48 41 35",
    (Season.HIGH_SUMMER, DayType.SATURDAY):
        "31 27 23 22 21 20 19 20 19 20 20 20 22 26 33 35 37 43 43 43 43 42 41 42 "
        "44 42 41 38 37 36 37 39 40 46 48 48 48 47 46 46 48 49 50 51 49 47 42 37",
    (Season.HIGH_SUMMER, DayType.SUNDAY):
        "33 29 25 23 21 20 20 20 20 19 20 20 21 24 28 31 35 40 44 47 50 52 53 56 "
        "58 57 55 50 45 41 41 42 42 46 49 50 50 48 48 48 50 50 53 53 52 49 41 35",
    (Season.AUTUMN, DayType.WEEKDAY):
        "28 24 21 20 19 19 18 18 19 19 19 21 26 34 43 50 49 45 42 41 41 39 38 39 "
        "41 40 39 37 36 36 37 39 46 55 61 61 65 68 69 68 69 67 66 62 58 51 42 34",
    (Season.AUTUMN, DayType.SATURDAY):
        "31 27 24 22 20 19 19 19 19 19 19 20 23 27 33 40 44 47 47 48 48 47 45 47 "
        "49 49 45 42 41 41 41 43 46 52 58 57 61 68 71 69 67 63 63 58 55 52 46 40",
    (Season.AUTUMN, DayType.SUNDAY):
        "35 30 24 22 21 20 19 19 19 18 19 20 20 22 27 32 37 44 49 54 55 55 56 59 "
        "63 64 61 57 47 47 46 48 48 51 54 60 62 66 71 69 68 66 66 61 58 51 42 34",
}
_DEMAND_TEN_W: Final = {kind: np.array(row.split(), dtype=np.int64) for kind, row in _PROFILE.items()}


def season_of(day: date) -> Season:
    """Return the season of a day, as the profile's description bounds it.

    Winter lies between the clock changes of October and March. Summer begins on the 16th, high summer on the 6th
    Saturday before the August bank holiday (the last Monday of August), autumn on the Monday after that holiday.
    """
    holiday = _last_weekday(day.year, 8, 0)
    bounds = (
        (_last_weekday(day.year, 3, 6), Season.WINTER),
        (holiday - timedelta(days=16 * 7 - 5), Season.SPRING),
        (holiday - timedelta(days=6 * 7 - 5), Season.SUMMER),
        (holiday + timedelta(days=7), Season.HIGH_SUMMER),
        (_last_weekday(day.year, 10, 6), Season.AUTUMN),
    )
    return next((season for ends_on, season in bounds if day < ends_on), Season.WINTER)


def day_type_of(day: date) -> DayType:
    """Return the profile's kind of a day."""
    return {5: DayType.SATURDAY, 6: DayType.SUNDAY}.get(day.weekday(), DayType.WEEKDAY)


def typical_w(walls: NDArray[np.int64], yearly_kwh: int) -> list[int]:
    """Return a home's average power in each half-hour, rounded up [W].

    Parameters
    ----------
    walls : ndarray, shape (slots,)
        Wall numbers of the half-hours on Great Britain's clock, as ``slots.local_walls`` gives them.
    yearly_kwh : int
        What the home uses in a year, without its cars [kWh].

    Raises
    ------
    Rejected
        If the yearly use is negative or beyond ``YEARLY_MAX_KWH``.
    """
    refuse(in_range("yearly_kwh", yearly_kwh, 0, YEARLY_MAX_KWH, "kWh"))
    yearly_wh = yearly_kwh * WH_PER_KWH
    found = []
    for number, half_hour in zip(*(part.tolist() for part in np.divmod(walls, SLOTS_PER_PLAIN_DAY)), strict=True):
        day = day_of_number(number)
        demand = int(_DEMAND_TEN_W[season_of(day), day_type_of(day)][half_hour])
        found.append(-(-demand * _TEN_W * yearly_wh // profile_year_wh(day.year)))
    return found


@lru_cache(maxsize=64)
def profile_year_wh(year: int) -> int:
    """Return what the profile's average home uses in a calendar year of 24-hour days [Wh]."""
    total = sum(int(_DEMAND_TEN_W[season_of(day), day_type_of(day)].sum()) for day in _days(year))
    return total * _TEN_W // HALF_HOURS_PER_HOUR


def _days(year: int) -> Iterator[date]:
    day = date(year, 1, 1)
    while day.year == year:
        yield day
        day += timedelta(days=1)


def _last_weekday(year: int, month: int, weekday: int) -> date:
    """Return the last such weekday (Monday is 0) of a month of 31 days."""
    last = date(year, month, 31)
    return last - timedelta(days=(last.weekday() - weekday) % 7)
