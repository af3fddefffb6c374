"""From a weekly routine and dated journeys to the trips of some days, as instants.

Wall times become instants in the home's zone, so a trip keeps its time of day through a clock
change. Journeys push out the routine of the days they cover; trips that overlap become one.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from functools import lru_cache
from zoneinfo import ZoneInfo

from service.common.slots import instant_at
from service.households.domain.homes import JourneyLine, RoutineLine

_MINUTE = timedelta(minutes=1)
_MINUTES_A_DAY = 24 * 60
LONGEST_AWAY_DAYS = 6
"""Greatest ``returns_days_later`` of a weekly departure: a week later it leaves again."""


@dataclass(frozen=True, slots=True)
class TripTimes:
    """One time away [leaves_at, returns_at), UTC; ``key`` names the departure it came from."""

    leaves_at: datetime
    returns_at: datetime
    miles: Decimal
    is_important: bool
    key: str


def expand_trips(
    routine: Iterable[RoutineLine],
    journeys: Iterable[JourneyLine],
    *,
    zone: ZoneInfo,
    first_day: date,
    day_count: int,
) -> tuple[TripTimes, ...]:
    """Return the times away that touch some local days, in order and without overlap.

    As ``expand_legs``, but trips that overlap are merged: time from the first leaving to the last
    return, miles added, important if one of them is. A trip that returns as the next one leaves is
    not merged.
    """
    return tuple(_merged(expand_legs(routine, journeys, zone=zone, first_day=first_day, day_count=day_count)))


def expand_legs(
    routine: Iterable[RoutineLine],
    journeys: Iterable[JourneyLine],
    *,
    zone: ZoneInfo,
    first_day: date,
    day_count: int,
) -> list[TripTimes]:
    """Return each departure that touches some local days, in order; they may overlap.

    Parameters
    ----------
    routine, journeys
        Of one vehicle, in any order.
    zone : ZoneInfo
        In which the routine and the days are read.
    first_day, day_count
        The local days [first_day, first_day + day_count). A trip under way at their first midnight
        is among the results, so that the caller knows the car is out.

    Notes
    -----
    A journey with ``replaces_routine`` removes the routine departures that leave on any local day from
    its leaving to its returning day, and those that overlap the journey itself: a night shift that
    ends before the journey starts stays. A journey that returns at local midnight does not touch the
    day that then starts.
    """
    starts_at = _instant(first_day, 0, zone)
    ends_at = _instant(first_day + timedelta(days=day_count), 0, zone)
    dated = [line for line in journeys if line.returns_at > starts_at and line.leaves_at < ends_at]
    away = [_replaced(line, zone) for line in dated if line.replaces_routine]
    trips = [
        trip
        for day, trip in _routine_trips(routine, zone, first_day, day_count)
        if trip.returns_at > starts_at and not (away and _is_replaced(day, trip, away))
    ]
    trips += [TripTimes(j.leaves_at, j.returns_at, j.miles, j.is_important, f"journey:{j.id}") for j in dated]
    trips.sort(key=_order)
    return trips


def _order(trip: TripTimes) -> tuple[datetime, datetime, str]:
    return trip.leaves_at, trip.returns_at, trip.key


def _routine_trips(
    routine: Iterable[RoutineLine], zone: ZoneInfo, first_day: date, day_count: int
) -> Iterator[tuple[date, TripTimes]]:
    """Yield (local day of leaving, trip) of each departure that leaves before the days end."""
    for line in routine:
        # A trip of some days may have left before the first day and still be away in it.
        early = line.returns_days_later
        start = first_day - timedelta(days=early)
        until_weekday = (line.weekday - start.weekday()) % 7
        for ahead in range(until_weekday, day_count + early, 7):
            day = start + timedelta(days=ahead)
            yield day, _routine_trip(line, day, zone)


def _routine_trip(line: RoutineLine, day: date, zone: ZoneInfo) -> TripTimes:
    returns_min = line.returns_days_later * _MINUTES_A_DAY + line.returns_min
    leaves_at, returns_at = _instant(day, line.leaves_min, zone), _instant(day, returns_min, zone)
    if returns_at <= leaves_at:
        # Both times lie about a missing hour and only one was moved: keep the length of the trip.
        returns_at = leaves_at + (returns_min - line.leaves_min) * _MINUTE
    key = f"routine:{day.isoformat()}:{line.leaves_min}"
    return TripTimes(leaves_at, returns_at, line.miles, False, key)


def _replaced(line: JourneyLine, zone: ZoneInfo) -> tuple[date, date, JourneyLine]:
    """Return the first and last local day a journey covers."""
    last = (line.returns_at.astimezone(UTC) - timedelta(microseconds=1)).astimezone(zone).date()
    return line.leaves_at.astimezone(zone).date(), last, line


def _is_replaced(day: date, trip: TripTimes, away: list[tuple[date, date, JourneyLine]]) -> bool:
    return any(
        first <= day <= last or (trip.leaves_at < line.returns_at and line.leaves_at < trip.returns_at)
        for first, last, line in away
    )


def _merged(trips: list[TripTimes]) -> Iterator[TripTimes]:
    """Yield sorted trips with each run of overlapping ones as one."""
    current: TripTimes | None = None
    for trip in trips:
        if current is None or trip.leaves_at >= current.returns_at:
            if current is not None:
                yield current
            current = trip
            continue
        current = TripTimes(
            current.leaves_at,
            max(current.returns_at, trip.returns_at),
            current.miles + trip.miles,
            current.is_important or trip.is_important,
            f"{current.key}+{trip.key}",
        )
    if current is not None:
        yield current


_instant = lru_cache(maxsize=65536)(instant_at)
