"""A vehicle's week as bounds on a path: what must have been charged by each departure.

Each segment is the stay before a departure; the last one runs to the end of the horizon. Bounds
count energy at the wall since the start of the horizon, so rounding happens once per bound and
never adds up. Slots are relative to the horizon's first slot.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

from service.common.slots import SLOT_S, slot_index
from service.planning.domain.charging import wall_need_wh, wall_room_wh
from service.planning.domain.household_week import Trip, VehicleWeek, WeekPrices
from service.planning.domain.path_kernel import Window

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

    Battery side: ``driven_wh`` by trips before it, ``needed_wh`` in the battery at its end,
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

    ``next_trip`` is the first one that leaves after the horizon, where it sets the last target.
    """

    segments: list[Segment]
    windows: list[list[Window]]
    lower_wh: list[int]
    upper_wh: list[int]
    next_trip: Trip | None

    def capacities_wh(self) -> list[int]:
        """Return the most that each segment can charge, at the wall [Wh]."""
        capacities = []
        for windows in self.windows:
            capacity = 0
            for first, end, cap in windows:
                capacity += (end - first) * cap
            capacities.append(capacity)
        return capacities


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
    barred: Sequence[int] = (),
) -> VehiclePath:
    """Return the bounds and windows of a vehicle's week.

    Parameters
    ----------
    away : sequence of Absence
        As ``absences`` returns them.
    usable_until_slot : int
        End of the evidence, as an absolute slot; later slots are not used.
    barred : sequence of int
        Slots, ascending and relative to the horizon, in which the outlet serves another vehicle.

    Notes
    -----
    Before a departure the battery holds what the trip uses and the reserve, at most a full
    battery. It is never charged above the everyday ceiling, save for what this departure or a
    later one needs and no later half-hour can deliver.
    """
    segments, home_slot, later = _stays(vehicle, prices, away)
    usable_until = usable_until_slot - prices.first_slot
    windows = [
        _windows(segment.first_slot, min(segment.end_slot, usable_until), vehicle.cap_wh, barred)
        for segment in segments
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
    path = VehiclePath(segments, windows, lower, most, next_trip)
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
            segments.append(Segment(stay[0] - first, stay[1] - first, absence.trip, driven, used + reserve, beyond))
            driven += used
        home_slot = max(home_slot, absence.home_slot)
    segments.append(Segment(min(home_slot, end) - first, end - first, None, driven, reserve, 0))
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
    needed = min(later.trip.energy_wh + vehicle.reserve_wh, vehicle.battery_wh)
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
    return VehiclePath(path.segments, path.windows, path.lower_wh, upper, path.next_trip)


def _windows(first: int, end: int, cap_wh: int, barred: Sequence[int]) -> list[Window]:
    """Return [first, end) without the barred slots."""
    windows: list[Window] = []
    if cap_wh <= 0 or end <= first:
        return windows
    for slot in barred:
        if first <= slot < end:
            if slot > first:
                windows.append((first, slot, cap_wh))
            first = slot + 1
    if first < end:
        windows.append((first, end, cap_wh))
    return windows


def _has_left(absence: Absence, prices: WeekPrices) -> bool:
    """Return whether the car is already gone at the start of the horizon."""
    return absence.leaves_slot < prices.first_slot


def _ceiling_slot(instant: datetime) -> int:
    """Return the first slot that starts at or after an instant."""
    return slot_index(instant + _JUST_UNDER_A_SLOT)
