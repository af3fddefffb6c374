"""What a house uses in a year without its cars, half-hour by half-hour, from the best that is known of it.

In this order: its own half-hourly readings, readings of its meter, the yearly use somebody told, a dated typical value.
What was charged into cars at home is taken out of readings. A part of a year is made a whole one by the shape of the
published profile, because a winter's month is not a twelfth of a year.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from enum import StrEnum
from functools import lru_cache
from typing import Final
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

from service.common.slots import SLOTS_PER_PLAIN_DAY, local_day_slots, local_walls, walls_of
from service.common.units import WH_PER_KWH
from service.common.working import Step
from service.figures.domain.book import Figure
from service.planning.domain.typical_load import PROFILE_SOURCE, typical_w

LEAST_DAYS: Final = 28  # own choice: each day of a week four times, and a meter's whole kWh matter little
MOST_DAYS: Final = 400  # own choice: older readings tell of another life of the house
REPLAY_DAYS: Final = 364  # a year later on the same day of the week
HOUSE: Final = "House without its cars"
_SHAPED: Final = "spread over the year as an average home uses electricity"
_SHAPE_KWH: Final = 10_000  # any yearly use gives the shape; a large one keeps its rounding small

Ints = NDArray[np.int64]


class UseSource(StrEnum):
    """How the house's use is known, the best first."""

    HALF_HOURS = "half_hours"
    METER = "meter"
    TOLD = "told"
    TYPICAL = "typical"


LIKELY_PERMILLE: Final = {
    UseSource.HALF_HOURS: 100, UseSource.METER: 100, UseSource.TOLD: 200, UseSource.TYPICAL: 500,
}  # fmt: skip
"""By how much the next year's use may well differ from the value, each way; own choice, no source."""


@dataclass(frozen=True, eq=False)
class HouseUse:
    """The house's use over the half-hours of a year of local days [Wh], how it is known, and its working."""

    half_hours_wh: Ints
    source: UseSource
    steps: tuple[Step, ...]

    @property
    def yearly_wh(self) -> int:
        """Return the whole year."""
        return int(self.half_hours_wh.sum())


@dataclass(frozen=True, slots=True)
class MeterSpan:
    """What all registers of a meter counted from one day to another, cars included."""

    first_on: date
    end_on: date
    energy_wh: int

    @property
    def days(self) -> int:
        """Return the days between the readings."""
        return (self.end_on - self.first_on).days


def days_shape(first_on: date, end_on: date, zone: ZoneInfo) -> Ints:
    """Return the published profile's weight of each half-hour of the local days [first_on, end_on); never changes."""
    return _shape(first_on, end_on, zone)


@lru_cache(maxsize=64)
def _shape(first_on: date, end_on: date, zone: ZoneInfo) -> Ints:
    view = range(
        local_day_slots(first_on, zone).start, local_day_slots(max(first_on, end_on - timedelta(days=1)), zone).stop
    )
    found = np.array(typical_w(local_walls(view.start, len(view), zone), _SHAPE_KWH), dtype=np.int64)
    found.setflags(write=False)
    return found


def spread(total_wh: int, weights: Ints) -> Ints:
    """Return a whole number of Wh for each weight, in proportion; they add up to the total exactly."""
    sums = np.cumsum(weights, dtype=object) * total_wh // int(weights.sum())
    return np.diff(np.concatenate(([0], sums))).astype(np.int64)


def told_use(yearly_kwh: int, shape: Ints) -> HouseUse:
    """Return the yearly use somebody told, in the profile's shape."""
    told = f"{yearly_kwh} kWh a year"
    step = Step(HOUSE, {"told": told}, _SHAPED, PROFILE_SOURCE, told)
    return HouseUse(spread(yearly_kwh * WH_PER_KWH, shape), UseSource.TOLD, (step,))


def typical_use(figure: Figure, shape: Ints) -> HouseUse:
    """Return a dated typical use, in the profile's shape: of an average home, not of this one."""
    yearly_wh = int(figure.value * WH_PER_KWH)
    inputs = {"typical use": f"{figure.value.normalize():f} {figure.unit}"}
    result = f"{_kwh(yearly_wh)} kWh a year; of an average home, not of this one"
    step = Step(HOUSE, inputs, _SHAPED, PROFILE_SOURCE, result)
    return HouseUse(spread(yearly_wh, shape), UseSource.TYPICAL, (figure.step("Typical use of a home"), step))


def span_of(readings: Iterable[tuple[str, date, Decimal]]) -> MeterSpan | None:
    """Return the longest span of at most ``MOST_DAYS`` that ends with the newest day on which all registers were read.

    Parameters
    ----------
    readings : iterable of (register, day, kWh on the meter)

    Returns
    -------
    MeterSpan or None
        None where there are no two such days.
    """
    by_day: dict[date, dict[str, Decimal]] = {}
    registers = set()
    for register, read_on, kwh in readings:
        by_day.setdefault(read_on, {})[register] = kwh
        registers.add(register)
    whole = sorted(day for day, kwhs in by_day.items() if set(kwhs) == registers)
    if len(whole) < 2:
        return None
    last = whole[-1]
    first = next(day for day in whole if (last - day).days <= MOST_DAYS)
    if first == last:
        return None
    counted = sum(((by_day[last][register] - by_day[first][register]) for register in registers), Decimal(0))
    return MeterSpan(first, last, int(counted * WH_PER_KWH))


