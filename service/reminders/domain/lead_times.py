"""When a recheck is reminded of: at a few steps before its date, by how often it recurs, then weekly until done.

A step is a number of days before the due date; a negative one is that many days after it.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

WEEK_DAYS = 7
EARLIEST_HOUR = 8
LATEST_HOUR = 20
"""Own choice: reminders are written from eight in the morning until eight in the evening on the household's clock."""

LONG_OVERDUE_DAYS = 28
"""Own choice: overdue by more than this, everybody in the home is told as of a thing that concerns safety."""

ASKED_WITHIN_DAYS = 14
"""Own choice: a person at the desk may ask for a check that falls due within this; one just made is left alone."""


@dataclass(frozen=True)
class LeadTimes:
    """The steps of rechecks that recur within ``interval_days_max`` days (None: any interval, or none known)."""

    interval_days_max: int | None
    steps: tuple[int, ...]


LEAD_TIMES = (
    LeadTimes(31, (2, 0)),  # a month or less
    LeadTimes(184, (14, 3, 0)),  # up to six months, the longest of which have 184 days
    LeadTimes(None, (30, 14, 7, 1, 0)),
)
"""Own choice, no source: longer notice where an electrician has to be found."""

LONGEST_LEAD_DAYS = max(step for row in LEAD_TIMES for step in row.steps)


def lead_steps(interval_days: int | None) -> tuple[int, ...]:
    """Return the steps up to the due date, the earliest (greatest) first."""
    for row in LEAD_TIMES:
        if row.interval_days_max is None or (interval_days is not None and interval_days <= row.interval_days_max):
            return row.steps
    raise AssertionError("the last row takes any interval")


def steps_due(due_on: date, interval_days: int | None, today: date) -> int | None:
    """Return the most recent step that has come by a day, or None before the first.

    Only the last one counts: days that nobody asked about are caught up with one reminder, not with several.

    Parameters
    ----------
    due_on, today : date
        The due date, and the local date in the household.
    interval_days : int or None
        Days between one recheck of the item and the next; None where not known.

    Examples
    --------
    >>> steps_due(date(2026, 12, 24), 365, date(2026, 12, 12)), steps_due(date(2026, 12, 24), 365, date(2027, 1, 9))
    (14, -14)
    """
    days_left = (due_on - today).days
    if days_left < 0:
        return -(-days_left // WEEK_DAYS * WEEK_DAYS)
    return min((step for step in lead_steps(interval_days) if step >= days_left), default=None)


def rises(step: int) -> bool:
    """Tell whether the administrators hear of a step too: the weekly ones, while nobody does what is due."""
    return step <= -WEEK_DAYS


def is_long_overdue(due_on: date, today: date) -> bool:
    """Tell whether the due date went by more than ``LONG_OVERDUE_DAYS`` ago."""
    return (today - due_on).days > LONG_OVERDUE_DAYS


def sending_day(at: datetime, zone: ZoneInfo) -> date | None:
    """Return the local date whose reminders may be written at an instant, or None outside the sending hours."""
    local = at.astimezone(zone)
    return local.date() if EARLIEST_HOUR <= local.hour < LATEST_HOUR else None


def next_sending(at: datetime, zone: ZoneInfo) -> datetime:
    """Return when a reminder asked for at an instant may go out: then, or at the start of the next sending hours.

    Examples
    --------
    >>> from datetime import UTC
    >>> next_sending(datetime(2026, 11, 25, 22, tzinfo=UTC), ZoneInfo("Europe/London")).isoformat()
    '2026-11-26T08:00:00+00:00'
    """
    if sending_day(at, zone) is not None:
        return at
    local = at.astimezone(zone)
    day = local.date() if local.hour < EARLIEST_HOUR else local.date() + timedelta(days=1)
    return datetime.combine(day, time(EARLIEST_HOUR), tzinfo=zone)
