"""What a car must have been charged with in weeks without any record, from the miles it was driven: an estimate.

Miles come from the diary; on days it does not have, from what its odometer rose by between two readings, spread evenly
over the days between that the diary lacks.  A week (Monday to Sunday) in which a car has a record is never estimated:
the records are then taken to be all there is.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import ROUND_HALF_UP, Decimal
from itertools import pairwise
from typing import Final

from service.common.units import WH_PER_KWH

PERMILLE: Final = 1000


@dataclass(frozen=True)
class DrivenCar:
    """A car's miles by local day and its odometer by day, how far it goes on a kWh from the battery, and its loss."""

    vehicle_id: str
    label: str
    miles_per_kwh: Decimal
    efficiency_permille: int
    diary: Mapping[date, Decimal]
    odometer: Sequence[tuple[date, Decimal]] = ()


@dataclass(frozen=True, slots=True)
class EstimatedDay:
    """Energy at the wall that a day's miles took [Wh]; ``basis`` is "diary" or "odometer"."""

    on: date
    vehicle_id: str
    energy_wh: int
    basis: str


def estimated_days(
    car: DrivenCar, days: Iterable[date], recorded_weeks: frozenset[tuple[int, int]]
) -> Iterator[EstimatedDay]:
    """Yield the days, of those asked for, that are estimated; days without any miles are left out.

    ``recorded_weeks`` are (ISO year, ISO week) in which the car has a record.
    """
    by_odometer = dict(_odometer_miles(car))
    for on in days:
        if week_of(on) in recorded_weeks:
            continue
        miles, basis = car.diary.get(on), "diary"
        if miles is None:
            miles, basis = by_odometer.get(on), "odometer"
        if miles:
            yield EstimatedDay(on, car.vehicle_id, wall_wh(miles, car), basis)


def week_of(on: date) -> tuple[int, int]:
    """Return the ISO year and week of a date."""
    year, week, _ = on.isocalendar()
    return year, week


def wall_wh(miles: Decimal, car: DrivenCar) -> int:
    """Return what miles take at the wall, rounded to a whole Wh.

    >>> wall_wh(Decimal(36), DrivenCar("", "", Decimal("3.6"), 840, {}))
    11905
    """
    exact = miles / car.miles_per_kwh * WH_PER_KWH * PERMILLE / car.efficiency_permille
    return int(exact.quantize(Decimal(1), ROUND_HALF_UP))


def _odometer_miles(car: DrivenCar) -> Iterator[tuple[date, Decimal]]:
    """Yield the miles of each day that the diary lacks, by what the odometer rose by: days (first, last]."""
    for (first_on, first), (last_on, last) in pairwise(sorted(car.odometer)):
        days = [first_on + timedelta(days=step) for step in range(1, (last_on - first_on).days + 1)]
        kept = sum((car.diary[on] for on in days if on in car.diary), Decimal(0))
        lacking = [on for on in days if on not in car.diary]
        rest = last - first - kept
        if lacking and rest > 0:
            yield from ((on, rest / len(lacking)) for on in lacking)
