"""What one car may draw at one outlet, second by second: the plan's blocks as currents that a charging point holds.

A charging point only limits: the car draws what it likes up to the limit. So outside the blocks the limit is 0, and no
limit is ever above what the outlet's evidence, its lead and the car allow now, which may be less than when the plan was
made.  Half-hours after the end of the evidence have limit 0, whatever the plan says.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import ROUND_FLOOR, Decimal
from itertools import pairwise
from typing import Final

from service.common.slots import SLOT_S
from service.common.units import SECONDS_PER_HOUR
from service.planning.domain.charging import power_w, slot_cap_wh
from service.planning.domain.part_load import CURRENT_STEP_A, LEAST_CURRENT_A

NOTHING: Final = Decimal(0)
PROFILE_VERSIONS: Final = ("1.6", "2.0.1")
"""Of OCPP, in which a schedule can be given to a charging point."""


@dataclass(frozen=True)
class OutletSchedule:
    """A car's plan at an outlet over [first_slot, end_slot).

    ``blocks`` are (first half-hour, [Wh at the wall]); ``limit_a`` is the most on each of ``phases`` that may be drawn
    now; from ``usable_until_slot`` on nothing may be drawn at all.
    """

    plan_id: str
    label: str
    outlet_label: str
    first_slot: int
    end_slot: int
    blocks: tuple[tuple[int, tuple[int, ...]], ...]
    limit_a: Decimal
    phases: int
    usable_until_slot: int


@dataclass(frozen=True, slots=True)
class LimitPeriod:
    """From ``start_s`` after the schedule's start no more than ``limit_a`` on each phase; the next period ends it."""

    start_s: int
    limit_a: Decimal


def limit_periods(schedule: OutletSchedule) -> tuple[LimitPeriod, ...]:
    """Return the limits from the schedule's start on; the last one is 0 and holds on.

    Notes
    -----
    Limits have one decimal, rounded down. A part-loaded half-hour at the start of a block begins late, one at its end
    stops early, at full current; within a block the current that spreads its energy over the half-hour, and where that
    is below 6 A, which no car can be asked for, 6 A for a part of it. So a block never takes more than planned, and
    less by what a tenth of an ampere gives at most.
    """
    found: list[LimitPeriod] = []
    until_s = 0
    for start_s, end_s, limit_a in _draws(schedule):
        if start_s > until_s or not found:
            _add(found, until_s, NOTHING if start_s > until_s else limit_a)
        _add(found, start_s, limit_a)
        until_s = end_s
    _add(found, until_s, NOTHING)
    return tuple(found)


def _add(found: list[LimitPeriod], start_s: int, limit_a: Decimal) -> None:
    """Add a period, unless the one before has the same limit; one that would start with it takes its place."""
    if found and found[-1].start_s == start_s:
        found.pop()
    if not found or found[-1].limit_a != limit_a:
        found.append(LimitPeriod(start_s, limit_a))


def _draws(schedule: OutletSchedule) -> Iterator[tuple[int, int, Decimal]]:
    """Yield (start, end, current) of each time that draws, in seconds from the schedule's start, in order."""
    full_a = schedule.limit_a.quantize(CURRENT_STEP_A, ROUND_FLOOR)
    if full_a < LEAST_CURRENT_A:
        return
    end_slot = min(schedule.end_slot, schedule.usable_until_slot)
    for first, energies in sorted(schedule.blocks):
        inside = [
            (first + step, wh)
            for step, wh in enumerate(energies)
            if wh > 0 and schedule.first_slot <= first + step < end_slot
        ]
        for place, (slot, wh) in enumerate(inside):
            starts_s = (slot - schedule.first_slot) * SLOT_S
            is_first, is_last = place == 0, place == len(inside) - 1
            current_a, seconds = _part(wh, full_a, schedule.phases, is_edge=is_first or is_last)
            if seconds and is_first and not is_last:
                yield starts_s + SLOT_S - seconds, starts_s + SLOT_S, current_a
            elif seconds:
                yield starts_s, starts_s + seconds, current_a


def _part(energy_wh: int, full_a: Decimal, phases: int, *, is_edge: bool) -> tuple[Decimal, int]:
    """Return current and seconds of one half-hour that give no more than its energy."""
    full_w = power_w(full_a, phases)
    if energy_wh >= slot_cap_wh(full_a, phases):
        return full_a, SLOT_S
    if is_edge:
        return full_a, int(energy_wh * SECONDS_PER_HOUR // full_w)
    spread_a = (Decimal(energy_wh) * SECONDS_PER_HOUR / (power_w(1, phases) * SLOT_S)).quantize(
        CURRENT_STEP_A, ROUND_FLOOR
    )
    if spread_a >= LEAST_CURRENT_A:
        return spread_a, SLOT_S
    return LEAST_CURRENT_A, int(energy_wh * SECONDS_PER_HOUR // power_w(LEAST_CURRENT_A, phases))


def energy_wh(periods: Sequence[LimitPeriod], phases: int) -> Decimal:
    """Return what a car that draws all it may takes at 230 V [Wh]; the last period has to be 0."""
    total = Decimal(0)
    for period, following in pairwise(periods):
        total += power_w(period.limit_a, phases) * (following.start_s - period.start_s) / SECONDS_PER_HOUR
    return total
