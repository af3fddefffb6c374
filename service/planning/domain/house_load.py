"""What a house draws beside its cars, half-hour by half-hour, and what that leaves of its fuse for them.

The load comes from the household's own half-hourly readings, or from a dated profile of an average home. Either is a
half-hour's average. What is left is bounded from below by zero, and by the least current that a charging point can
offer.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

from service.common.errors import Fault, Rejected
from service.common.slots import SLOTS_PER_PLAIN_DAY, day_of_number, local_day_slots, local_walls, walls_of
from service.common.units import DECLARED_VOLTAGE_V, HALF_HOURS_PER_HOUR
from service.common.working import Step, Working
from service.households.domain.ranges import in_range, of_phases, refuse
from service.planning.domain.charging import PERMILLE, slot_cap_wh
from service.planning.domain.part_load import LEAST_CURRENT_A
from service.planning.domain.typical_load import PROFILE_SOURCE, PROFILE_ZONE, profile_year_wh, typical_w

NO_PROTECTION: Final = (
    "A half-hour's average hides its peaks: a plan is never a protective measure nor load management, "
    "and it justifies no demand calculation."
)
LEAST_READING_DAYS: Final = 7  # whole local days; own choice: each day of a week once
READING_MAX_WH: Final = 40_000  # own bound: three phases of 100 A at 253 V are 37.95 kWh in half an hour
FUSE_MAX_A: Final = 100  # the largest domestic cut-out fuse reckoned with
MARGIN_PERMILLE: Final = 200  # of the fuse, kept free for peaks within a half-hour; own choice, no source

_SATURDAY: Final = 5


@dataclass(frozen=True, slots=True)
class HouseLoad:
    """The house's average power in each half-hour of a horizon, cars apart [W], with the step that led to it."""

    load_w: tuple[int, ...]
    step: Step


@dataclass(frozen=True, slots=True)
class Headroom:
    """The most that all cars together may draw in each half-hour of a horizon [Wh], with its working."""

    headroom_wh: tuple[int, ...]
    working: Working


