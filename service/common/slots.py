"""Half-hours as whole numbers, and the local days that are made of them.

A slot is the half-hour that starts at ``index * 1800`` seconds after 1970-01-01T00:00Z. A local
day has 46, 48 or 50 of them. Adding the zone's offset, in half-hours, to an index gives the
"wall" number: half-hours since 1970-01-01T00:00 on the wall clock, from which day and time of
day follow by division. Two slots of a repeated hour share one wall number.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime, time, timedelta
from functools import lru_cache
from zoneinfo import ZoneInfo, available_timezones

import numpy as np
from numpy.typing import NDArray

from service.common.errors import Fault, Rejected

SLOT_S = 1800
SLOTS_PER_PLAIN_DAY = 48
SLOT_HOURS = 0.5

_SLOT = timedelta(seconds=SLOT_S)
_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_EPOCH_ON = date(1970, 1, 1)
_CHECKED_YEARS = range(2020, 2041)  # the span over which a zone must behave
_MACHINE_NAMES = frozenset({"localtime", "posixrules", "Factory"})  # mean something else on each machine


def checked_zone(name: str, *, field: str = "zone") -> ZoneInfo:
    """Return the IANA zone of that name, if half-hours fit its clock.

    Raises
    ------
    Rejected
        If the name is unknown, or between 2020 and 2040 the zone's offset is not a whole number
        of half-hours, or its clock changes by other than one hour or not at a half-hour.
    """
    fault = _zone_fault(name)
    if fault:
        raise Rejected(Fault(field, name, fault))
    return ZoneInfo(name)


def slot_index(instant: datetime) -> int:
    """Return the slot that holds an aware instant.

    >>> slot_index(datetime(1970, 1, 1, 1, 29, tzinfo=UTC))
    2
    """
    return (_aware(instant) - _EPOCH) // _SLOT


def slot_start(index: int) -> datetime:
    """Return the instant, aware and in UTC, at which a slot starts."""
    return _EPOCH + int(index) * _SLOT


def slots_within(starts_at: datetime, ends_at: datetime) -> range:
    """Return the slots that lie wholly inside [starts_at, ends_at); none if it is empty or reversed."""
    first = -((_EPOCH - _aware(starts_at)) // _SLOT)
    return range(first, max(first, slot_index(ends_at)))


@lru_cache(maxsize=4096)
def local_day_slots(day: date, zone: ZoneInfo) -> range:
    """Return the slots of a local day, midnight to midnight: 46, 48 or 50 of them.

    Where a clock change swallows midnight itself the day starts at its first instant.
    """
    starts_at, ends_at = instant_at(day, 0, zone), instant_at(day + timedelta(days=1), 0, zone)
    return range(slot_index(starts_at), slot_index(ends_at))


def local_of(index: int, zone: ZoneInfo) -> datetime:
    """Return the start of a slot on the zone's clock (fold 1 in the second of a repeated hour)."""
    return slot_start(index).astimezone(zone)


