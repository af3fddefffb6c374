"""A week as it is and as it would be, planned by the same engine, side by side and for a year of such weeks."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import asdict, dataclass, replace
from typing import Any

from service.common.money import format_pence, round_half_up
from service.common.slots import slot_start
from service.common.units import WH_PER_KWH
from service.common.working import Step
from service.planning.domain.car_week import CarWeek
from service.planning.domain.home_week import HomeWeek
from service.planning.domain.household_week import HouseholdWeek
from service.planning.domain.path_kernel import NP_PER_UP
from service.planning.domain.plan_document import total_cost_up
from service.planning.domain.plans import HouseholdPlan, Shortfall, VehiclePlan
from service.planning.domain.week import plan_household
from service.planning.domain.worth import AS_IF, WEEKS_A_YEAR, Outcome, Worth, worth_between

PLANNER = "plan of this service's planner: least shortfall first, then least cost"


@dataclass(frozen=True, slots=True)
class Side:
    """What a week comes to; ``cost_up`` is None where any of its energy has no known price.

    ``short_departures`` counts journeys that would leave with less than they need, ``night_count`` the nights, from
    noon to noon, in which anything charges.
    """

    cost_up: int | None
    energy_wh: int
    short_wh: int
    short_departures: int
    night_count: int


@dataclass(frozen=True, slots=True)
class SideBySide:
    """Both sides, and what lies between them for a year, ``AS_IF``; ``notes`` are what was taken for granted."""

    starts_at: str
    ends_at: str
    now: Side
    changed: Side
    yearly: Worth
    notes: tuple[str, ...]
    working: tuple[Step, ...]

    def to_json(self) -> dict[str, Any]:
        """Return the comparison as a value that json.dumps accepts."""
        return {**asdict(self), "notes": list(self.notes), "working": [step.to_json() for step in self.working]}


def side_by_side(now: HomeWeek, changed: HomeWeek, notes: Sequence[str] = ()) -> SideBySide:
    """Plan both weeks and put them side by side; the cars start alike, charged as they stand now."""
    changed_week = started_alike(changed.week, now.week)
    plan_now, plan_changed = plan_household(now.week), plan_household(changed_week)
    yearly = worth_of_plans(plan_now, plan_changed)
    return SideBySide(
        starts_at=slot_start(plan_now.first_slot).isoformat(),
        ends_at=slot_start(plan_now.end_slot).isoformat(),
        now=side_of(plan_now, now.week),
        changed=side_of(plan_changed, changed_week),
        yearly=yearly,
        notes=(*notes, *_no_outlet(now, "as it is now"), *_no_outlet(changed, "with the change")),
        working=(
            *_steps("as it is now", now, plan_now),
            *_steps("with the change", changed, plan_changed),
            year_step(plan_now, plan_changed, yearly),
        ),
    )


def started_alike(changed: HouseholdWeek, now: HouseholdWeek) -> HouseholdWeek:
    """Return the changed week with each car charged at its start as it is now.

    What was driven until now was driven as things are: a new routine must not reach back.
    """
    start_of = {vehicle.vehicle_id: vehicle.start_charge_wh for vehicle in now.vehicles}
    vehicles = (
        replace(each, start_charge_wh=min(each.battery_wh, start_of.get(each.vehicle_id, each.start_charge_wh)))
        for each in changed.vehicles
    )
    return replace(changed, vehicles=tuple(vehicles))


def side_of(plan: HouseholdPlan, week: HouseholdWeek) -> Side:
    """Return what a planned week comes to."""
    short = {
        (vehicle.vehicle_id, each.trip_key)
        for vehicle in plan.vehicles
        for each in _shortfalls(vehicle, plan)
        if each.trip_key is not None
    }
    nights = {
        bisect_right(week.noon_slots, slot)
        for vehicle in plan.vehicles
        for block in vehicle.blocks
        for slot in (block.first_slot, block.end_slot - 1)
    }
    return Side(
        cost_up=total_cost_up(plan),
        energy_wh=sum(vehicle.energy_wh for vehicle in plan.vehicles),
        short_wh=_short_wh(plan),
        short_departures=len(short),
        night_count=len(nights),
    )


def worth_of_plans(now: HouseholdPlan, changed: HouseholdPlan) -> Worth:
    """Return what lies between two plans of a week for a year."""
    return worth_between(_outcome(now), _outcome(changed))


def year_step(now: HouseholdPlan, changed: HouseholdPlan, yearly: Worth) -> Step:
    """Return the working of the year."""
    return Step(
        "A year of such weeks",
        {
            "week now": _words(_outcome(now)),
            "week with the change": _words(_outcome(changed)),
            "weeks": str(WEEKS_A_YEAR),
        },
        f"weeks x (now - with the change), {AS_IF}",
        "rule of this planner; what is short is never turned into money",
        f"{_year_cost(yearly)}, {_kwh(abs(yearly.closed_wh))} {'more' if yearly.closed_wh < 0 else 'less'} short",
    )


def _year_cost(yearly: Worth) -> str:
    if yearly.saved_up is None:
        return "cost not known"
    return f"{format_pence(abs(yearly.saved_up))} p {'more' if yearly.saved_up < 0 else 'saved'}"


def _outcome(plan: HouseholdPlan) -> Outcome:
    return Outcome(
        sum(vehicle.cost_np for vehicle in plan.vehicles),
        _short_wh(plan),
        sum(vehicle.unpriced_wh for vehicle in plan.vehicles),
    )


def _shortfalls(vehicle: VehiclePlan, plan: HouseholdPlan) -> list[Shortfall]:
    """Return what is short within the seven days: a later departure is the next week's, or a year counted it twice."""
    ends_at = slot_start(plan.end_slot)
    return [each for each in vehicle.shortfalls if each.leaves_at <= ends_at]


