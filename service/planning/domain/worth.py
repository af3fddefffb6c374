"""What a change at home is worth a year: the week planned as it is and as it would be, by the same engine.

Money and missing energy stand apart. A change that lets a car leave with what it needs may cost more at home, and is
worth it: what the missing energy costs elsewhere is for somebody else to say.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import timedelta
from decimal import Decimal
from typing import Final, TypeVar

from service.common.errors import NotFound
from service.common.money import round_half_up
from service.planning.domain.charging import slot_cap_wh
from service.planning.domain.household_week import HouseholdWeek, VehicleWeek
from service.planning.domain.path_kernel import NP_PER_UP
from service.planning.domain.plans import HouseholdPlan

WEEKS_A_YEAR: Final = 52
AS_IF: Final = "if every week of the year were like this one"

_HOUR: Final = timedelta(hours=1)

Programme = TypeVar("Programme")


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a week comes to: cost of what is priced [1e-9 p], energy left unmet and energy without a price [Wh]."""

    cost_np: int
    unmet_wh: int
    unpriced_wh: int = 0


@dataclass(frozen=True, slots=True)
class Worth:
    """What a change is worth a year, ``AS_IF``: money saved (below 0: it costs more) and shortfall closed.

    ``saved_up`` is None where a half-hour used has no price, before or after: that is not known. With negative prices
    charging beyond the needs counts in it, though the battery is then fuller at the end of the week.
    """

    saved_up: int | None
    closed_wh: int


def outcome_of(plan: HouseholdPlan) -> Outcome:
    """Return what a household's plan comes to."""
    return Outcome(
        sum(vehicle.cost_np for vehicle in plan.vehicles),
        sum(vehicle.unmet_wh for vehicle in plan.vehicles),
        sum(vehicle.unpriced_wh for vehicle in plan.vehicles),
    )


def worth_of(solve: Callable[[Programme], Outcome], now: Programme, changed: Programme) -> Worth:
    """Return what a change is worth, by solving both programmes."""
    return worth_between(solve(now), solve(changed))


def worth_between(now: Outcome, changed: Outcome) -> Worth:
    """Return what lies between two outcomes of a week, for a year of such weeks.

    >>> worth_between(Outcome(3_000_000_000, 100), Outcome(2_500_000_000, 0))
    Worth(saved_up=26000000, closed_wh=5200)
    """
    saved_np = WEEKS_A_YEAR * (now.cost_np - changed.cost_np)
    is_known = not now.unpriced_wh and not changed.unpriced_wh
    return Worth(
        round_half_up(saved_np, NP_PER_UP) if is_known else None, WEEKS_A_YEAR * (now.unmet_wh - changed.unmet_wh)
    )


def with_vehicle(
    week: HouseholdWeek, vehicle_id: str, change: Callable[[VehicleWeek], VehicleWeek]
) -> HouseholdWeek:
    """Return the week with one vehicle changed; raise ``NotFound`` if it is not of this household."""
    if all(vehicle.vehicle_id != vehicle_id for vehicle in week.vehicles):
        raise NotFound("no such vehicle in this household's week")
    vehicles = (change(each) if each.vehicle_id == vehicle_id else each for each in week.vehicles)
    return replace(week, vehicles=tuple(vehicles))


def one_hour_more_at_home(vehicle: VehicleWeek) -> VehicleWeek:
    """Return the vehicle back an hour earlier from each journey, though not before it left."""
    trips = (replace(trip, returns_at=max(trip.leaves_at, trip.returns_at - _HOUR)) for trip in vehicle.trips)
    return replace(vehicle, trips=tuple(trips))


def at_current(
    vehicle: VehicleWeek, limit_a: Decimal | int, phases: int = 1, *, efficiency_permille: int | None = None
) -> VehicleWeek:
    """Return the vehicle charged at another current at its usual outlet, and at the efficiency given with it.

    What a late start loses grows with the current.
    """
    cap_wh = slot_cap_wh(limit_a, phases)
    return replace(
        vehicle,
        cap_wh=cap_wh,
        efficiency_permille=efficiency_permille or vehicle.efficiency_permille,
        start_loss_wh=-(-vehicle.start_loss_wh * cap_wh // vehicle.cap_wh) if vehicle.cap_wh else 0,
    )


def with_ceiling(vehicle: VehicleWeek, ceiling_permille: int) -> VehicleWeek:
    """Return the vehicle with another everyday ceiling."""
    return replace(vehicle, ceiling_permille=ceiling_permille)