def instant_at(day: date, minutes: int, zone: ZoneInfo) -> datetime:
    """Return the UTC instant of a wall time.

    Parameters
    ----------
    day : date
        Local date.
    minutes : int
        Minutes after midnight on the wall clock; 1440 is the next day's midnight, and so on.
    zone : ZoneInfo
        Zone of the wall clock.

    Notes
    -----
    A time inside the missing hour is moved forward by the gap: 01:30 on a London spring day is
    01:30Z, which the wall shows as 02:30. A repeated time means its first occurrence. This is
    PEP 495's fold=0 reading.
    """
    days, minute = divmod(minutes, 24 * 60)
    wall = datetime.combine(day + timedelta(days=days), time(minute // 60, minute % 60), tzinfo=zone)
    return wall.astimezone(UTC)


def local_walls(first_slot: int, count: int, zone: ZoneInfo) -> NDArray[np.int64]:
    """Return the wall number of each of ``count`` slots, shape (count,).

    ``walls // 48`` counts local days since 1970-01-01, ``walls % 48`` is the half-hour of the day.
    """
    if count <= 0:
        return np.zeros(0, dtype=np.int64)
    first_day, last_day = first_slot // SLOTS_PER_PLAIN_DAY, (first_slot + count - 1) // SLOTS_PER_PLAIN_DAY
    offsets = np.concatenate([_offset_slots(day, zone) for day in range(first_day, last_day + 1)])
    skipped = first_slot - first_day * SLOTS_PER_PLAIN_DAY
    walls: NDArray[np.int64] = offsets[skipped : skipped + count] + np.arange(first_slot, first_slot + count)
    return walls


def walls_of(slots: NDArray[np.int64], zone: ZoneInfo) -> NDArray[np.int64]:
    """Return the wall number of each slot of any array of slots, shape as given (one axis)."""
    if not len(slots):
        return np.zeros(0, dtype=np.int64)
    days, day_at = np.unique(slots // SLOTS_PER_PLAIN_DAY, return_inverse=True)
    offsets = np.stack([_offset_slots(int(day), zone) for day in days])
    walls: NDArray[np.int64] = slots + offsets[day_at, slots % SLOTS_PER_PLAIN_DAY]
    return walls


def local_minutes(first_slot: int, count: int, zone: ZoneInfo) -> NDArray[np.int64]:
    """Return each slot's start in minutes after local midnight on the wall clock, shape (count,)."""
    return local_walls(first_slot, count, zone) % SLOTS_PER_PLAIN_DAY * (SLOT_S // 60)


def local_days(first_slot: int, count: int, zone: ZoneInfo) -> NDArray[np.int64]:
    """Return each slot's local date as days since 1970-01-01, shape (count,)."""
    return local_walls(first_slot, count, zone) // SLOTS_PER_PLAIN_DAY


def day_number(day: date) -> int:
    """Return a date as days since 1970-01-01, the count that ``local_days`` uses."""
    return (day - _EPOCH_ON).days


def day_of_number(number: int) -> date:
    """Return the date that is ``number`` days after 1970-01-01."""
    return _EPOCH_ON + timedelta(days=int(number))


def _aware(instant: datetime) -> datetime:
    if instant.tzinfo is None:
        raise ValueError("an instant must carry its offset")
    return instant


@lru_cache(maxsize=16384)
def _offset_slots(utc_day: int, zone: ZoneInfo) -> NDArray[np.int64]:
    """Return the zone's offset in half-hours at each slot of one UTC day, shape (48,)."""
    first = utc_day * SLOTS_PER_PLAIN_DAY
    offsets = np.array([_offset_s(slot_start(first + step), zone) // SLOT_S for step in range(SLOTS_PER_PLAIN_DAY)])
    offsets.setflags(write=False)
    return offsets


def _offset_s(instant: datetime, zone: ZoneInfo) -> int:
    return (instant.astimezone(zone).replace(tzinfo=UTC) - instant) // timedelta(seconds=1)


@lru_cache(maxsize=1)
def _known_names() -> frozenset[str]:
    return frozenset(available_timezones()) - _MACHINE_NAMES


@lru_cache(maxsize=1024)
def _zone_fault(name: str) -> str | None:
    """Return why a zone cannot be used, or None."""
    if name not in _known_names():
        return "is not the name of an IANA time zone, such as Europe/London"
    zone = ZoneInfo(name)
    before_s = _offset_s(datetime(_CHECKED_YEARS.start, 1, 1, tzinfo=UTC), zone)
    if before_s % SLOT_S:
        return f"is not supported: {name} is not a whole number of half-hours from UTC"
    for changes_at, after_s in _clock_changes(zone):
        if abs(after_s - before_s) != 3600:
            return f"is not supported: {name} changes its clock by other than one hour in {changes_at.year}"
        if (changes_at - _EPOCH) % _SLOT:
            return f"is not supported: {name} changes its clock between half-hours in {changes_at.year}"
        before_s = after_s
    return None


def _clock_changes(zone: ZoneInfo) -> Iterator[tuple[datetime, int]]:
    """Yield (instant, offset in seconds afterwards) of each change in the checked years."""
    day = datetime(_CHECKED_YEARS.start, 1, 1, tzinfo=UTC)
    end = datetime(_CHECKED_YEARS.stop, 1, 1, tzinfo=UTC)
    before_s = _offset_s(day, zone)
    while day < end:
        after_s = _offset_s(day + timedelta(days=1), zone)
        if after_s != before_s:
            yield _change_between(day, day + timedelta(days=1), before_s, zone), after_s
        day, before_s = day + timedelta(days=1), after_s


def _change_between(low: datetime, high: datetime, before_s: int, zone: ZoneInfo) -> datetime:
    """Return the first second in (low, high] at which the offset is no longer ``before_s``."""
    while high - low > timedelta(seconds=1):
        middle = low + timedelta(seconds=(high - low) // timedelta(seconds=2))
        low, high = (middle, high) if _offset_s(middle, zone) == before_s else (low, middle)
    return high
