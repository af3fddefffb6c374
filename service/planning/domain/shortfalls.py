"""Why energy is short: what else would have closed each gap, asked one limit at a time.

The same week is measured again without what the supply cannot give, then without the other vehicles on the outlet,
then without the end of the evidence; more half-hours never make a gap larger, so the differences are the shares.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from service.common.slots import slot_start
from service.planning.domain.charging import battery_gain_wh, wall_need_wh
from service.planning.domain.household_week import Trip, VehicleWeek, WeekPrices
from service.planning.domain.plans import Cause, Shortfall
from service.planning.domain.segments import Segment, VehiclePath


def shortfalls(
    vehicle: VehicleWeek,
    prices: WeekPrices,
    path: VehiclePath,
    levels: Sequence[tuple[Cause, Sequence[int]]],
    unmet_wh: Sequence[int],
) -> tuple[Shortfall, ...]:
    """Return every shortfall of a vehicle in order of departure; ``unmet_wh`` as the solver found it.

    ``levels`` lists limits as they are lifted one after the other, each with the least unmet energy of every
    departure without it and those before: what it closed is its share, what stays open is for want of hours.
    """
    if not any(unmet_wh) and not any(segment.beyond_battery_wh for segment in path.segments):
        return ()
    found: list[Shortfall] = []
    for position, segment in enumerate(path.segments):
        short = [(cause, level[position]) for cause, level in levels]
        causes = tuple(_shares(_may_charge(vehicle, prices), unmet_wh[position], short))
        found.extend(_of_departure(segment, causes, path.next_trip, vehicle, prices))
    return tuple(found)


def _of_departure(
    segment: Segment,
    causes: tuple[tuple[Cause, int], ...],
    next_trip: Trip | None,
    vehicle: VehicleWeek,
    prices: WeekPrices,
) -> Iterator[Shortfall]:
    """Yield the shortfalls of one departure, one for each cause."""
    permille = vehicle.efficiency_permille
    beyond = segment.beyond_battery_wh
    missing = [(Cause.BATTERY_TOO_SMALL, wall_need_wh(beyond, permille), beyond)]
    missing += [(cause, short, battery_gain_wh(short, permille)) for cause, short in causes]
    trip = segment.trip or next_trip
    is_reserve_only = beyond + sum(battery for _, _, battery in missing[1:]) <= vehicle.reserve_wh
    for cause, short_wh, short_battery_wh in missing:
        if short_wh:
            yield Shortfall(
                trip_key=trip.key if trip else None,
                leaves_at=trip.leaves_at if trip else slot_start(prices.end_slot),
                short_wh=short_wh,
                short_battery_wh=short_battery_wh,
                cause=cause,
                is_reserve_only=is_reserve_only,
            )


def _may_charge(vehicle: VehicleWeek, prices: WeekPrices) -> bool:
    return any(option.usable_until_slot > prices.first_slot for option in vehicle.options)


def _shares(may_charge: bool, short_wh: int, without: Sequence[tuple[Cause, int]]) -> Iterator[tuple[Cause, int]]:
    """Yield how the unmet energy of one departure divides among causes."""
    if not may_charge:
        yield Cause.NO_USABLE_OUTLET, short_wh
        return
    left = short_wh
    for cause, level in without:
        closed = max(0, left - level)
        yield cause, closed
        left -= closed
    yield Cause.TOO_FEW_HOURS, left
