"""Counting months on the calendar, as due dates are set."""

from __future__ import annotations

from calendar import monthrange
from datetime import date


def months_after(day: date, months: int) -> date:
    """Return the same day of a later month, or that month's last day where it is shorter.

    >>> months_after(date(2026, 8, 31), 6)
    datetime.date(2027, 2, 28)
    """
    year, month = divmod(day.year * 12 + day.month - 1 + months, 12)
    return date(year, month + 1, min(day.day, monthrange(year, month + 1)[1]))
