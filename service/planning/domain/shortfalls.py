"""Why energy is short: what else would have closed each gap, asked one limit at a time.

The same week is measured again without the other vehicles on the outlet, then without the end
of the evidence; more half-hours never make a gap larger, so the differences are the shares.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from service.common.slots import slot_start
from service.planning.domain.charging import battery_gain_wh, wall_need_wh
from service.planning.domain.household_week import Trip, VehicleWeek, WeekPrices
from service.planning.domain.path_kernel import least_unmet
from service.planning.domain.plans import Cause, Shortfall
from service.planning.domain.segments import Absence, Segment, VehiclePath, vehicle_path

_NO_END: Final = 2**60  # later than any slot


def shortfalls(
    vehicle: VehicleWeek,
    prices: WeekPrices,
    path: VehiclePath,
    away: Sequence[Absence],
    unmet_wh: Sequence[int],
    barred: Sequence[int],
) -> tuple[Shortfall, ...]:
    """Return every shortfall of a vehicle in order of departure; ``unmet_wh`` as the solver found it."""
    if not any(unmet_wh) and not any(segment.beyond_battery_wh for segment in path.segments):
        return ()
    found: list[Shortfall] = []
    shares = _shares(vehicle, prices, away, unmet_wh, barred) if any(unmet_wh) else ((),) * len(unmet_wh)
    for segment, causes in zip(path.segments, shares, strict=True):
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


def _shares(
    vehicle: VehicleWeek,
    prices: WeekPrices,
    away: Sequence[Absence],
    unmet_wh: Sequence[int],
    barred: Sequence[int],
) -> Iterator[tuple[tuple[Cause, int], ...]]:
    """Yield, segment by segment, how the unmet energy divides among causes."""
    if not vehicle.has_outlet or vehicle.usable_until_slot <= prices.first_slot:
        yield from (((Cause.NO_USABLE_OUTLET, short),) for short in unmet_wh)
        return
    alone = _unmet(vehicle, prices, away, vehicle.usable_until_slot) if barred else list(unmet_wh)
    endless = _unmet(vehicle, prices, away, _NO_END)
    for short, short_alone, short_endless in zip(unmet_wh, alone, endless, strict=True):
        hours = min(short, short_endless)
        evidence = min(short, max(short_alone, hours)) - hours
        yield (
            (Cause.OUTLET_SHARED, short - evidence - hours),
            (Cause.EVIDENCE_ENDS, evidence),
            (Cause.TOO_FEW_HOURS, hours),
        )


def _unmet(vehicle: VehicleWeek, prices: WeekPrices, away: Sequence[Absence], usable_until_slot: int) -> list[int]:
    path = vehicle_path(vehicle, prices, away, usable_until_slot=usable_until_slot)
    return least_unmet(path.lower_wh, path.upper_wh, path.capacities_wh())
