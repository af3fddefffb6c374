"""What a car's odometer stood at on some days: it never runs back, and says how far the car went between two of them.

A reading stands at the end of its day. What lies between two readings and in no day of the diary is spread evenly over
the days without one: an estimate to look at, which never takes the place of a day that somebody kept.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import ROUND_HALF_UP, Decimal
from itertools import pairwise

from service.common.errors import Fault
from service.households.domain.diary_days import DAY_MILES_MAX
from service.households.domain.ranges import in_range, of_decimals, refuse

ODOMETER_MAX = 1_000_000
"""Own bound: more than a car lasts [miles]."""
READINGS_MAX = 400
"""Own bound on what is kept of one car."""
_TENTH = Decimal("0.1")


@dataclass(frozen=True, order=True)
class OdometerDetails:
    """What the odometer stood at when a day ended [miles]."""

    read_on: date
    miles: Decimal

    def __post_init__(self) -> None:
        refuse(in_range("miles", self.miles, 0, ODOMETER_MAX, "miles"), of_decimals("miles", self.miles, 1))


@dataclass(frozen=True)
class Between:
    """What two readings say: miles driven, of which some stand in the diary, and what is left for the days without.

    ``a_day`` is None where every day is kept; ``is_less`` tells that the diary has more miles than the odometer ran.
    """

    after_on: date
    until_on: date
    miles: Decimal
    kept_miles: Decimal
    open_days: tuple[date, ...]
    a_day: Decimal | None
    is_less: bool


def check_reading(new: OdometerDetails, others: Iterable[OdometerDetails], *, today: date) -> None:
    """Refuse a reading that lies ahead, stands there already, runs back or runs too far; raises ``Rejected``."""
    refuse(_reading_faults(new, sorted(others), today))


def between_readings(readings: Iterable[OdometerDetails], kept: Mapping[date, Decimal]) -> tuple[Between, ...]:
    """Return what each pair of neighbouring readings says, oldest first; ``kept`` are the diary's miles by day."""
    return tuple(_between(earlier, later, kept) for earlier, later in pairwise(sorted(readings)))


def estimated_days(between: Iterable[Between]) -> tuple[tuple[date, Decimal], ...]:
    """Return the estimated miles of the days that nobody kept, oldest first, to a tenth."""
    return tuple(
        (day, each.a_day.quantize(_TENTH, ROUND_HALF_UP))
        for each in between
        if each.a_day is not None
        for day in each.open_days
    )


def _reading_faults(new: OdometerDetails, others: Sequence[OdometerDetails], today: date) -> Iterator[Fault]:
    if new.read_on > today:
        yield Fault("read_on", new.read_on.isoformat(), "must not lie ahead")
    if len(others) >= READINGS_MAX:
        yield Fault("", len(others), f"this car has {READINGS_MAX} readings already: take one out first")
    if any(each.read_on == new.read_on for each in others):
        yield Fault("read_on", new.read_on.isoformat(), "has a reading already: take it out first")
    before = max((each for each in others if each.read_on < new.read_on), default=None)
    after = min((each for each in others if each.read_on > new.read_on), default=None)
    for earlier, later in ((before, new), (new, after)):
        if earlier is not None and later is not None:
            yield from _pair_faults(earlier, later, new)


def _pair_faults(earlier: OdometerDetails, later: OdometerDetails, new: OdometerDetails) -> Iterator[Fault]:
    other = earlier if later is new else later
    stands = f"on {other.read_on.isoformat()} it stood at {other.miles:f} miles"
    days = (later.read_on - earlier.read_on).days
    if later.miles < earlier.miles:
        least = "at least" if later is new else "at most"
        yield Fault("miles", str(new.miles), f"must be {least} {other.miles:f}: {stands}, and it never runs back")
    elif later.miles - earlier.miles > DAY_MILES_MAX * days:
        yield Fault("miles", str(new.miles), f"is more than {DAY_MILES_MAX} miles a day away: {stands}")


def _between(earlier: OdometerDetails, later: OdometerDetails, kept: Mapping[date, Decimal]) -> Between:
    days = [earlier.read_on + timedelta(days=each + 1) for each in range((later.read_on - earlier.read_on).days)]
    miles = later.miles - earlier.miles
    kept_miles = sum((kept[day] for day in days if day in kept), Decimal(0))
    open_days = tuple(day for day in days if day not in kept)
    left = max(Decimal(0), miles - kept_miles)
    return Between(
        earlier.read_on, later.read_on, miles, kept_miles, open_days,
        left / len(open_days) if open_days else None,
        kept_miles > miles,
    )  # fmt: skip
