"""How much a day may take: the miles of the diary at a chosen share of days, the next observed value up.

A routine says what a day usually takes; the diary says how often it takes more.  Which share of days to cover is the
household's choice.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from decimal import Decimal
from typing import Final

FEWEST_DAYS: Final = 7
"""Fewer days of diary say nothing: the routine counts alone."""
FEWEST_OF_KIND: Final = 5
"""With fewer weekdays, or days of weekends, than this all days count together (own choice)."""
_SATURDAY: Final = 5


def careful_miles(diary: Sequence[tuple[date, Decimal]], on: date, quantile_permille: int) -> Decimal | None:
    """Return the miles that so many days in a thousand do not exceed, None where the diary is too short.

    Weekdays are judged by weekdays, weekends by weekends, once there are enough of them.

    >>> careful_miles([(date(2026, 3, day), Decimal(day)) for day in range(2, 12)], date(2026, 3, 16), 900)
    Decimal('11')
    """
    if len(diary) < FEWEST_DAYS:
        return None
    alike = [miles for day, miles in diary if _is_weekend(day) == _is_weekend(on)]
    days = alike if len(alike) >= FEWEST_OF_KIND else [miles for _, miles in diary]
    return observed_quantile(days, quantile_permille)


def observed_quantile(values: Iterable[Decimal], permille: int) -> Decimal:
    """Return the least observed value that so many in a thousand do not exceed."""
    ordered = sorted(values)
    position = -(-len(ordered) * permille // 1000)
    return ordered[max(0, position - 1)]


def _is_weekend(day: date) -> bool:
    return day.weekday() >= _SATURDAY
