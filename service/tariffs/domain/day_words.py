"""Words for sets of days, months and times of day, so that a gap or overlap is refused by name."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from service.common.calendar import DayKind

KINDS = tuple(DayKind)  # the order of the day-kind axis in every table of this feature
MONTH_NAMES = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)
_KIND_WORDS = {DayKind.WEEKDAY: "weekdays", DayKind.WEEKEND: "weekends", DayKind.BANK_HOLIDAY: "bank holidays"}


def clock_words(minutes: int) -> str:
    """Return minutes after midnight as a wall time.

    >>> clock_words(30), clock_words(1440)
    ('00:30', '24:00')
    """
    return f"{minutes // 60:02d}:{minutes % 60:02d}"


def spans_in_words(cells: NDArray[np.bool_]) -> list[tuple[str, str]]:
    """Return (time span, days) in words for the marked half-hours, earliest span first.

    ``cells`` has shape (12 months, 3 day kinds, 48 half-hours). Days that share a span are named
    together: ``("00:30-01:00", "on weekdays in January")``.
    """
    days_by_span: dict[tuple[int, int], NDArray[np.bool_]] = {}
    for month, kind in np.argwhere(cells.any(axis=2)):
        for span in _runs(cells[month, kind]):
            days_by_span.setdefault(span, np.zeros((12, 3), dtype=np.bool_))[month, kind] = True
    return [
        (f"{clock_words(start * 30)}-{clock_words(end * 30)}", _days_in_words(days))
        for (start, end), days in sorted(days_by_span.items())
    ]


def _days_in_words(days: NDArray[np.bool_]) -> str:
    """Return a (12, 3) table of months and day kinds in words."""
    kinds_by_months: dict[tuple[bool, ...], list[DayKind]] = {}
    for position, kind in enumerate(KINDS):
        if days[:, position].any():
            kinds_by_months.setdefault(tuple(days[:, position].tolist()), []).append(kind)
    return "; ".join(_kinds_in_words(kinds) + _months_in_words(months) for months, kinds in kinds_by_months.items())


def _kinds_in_words(kinds: Sequence[DayKind]) -> str:
    return "every day" if len(kinds) == len(KINDS) else "on " + _joined([_KIND_WORDS[kind] for kind in kinds])


def _months_in_words(months: Sequence[bool]) -> str:
    """Return " in October to March" for the marked months, "" for the whole year."""
    if all(months):
        return ""
    starts = [month for month in range(12) if months[month] and not months[month - 1]]
    return " in " + _joined([_month_run(start, months) for start in starts])


def _month_run(start: int, months: Sequence[bool]) -> str:
    last = start
    while months[(last + 1) % 12]:
        last += 1
    return MONTH_NAMES[start] if last == start else f"{MONTH_NAMES[start]} to {MONTH_NAMES[last % 12]}"


def _runs(marks: NDArray[np.bool_]) -> list[tuple[int, int]]:
    """Return the half-open runs of True in a row of half-hours."""
    edges = np.flatnonzero(np.diff(np.concatenate(([False], marks, [False])).astype(np.int8)))
    return [(int(start), int(end)) for start, end in zip(edges[::2], edges[1::2], strict=True)]


def _joined(words: Sequence[str]) -> str:
    return " and ".join([", ".join(words[:-1]), words[-1]] if len(words) > 1 else words)