def load_from_readings(readings_wh: Mapping[int, int], horizon: range, zone: ZoneInfo) -> HouseLoad:
    """Return the load as the mean of the household's own readings, by local half-hour, weekdays and weekends apart.

    Parameters
    ----------
    readings_wh : mapping of int to int
        Absolute slot to energy imported in it, without what cars drew [Wh]. Charging left in them counts as load of
        the house: a plan then has less room than there is, never more.
    horizon : range
        Absolute slots to plan for.
    zone : ZoneInfo
        Of the household.

    Raises
    ------
    Rejected
        If fewer than ``LEAST_READING_DAYS`` whole local days are read, a half-hour of weekdays or weekends never is,
        or a reading is out of range. Nothing is filled in.
    """
    wrong = [wh for wh in readings_wh.values() if not 0 <= wh <= READING_MAX_WH]
    slots = np.array(sorted(readings_wh), dtype=np.int64)
    walls = walls_of(slots, zone)
    days, read = np.unique(walls // SLOTS_PER_PLAIN_DAY, return_counts=True)
    whole = sum(
        count == len(local_day_slots(day_of_number(day), zone)) for day, count in zip(days, read.tolist(), strict=True)
    )
    sums, counts = np.zeros((2, 2 * SLOTS_PER_PLAIN_DAY), dtype=np.int64)
    if not wrong:
        np.add.at(sums, _kinds(walls), np.array([readings_wh[slot] for slot in slots.tolist()], dtype=np.int64))
        np.add.at(counts, _kinds(walls), 1)
    faults = [Fault("readings_wh", wh, f"must lie between 0 and {READING_MAX_WH} Wh") for wh in wrong[:1]]
    if not wrong and (whole < LEAST_READING_DAYS or not counts.all()):
        faults.append(
            Fault(
                "readings_wh",
                whole,
                f"must cover {LEAST_READING_DAYS} whole local days or more, weekdays and weekends among them",
            )
        )
    if faults:
        raise Rejected(*faults)
    mean_w = -(-sums * HALF_HOURS_PER_HOUR // counts)
    step = Step(
        "The house's load beside the cars",
        {"half-hours read": str(len(slots)), "whole days": str(whole)},
        f"mean of each local half-hour, weekdays and weekends apart, rounded up. {NO_PROTECTION}",
        "the household's own readings",
        _span(mean_w.tolist()),
    )
    return HouseLoad(tuple(mean_w[_kinds(local_walls(horizon.start, len(horizon), zone))].tolist()), step)


def load_from_profile(yearly_kwh: int, horizon: range, zone: ZoneInfo) -> HouseLoad:
    """Return the load of an average home, scaled to what this one uses in a year without its cars.

    Raises
    ------
    Rejected
        If the yearly use is out of range, or the household lies outside Great Britain, whose homes the profile tells
        of: its load is then not known.
    """
    if zone.key != PROFILE_ZONE:
        raise Rejected(Fault("zone", zone.key, f"must be {PROFILE_ZONE}: no profile is known for homes elsewhere"))
    walls = local_walls(horizon.start, len(horizon), zone)
    load_w = typical_w(walls, yearly_kwh)
    years = sorted({day_of_number(number).year for number in (walls // SLOTS_PER_PLAIN_DAY).tolist()})
    step = Step(
        "The house's load beside the cars",
        {
            "yearly use without the cars": f"{yearly_kwh} kWh",
            **{f"profile's own use in {year}": f"{profile_year_wh(year)} Wh" for year in years},
        },
        "average demand by season, kind of day and local half-hour, scaled by yearly use, rounded up; the average of "
        f"many homes is smoother than any one of them. {NO_PROTECTION}",
        PROFILE_SOURCE,
        _span(load_w),
    )
    return HouseLoad(tuple(load_w), step)


def headroom(load: HouseLoad, fuse_a: int, *, phases: int = 1, margin_permille: int = MARGIN_PERMILLE) -> Headroom:
    """Return what the load and a margin leave of the fuse in each half-hour, rounded down, never below zero.

    Parameters
    ----------
    fuse_a : int
        Of the service cut-out, on each phase [A]. Where it is not known there is no headroom to plan with.
    phases : int
        On how many phases all the cars draw alike: 1 or 3. How a house's load is spread over three phases is not
        recorded, so all of it counts on each.
    margin_permille : int
        Share of the fuse kept free for peaks within a half-hour.

    Raises
    ------
    Rejected
        If a value is out of range.
    """
    refuse(
        in_range("fuse_a", fuse_a, 1, FUSE_MAX_A, "A"),
        of_phases("phases", phases),
        in_range("margin_permille", margin_permille, 0, PERMILLE, "per mille"),
    )
    usable_w = fuse_a * DECLARED_VOLTAGE_V * (PERMILLE - margin_permille) // PERMILLE
    left = tuple(phases * (max(0, usable_w - load_w) // HALF_HOURS_PER_HOUR) for load_w in load.load_w)
    step = Step(
        "What the supply leaves for the cars",
        {"fuse": f"{fuse_a} A", "phases": str(phases), "kept free": f"{margin_permille / 10:g} % of the fuse"},
        f"fuse x 230 V less what is kept free, less the house's load, on each phase; not below 0. {NO_PROTECTION}",
        "declared voltage: ESQCR 2002 reg. 27; what is kept free: own choice, no source",
        f"{min(left, default=0)} to {max(left, default=0)} Wh in half an hour",
    )
    return Headroom(left, Working((load.step, step)))


def above_pilot_floor(headroom_wh: Sequence[int], phases: int = 1) -> list[int]:
    """Return the headroom, 0 where it is less than 6 A for the half-hour on each phase: nothing can be charged there.

    A control pilot offers 6 A or pauses (IEC 61851-1). Where several cars share a half-hour,
    one may still be given less than that: it then has to charge for a part of it.

    >>> above_pilot_floor([689, 690, 0])
    [0, 690, 0]
    """
    floor_wh = slot_cap_wh(LEAST_CURRENT_A, phases)
    return [wh if wh >= floor_wh else 0 for wh in headroom_wh]


def _kinds(walls: NDArray[np.int64]) -> NDArray[np.int64]:
    """Return the half-hour of the day of each wall number, those of weekends after those of weekdays."""
    days, half_hours = np.divmod(walls, SLOTS_PER_PLAIN_DAY)
    is_weekend = (days + 3) % 7 >= _SATURDAY  # day 0, 1970-01-01, was a Thursday
    kinds: NDArray[np.int64] = half_hours + SLOTS_PER_PLAIN_DAY * is_weekend
    return kinds


def _span(load_w: Sequence[int]) -> str:
    return f"{min(load_w, default=0)} to {max(load_w, default=0)} W"
