"""Kinds of day: weekday, weekend and bank holiday, by nation of the United Kingdom.

The lists come from the ``holidays`` package, which carries them in itself and needs no network.
"""

from __future__ import annotations

from datetime import date
from enum import StrEnum
from functools import lru_cache

import holidays


class Nation(StrEnum):
    """Whose bank holidays a household keeps; England and Wales share one list."""

    ENGLAND = "england"
    WALES = "wales"
    SCOTLAND = "scotland"
    NORTHERN_IRELAND = "northern_ireland"


class DayKind(StrEnum):
    """What a rate window can be limited to; each date is exactly one of them."""

    WEEKDAY = "weekday"
    WEEKEND = "weekend"
    BANK_HOLIDAY = "bank_holiday"


_SUBDIVISION = {
    Nation.ENGLAND: "ENG",
    Nation.WALES: "WLS",
    Nation.SCOTLAND: "SCT",
    Nation.NORTHERN_IRELAND: "NIR",
}


@lru_cache(maxsize=512)
def listed_holidays(year: int, nation: Nation) -> frozenset[date]:
    """Return the nation's listed holidays of a year, the weekend originals of moved ones included."""
    return frozenset(holidays.country_holidays("GB", subdiv=_SUBDIVISION[nation], years=year))


@lru_cache(maxsize=16384)
def day_kind(day: date, nation: Nation) -> DayKind:
    """Return the kind of a date.

    A bank holiday is always a Monday to Friday: when one falls on a weekend the substitute day
    is the bank holiday and the date itself stays weekend (Banking and Financial Dealings Act
    1971, sch. 1, and the yearly proclamations).
    """
    if day.weekday() >= 5:
        return DayKind.WEEKEND
    return DayKind.BANK_HOLIDAY if day in listed_holidays(day.year, nation) else DayKind.WEEKDAY
