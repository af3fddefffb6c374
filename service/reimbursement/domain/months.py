"""Months that claims are made for, and tax years that the mileage allowance counts in."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date

from service.common.errors import Fault, Rejected

TAX_YEAR_STARTS = (4, 6)
"""Month and day on which a tax year begins; source: the UK tax year, 6 April to 5 April."""

_MONTH = re.compile(r"([0-9]{4})-(0[1-9]|1[0-2])")


@dataclass(frozen=True, order=True)
class Month:
    """A calendar month, by its first day."""

    first_on: date

    @classmethod
    def of(cls, day: date) -> Month:
        """Return the month that holds a day."""
        return cls(day.replace(day=1))

    @classmethod
    def read(cls, text: str, *, field: str = "month") -> Month:
        """Return the month that "2026-11" names; raises ``Rejected``."""
        match = _MONTH.fullmatch(text)
        if match is None or not 1970 <= int(match[1]) <= 2099:
            raise Rejected(Fault(field, text, "must be a month YYYY-MM from 1970 to 2099"))
        return cls(date(int(match[1]), int(match[2]), 1))

    @property
    def end_on(self) -> date:
        """Return the first day after it."""
        year, month = divmod(self.first_on.year * 12 + self.first_on.month, 12)
        return date(year, month + 1, 1)

    def holds(self, day: date) -> bool:
        """Say whether a day lies in it."""
        return self.first_on <= day < self.end_on

    def __str__(self) -> str:
        return f"{self.first_on:%Y-%m}"


def tax_year_from(day: date) -> date:
    """Return the first day of the tax year that holds a day.

    >>> tax_year_from(date(2026, 4, 5)), tax_year_from(date(2026, 4, 6))
    (datetime.date(2025, 4, 6), datetime.date(2026, 4, 6))
    """
    start = date(day.year, *TAX_YEAR_STARTS)
    return start if day >= start else start.replace(year=day.year - 1)


def tax_year_words(from_on: date) -> str:
    """Return a tax year's usual name.

    >>> tax_year_words(date(2026, 4, 6))
    '2026/27'
    """
    return f"{from_on.year}/{(from_on.year + 1) % 100:02d}"