def _short_wh(plan: HouseholdPlan) -> int:
    return sum(each.short_wh for vehicle in plan.vehicles for each in _shortfalls(vehicle, plan))


def _steps(which: str, week: HomeWeek, plan: HouseholdPlan) -> Iterator[Step]:
    starts_at, ends_at = slot_start(plan.first_slot), slot_start(plan.end_slot)
    for car, vehicle in zip(_in_order(week), plan.vehicles, strict=True):
        is_usable = car.usual.option.usable_until_slot > week.local.first_slot
        current = car.usual.current if is_usable else None
        inputs = {
            "tariff": week.prices.tariff_name or "not known",
            "outlet": car.outlet.label if car.outlet else "none",
            "current it may draw": f"{current.limit_a} A" if current else "none",
            "battery over wall energy": f"{car.solved.efficiency_permille / 10:g} %",
            "departures": str(sum(starts_at <= trip.leaves_at < ends_at for trip in car.solved.trips)),
        }
        short_wh = sum(each.short_wh for each in _shortfalls(vehicle, plan))
        cost = "cost not known" if vehicle.unpriced_wh else f"{format_pence(vehicle.cost_up)} p"
        result = f"{_kwh(vehicle.energy_wh)} for {cost}, {_kwh(short_wh)} short"
        yield Step(f"{car.car.label}, {which}", inputs, "the cheapest week that meets the departures", PLANNER, result)


def _in_order(week: HomeWeek) -> list[CarWeek]:
    return sorted(week.cars, key=lambda car: car.solved.ordinal)


def _no_outlet(week: HomeWeek, which: str) -> list[str]:
    return [
        f"{car.car.label} has no outlet with a lead here that it may use, {which}: nothing is charged into it."
        for car in week.cars
        if all(each.usable_until_slot <= week.local.first_slot for each in car.solved.options)
    ]


def _words(outcome: Outcome) -> str:
    cost_up = round_half_up(outcome.cost_np, NP_PER_UP)
    cost = "cost not known" if outcome.unpriced_wh else f"{format_pence(cost_up)} p"
    return f"{cost}, {_kwh(outcome.unmet_wh)} short"


def _kwh(energy_wh: int) -> str:
    return f"{energy_wh / WH_PER_KWH:g} kWh"
