"""When a car leaves: the weekly routine and dated journeys, checked as they are put together.

A routine is wall time. A departure in the hour that a clock change skips is accepted and moved
forward by that hour on that day (``common.slots.instant_at``); a journey is two instants.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal

from service.common.errors import Fault, Rejected
from service.households.domain.ranges import in_range, of_decimals, refuse, text_within
from service.households.domain.trips import LONGEST_AWAY_DAYS

MILES_MAX = 2000
JOURNEY_MAX = timedelta(days=60)
DEPARTURES_MAX = 50
"""Own bounds: more than any car does, and few enough to plan quickly."""

_DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
_MINUTES_A_DAY = 24 * 60


@dataclass(frozen=True)
class WeeklyDeparture:
    """One departure of every week; weekday 0 is Monday, times are minutes after local midnight."""

    weekday: int
    leaves_min: int
    returns_min: int
    returns_days_later: int
    miles: Decimal

    def __post_init__(self) -> None:
        refuse(
            in_range("weekday", self.weekday, 0, 6, "(0 is Monday)"),
            in_range("leaves_at", self.leaves_min, 0, _MINUTES_A_DAY - 1, "minutes after midnight"),
            in_range("returns_at", self.returns_min, 0, _MINUTES_A_DAY - 1, "minutes after midnight"),
            in_range("returns_days_later", self.returns_days_later, 0, LONGEST_AWAY_DAYS, "days"),
            _order_faults(self),
            _miles_faults(self.miles),
        )


@dataclass(frozen=True)
class DatedJourney:
    """One dated departure and return, aware instants; ``is_business``: driven for the employer."""

    leaves_at: datetime
    returns_at: datetime
    miles: Decimal
    is_important: bool = False
    replaces_routine: bool = True
    note: str = ""
    is_business: bool = False

    def __post_init__(self) -> None:
        refuse(_journey_faults(self), _miles_faults(self.miles), text_within("note", self.note, 200))


def check_routine(departures: Sequence[WeeklyDeparture]) -> None:
    """Refuse a week that is too long, or says one departure twice; raises ``Rejected``.

    Departures that overlap otherwise are let be: the car is then away for all of that time.
    """
    if len(departures) > DEPARTURES_MAX:
        raise Rejected(Fault("departures", len(departures), f"must be at most {DEPARTURES_MAX}"))
    refuse(_repeat_faults(departures))


def check_not_ended(journey: DatedJourney, *, at: datetime) -> None:
    """Refuse a journey that is over at an instant; raises ``Rejected``."""
    if journey.returns_at <= at:
        raise Rejected(Fault("returns_at", journey.returns_at.isoformat(), "must be later than now"))


def _order_faults(line: WeeklyDeparture) -> Iterator[Fault]:
    if line.returns_days_later * _MINUTES_A_DAY + line.returns_min <= line.leaves_min:
        yield Fault("returns_at", _clock(line.returns_min), "must be after leaving; say how many days later")


def _journey_faults(journey: DatedJourney) -> Iterator[Fault]:
    if journey.returns_at <= journey.leaves_at:
        yield Fault("returns_at", journey.returns_at.isoformat(), "must be after leaving")
    elif journey.returns_at - journey.leaves_at > JOURNEY_MAX:
        rule = f"must be within {JOURNEY_MAX.days} days of leaving"
        yield Fault("returns_at", journey.returns_at.isoformat(), rule)


def _miles_faults(miles: Decimal) -> Iterator[Fault]:
    yield from in_range("miles", miles, 0, MILES_MAX, "miles")
    yield from of_decimals("miles", miles, 1)


def _repeat_faults(departures: Sequence[WeeklyDeparture]) -> Iterator[Fault]:
    seen: set[tuple[int, int]] = set()
    for position, line in enumerate(departures):
        when = (line.weekday, line.leaves_min)
        if when in seen:
            rule = f"{_DAYS[line.weekday]} {_clock(line.leaves_min)} is entered twice"
            yield Fault(f"departures.{position}.leaves_at", _clock(line.leaves_min), rule)
        seen.add(when)


def _clock(minutes: int) -> str:
    return f"{minutes // 60:02d}:{minutes % 60:02d}"