def metered_use(span: MeterSpan, charged_wh: int, charged_words: str, shape: Ints, zone: ZoneInfo) -> HouseUse | None:
    """Return the year that two readings of a meter tell of, or None where they lie too close together.

    ``charged_wh`` is what cars took at home in that time, which the meter counted too.
    """
    if span.days < LEAST_DAYS:
        return None
    net_wh = max(0, span.energy_wh - charged_wh)
    of_span = int(days_shape(span.first_on, span.end_on, zone).sum())
    yearly_wh = net_wh * int(shape.sum()) // of_span
    steps = (
        Step(
            "House between two readings",
            {
                "meter": f"{_kwh(span.energy_wh)} kWh from {span.first_on} to {span.end_on}, {span.days} days",
                "cars at home": f"{_kwh(charged_wh)} kWh, {charged_words}",
            },
            "meter - what cars took at home, not below 0", "readings of the home's meter",
            f"{_kwh(net_wh)} kWh, {_kwh(net_wh // span.days)} kWh a day",
        ),
        Step(
            HOUSE,
            {"share of a year's use in these days, by the profile": f"{of_span * 1000 // int(shape.sum()) / 10:g} %"},
            f"a year by the profile's share of these days, then {_SHAPED}", PROFILE_SOURCE,
            f"{_kwh(yearly_wh)} kWh a year",
        ),
    )  # fmt: skip
    return HouseUse(spread(yearly_wh, shape), UseSource.METER, steps)


def read_use(
    readings_wh: Mapping[int, int],
    charged_wh: Mapping[int, int],
    first_on: date,
    end_on: date,
    zone: ZoneInfo,
    *,
    planned_week_wh: int = 0,
) -> HouseUse | None:
    """Return the year that the home's own half-hours tell of, or None where they cover too little.

    A half-hour that was read 52 weeks before, at the same time of the same day of the week, stands for its own; the
    others have the profile's shape, scaled to what was read. ``charged_wh`` is what cars took at home, by half-hour.
    Where nobody recorded any of it, what the cars are planned to take in a week is taken out of the sum, and the year
    has the profile's shape: in which half-hours they took it is not known.
    """
    slots = np.array(sorted(readings_wh), dtype=np.int64)
    if len(slots) < LEAST_DAYS * SLOTS_PER_PLAIN_DAY:
        return None
    is_recorded = any(slot in readings_wh for slot in charged_wh)
    net = np.array([max(0, readings_wh[slot] - charged_wh.get(slot, 0)) for slot in slots.tolist()], dtype=np.int64)
    of_read = int(np.array(typical_w(walls_of(slots, zone), _SHAPE_KWH), dtype=np.int64).sum())
    shape = days_shape(first_on, end_on, zone)
    if planned_week_wh and not is_recorded:
        return _read_with_cars(int(net.sum()), len(slots), planned_week_wh, of_read, shape)
    scaled = spread(int(net.sum()) * int(shape.sum()) // of_read, shape)
    first = local_day_slots(first_on, zone).start
    wanted = local_walls(first, len(shape), zone) - REPLAY_DAYS * SLOTS_PER_PLAIN_DAY
    walls, at = np.unique(walls_of(slots, zone), return_index=True)
    places = np.minimum(np.searchsorted(walls, wanted), len(walls) - 1)
    is_read = walls[places] == wanted
    found = np.where(is_read, net[at][places], scaled)
    step = Step(
        HOUSE,
        {
            "half-hours read": f"{len(slots)}, "
            + ("without what cars took" if is_recorded else "no charge of a car is recorded in them"),
            "of the coming year": f"{int(is_read.sum())} of {len(shape)} were read 52 weeks before",
        },
        f"52 weeks later at the same time; what was not read: {_SHAPED}, scaled to what was read",
        f"the home's own half-hourly readings; {PROFILE_SOURCE}",
        f"{_kwh(int(found.sum()))} kWh a year",
    )
    return HouseUse(found, UseSource.HALF_HOURS, (step,))


def _read_with_cars(read_wh: int, count: int, planned_week_wh: int, of_read: int, shape: Ints) -> HouseUse:
    """Return the year of half-hours with cars in them that nobody recorded."""
    charged_wh = planned_week_wh * count // (7 * SLOTS_PER_PLAIN_DAY)
    yearly_wh = max(0, read_wh - charged_wh) * int(shape.sum()) // of_read
    step = Step(
        HOUSE,
        {
            "half-hours read": f"{count}, {_kwh(read_wh)} kWh",
            "cars at home": f"{_kwh(charged_wh)} kWh, as planned for the coming week: no charge is recorded",
        },
        f"read - what cars took at home, not below 0; a year by the profile's share of this time, then {_SHAPED}",
        f"the home's own half-hourly readings; {PROFILE_SOURCE}",
        f"{_kwh(yearly_wh)} kWh a year",
    )
    return HouseUse(spread(yearly_wh, shape), UseSource.HALF_HOURS, (step,))


def charged_by_slot(
    records: Sequence[tuple[int, int, int, Sequence[Sequence[int]]]],
) -> dict[int, int]:
    """Return what cars took at home by half-hour [Wh]: as metered, else evenly over the half-hours of the record.

    Parameters
    ----------
    records : sequence of (first slot, end slot, energy in Wh, [(slot, Wh), ...])
    """
    found: dict[int, int] = {}
    for first, end, energy_wh, half_hours in records:
        even = spread(energy_wh, np.ones(max(1, end - first), dtype=np.int64)).tolist()
        for slot, wh in half_hours or enumerate(even, first):
            found[slot] = found.get(slot, 0) + wh
    return found


def _kwh(energy_wh: int) -> str:
    return f"{Decimal(energy_wh) / WH_PER_KWH:.1f}".removesuffix(".0")
