"""A vehicle's week as bounds on a path: what must have been charged by each departure.

Each segment is the stay before a departure; the last one runs to the end of the horizon. Bounds
count energy at the wall since the start of the horizon, so rounding happens once per bound and
never adds up. Slots are relative to the horizon's first slot.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from itertools import pairwise
from math import gcd
from typing import Final

from service.common.slots import SLOT_S, slot_index
from service.planning.domain.charging import PERMILLE, wall_need_wh, wall_room_wh
from service.planning.domain.household_week import Control, Trip, VehicleWeek, WeekPrices
from service.planning.domain.path_kernel import Window

NEED_STEP_WH: Final = 100
"""Own choice: about a third of a mile."""

_JUST_UNDER_A_SLOT: Final = timedelta(seconds=SLOT_S) - timedelta.resolution


@dataclass(frozen=True, slots=True)
class Absence:
    """A trip in slots: at home again from ``home_slot`` on, wholly at home before ``leaves_slot``."""

    leaves_slot: int
    home_slot: int
    trip: Trip


@dataclass(frozen=True, slots=True)
class Segment:
    """One stay and the departure that ends it (``trip`` None: the end of the horizon).

    Battery side: ``driven_wh`` by trips before it and standing before them, ``needed_wh`` to be had of it for its trip,
    the reserve and the standing until then,
    ``beyond_battery_wh`` that its trip uses above what a full battery leaves after the reserve.
    """

    first_slot: int
    end_slot: int
    trip: Trip | None
    driven_wh: int
    needed_wh: int
    beyond_battery_wh: int


@dataclass(frozen=True, slots=True)
class VehiclePath:
    """The segments with their windows and bounds, as ``path_kernel.cheapest_path`` takes them.

    ``most_wh`` is what a full battery would take, above any ceiling. ``next_trip`` is the first one that leaves after
    the horizon, where it sets the last target. ``nights`` has the night of each window where one run a night is all
    that can be set, ``start_loss_wh`` what a late start may lose.
    """

    segments: list[Segment]
    windows: list[list[Window]]
    lower_wh: list[int]
    upper_wh: list[int]
    most_wh: list[int]
    next_trip: Trip | None
    nights: list[list[int]] | None = None
    start_loss_wh: int = 0

    def capacities_wh(self) -> list[int]:
        """Return the most that each segment can charge, at the wall [Wh]."""
        if self.nights is not None:
            return [self._of_runs(windows, nights) for windows, nights in zip(self.windows, self.nights, strict=True)]
        capacities = []
        for windows in self.windows:
            capacity = 0
            for first, end, cap in windows:
                capacity += max(0, (end - first) * cap - self.start_loss_wh)
            capacities.append(capacity)
        return capacities

    def _of_runs(self, windows: Sequence[Window], nights: Sequence[int]) -> int:
        """Return what one run a night can give at most: the longest window of each night, less what a start loses."""
        best: dict[int, int] = {}
        for (first, end, cap), night in zip(windows, nights, strict=True):
            best[night] = max(best.get(night, 0), (end - first) * cap - self.start_loss_wh)
        return sum(best.values())


def absences(vehicle: VehicleWeek, prices: WeekPrices) -> list[Absence]:
    """Return the trips that have not ended before the horizon, in the order in which they leave."""
    found = [Absence(slot_index(trip.leaves_at), _ceiling_slot(trip.returns_at), trip) for trip in vehicle.trips]
    found.sort(key=lambda absence: (absence.trip.leaves_at, absence.trip.returns_at, absence.trip.key))
    return [absence for absence in found if absence.home_slot > prices.first_slot or not _has_left(absence, prices)]


def vehicle_path(
    vehicle: VehicleWeek,
    prices: WeekPrices,
    away: Sequence[Absence],
    *,
    usable_until_slot: int,
    allowed: Sequence[Window] | None = None,
    noons: Sequence[int] = (),
) -> VehiclePath:
    """Return the bounds and windows of a vehicle's week.

    Parameters
    ----------
    away : sequence of Absence
        As ``absences`` returns them.
    usable_until_slot : int
        End of the evidence, as an absolute slot; later slots are not used.
    allowed : sequence of Window, optional
        Where and how much the car may charge, ascending and relative to the horizon; without it all of the
        horizon at the car's usual cap.
    noons : sequence of int
        Local noons, relative: where one run a night is all that can be set, a night ends there.

    Notes
    -----
    Before a departure the battery holds what the trip uses and the reserve, at most a full
    battery. It is never charged above the everyday ceiling, save for what this departure or a
    later one needs and no later half-hour can deliver. What must have been charged is rounded down to a whole
    ``NEED_STEP_WH``: nobody pays pounds for a few watt-hours.
    """
    segments, home_slot, later = _stays(vehicle, prices, away)
    usable_until = usable_until_slot - prices.first_slot
    if allowed is None:
        allowed = [(0, prices.count, vehicle.cap_wh)]
    windows = [
        _windows(segment.first_slot, min(_last_slot(segment, vehicle), usable_until), allowed) for segment in segments
    ]
    start, permille = vehicle.start_charge_wh, vehicle.efficiency_permille
    most = [wall_room_wh(segment.driven_wh + vehicle.battery_wh - start, permille) for segment in segments]
    lower = [
        min(wall_need_wh(segment.driven_wh + segment.needed_wh - start, permille), room)
        for segment, room in zip(segments, most, strict=True)
    ]
    next_trip = None
    if later is not None:
        target = _target_after_horizon(vehicle, prices, segments[-1], home_slot, later, usable_until_slot)
        next_trip = later.trip if target > lower[-1] else None
        lower[-1] = min(max(lower[-1], target), most[-1])
    lower = [need // NEED_STEP_WH * NEED_STEP_WH for need in lower]
    if vehicle.control is Control.ONE_RUN:
        split = [_by_night(position, group, noons) for position, group in enumerate(windows)]
        windows = [[window for window, _ in group] for group in split]
        nights = [[night for _, night in group] for group in split]
        path = VehiclePath(segments, windows, lower, most, most, next_trip, nights, vehicle.start_loss_wh)
    else:
        path = VehiclePath(segments, windows, lower, most, most, next_trip, None, vehicle.start_loss_wh)
    return _with_ceilings(path, vehicle)


def _stays(
    vehicle: VehicleWeek, prices: WeekPrices, away: Sequence[Absence]
) -> tuple[list[Segment], int, Absence | None]:
    """Return the segments, the slot from which the car is home after the last one, and the next absence."""
    first, end = prices.first_slot, prices.end_slot
    reserve = vehicle.reserve_wh
    segments: list[Segment] = []
    home_slot, driven, later = first, 0, None
    for absence in away:
        if absence.leaves_slot >= end:
            later = absence
            break
        if not _has_left(absence, prices):
            stay = min(home_slot, end), min(max(home_slot, absence.leaves_slot), end)
            used = min(absence.trip.energy_wh, vehicle.battery_wh - reserve)
            beyond = absence.trip.energy_wh - used
            standing = vehicle.standby_wh(stay[1] - stay[0])
            needed = min(max(used, absence.trip.careful_wh) + reserve + standing, vehicle.battery_wh)
            segments.append(Segment(stay[0] - first, stay[1] - first, absence.trip, driven, needed, beyond))
            driven += used + standing
        home_slot = max(home_slot, absence.home_slot)
    last = min(home_slot, end) - first
    kept = min(reserve + vehicle.standby_wh(end - first - last), vehicle.battery_wh)
    segments.append(Segment(last, end - first, None, driven, kept, 0))
    return segments, home_slot, later


def _target_after_horizon(
    vehicle: VehicleWeek,
    prices: WeekPrices,
    last: Segment,
    home_slot: int,
    later: Absence,
    usable_until_slot: int,
) -> int:
    """Return what must be charged by the end of the horizon for the next departure after it [Wh at the wall].

    Half-hours between the horizon and that departure count in full: their prices are not in view.
    """
    hours_from = max(prices.end_slot, home_slot)
    hours_until = min(later.leaves_slot, usable_until_slot)
    deliverable = vehicle.cap_wh * max(0, hours_until - hours_from)
    standing = vehicle.standby_wh(later.leaves_slot - prices.first_slot - last.first_slot)
    needed = min(max(later.trip.energy_wh, later.trip.careful_wh) + vehicle.reserve_wh + standing, vehicle.battery_wh)
    need = wall_need_wh(last.driven_wh + needed - vehicle.start_charge_wh, vehicle.efficiency_permille)
    return need - deliverable


def _with_ceilings(path: VehiclePath, vehicle: VehicleWeek) -> VehiclePath:
    """Return the path with upper bounds: the everyday ceiling, or what later departures force, or a full battery."""
    forced = 0
    upper = path.upper_wh.copy()
    capacities = path.capacities_wh()
    for position in range(len(path.segments) - 1, -1, -1):
        forced = max(forced, path.lower_wh[position])
        room = path.segments[position].driven_wh + vehicle.ceiling_wh - vehicle.start_charge_wh
        upper[position] = min(upper[position], max(wall_room_wh(room, vehicle.efficiency_permille), forced))
        forced -= capacities[position]
    if vehicle.start_loss_wh:
        # On one grid with caps, losses and needs the planner of late starts is some twenty times quicker.
        step = gcd(vehicle.cap_wh, vehicle.start_loss_wh, NEED_STEP_WH)
        upper = [max(lower, most // step * step) for lower, most in zip(path.lower_wh, upper, strict=True)]
    return replace(path, upper_wh=upper)


def _windows(first: int, end: int, allowed: Sequence[Window]) -> list[Window]:
    """Return what of [first, end) is allowed."""
    return [
        (max(first, opens), min(end, closes), cap)
        for opens, closes, cap in allowed
        if cap > 0 and max(first, opens) < min(end, closes)
    ]


def _last_slot(segment: Segment, vehicle: VehicleWeek) -> int:
    """Return where charging for a departure should end: early by what a full battery takes longer.

    Above the level from which the current falls each half-hour gives half as much (own choice, settable level): the
    same energy takes as long again, and that time is kept free before the car leaves.
    """
    if vehicle.taper_permille is None or vehicle.cap_wh <= 0 or segment.trip is None:
        return segment.end_slot
    slow_wh = segment.needed_wh - vehicle.battery_wh * vehicle.taper_permille // PERMILLE
    if slow_wh <= 0:
        return segment.end_slot
    longer = -(-wall_need_wh(slow_wh, vehicle.efficiency_permille) // vehicle.cap_wh)
    return max(segment.first_slot, segment.end_slot - longer)


def _by_night(position: int, windows: Sequence[Window], noons: Sequence[int]) -> list[tuple[Window, int]]:
    """Return windows cut at noon, each with its night; nights of different stays have different numbers."""
    cut = []
    for first, end, cap in windows:
        edges = [first, *(noon for noon in noons if first < noon < end), end]
        cut += [((begins, stops, cap), bisect_right(noons, begins)) for begins, stops in pairwise(edges)]
    return [(window, position * (len(noons) + 1) + night) for window, night in cut]


def _has_left(absence: Absence, prices: WeekPrices) -> bool:
    """Return whether the car is already gone at the start of the horizon."""
    return absence.leaves_slot < prices.first_slot


def _ceiling_slot(instant: datetime) -> int:
    """Return the first slot that starts at or after an instant."""
    return slot_index(instant + _JUST_UNDER_A_SLOT)
