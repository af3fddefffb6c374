"""A plan in the shape the API documents and the screens read, worked out once when it is made.

Cars, outlets and times stand in it by name; money is pence in a decimal string; a cost that
is not wholly known is left out rather than shown too low.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

from service.common.money import format_pence
from service.common.slots import slot_start
from service.common.units import WH_PER_KWH
from service.planning.domain.home_week import CarWeek, HomeWeek, StoredReading
from service.planning.domain.plans import Block, Cause, HouseholdPlan, Shortfall, StayPlan, VehiclePlan

NEXT_STEPS = {
    Cause.BATTERY_TOO_SMALL: "Plan a stop at a public charging point: the journey and the reserve need more "
    "than a full battery.",
    Cause.TOO_FEW_HOURS: "Plug in earlier or for longer, share the driving with another car, or charge at a "
    "public point.",
    Cause.NO_USABLE_OUTLET: "No outlet with its lead may be used here. See what is missing or was stopped; "
    "until then charge at a public point.",
    Cause.EVIDENCE_ENDS: "What is known of the outlet or its lead runs out before this journey. Do the check or book "
    "the inspection that is due; until then charge at a public point.",
    Cause.OUTLET_SHARED: "The other car uses the outlet at that time. Swap the cars, or charge one at a public point.",
}
CAUTIONS = (
    "This is advice from the facts entered; only a competent electrician on site can pass an installation.",
    "Smell, scorch, noise or heat: stop, switch off, do not reset and carry on.",
)


def plan_document(week: HomeWeek, plan: HouseholdPlan, *, plan_id: str, computed_at: datetime) -> dict[str, Any]:
    """Return the plan as the API shows it; pure values that json.dumps accepts."""
    cars = {car.car.id: car for car in week.cars}
    vehicles = [_vehicle(cars[vehicle.vehicle_id], vehicle) for vehicle in plan.vehicles]
    return {
        "id": plan_id,
        "household_id": week.home.id,
        "zone": week.home.zone,
        "computed_at": computed_at.isoformat(),
        "starts_at": _at(plan.first_slot),
        "ends_at": _at(plan.end_slot),
        "tariff_name": week.prices.tariff_name,
        "vehicles": vehicles,
        "energy_kwh": _kwh(sum(vehicle.energy_wh for vehicle in plan.vehicles)),
        "cost_pence": _pence(total_cost_up(plan)),
        "on_arrival_cost_pence": _pence(total_on_arrival_up(plan)),
        "missing_prices": list(week.prices.missing),
        "cautions": list(CAUTIONS),
    }


def total_cost_up(plan: HouseholdPlan) -> int | None:
    """Return what the week costs [1e-6 p], or None where any of its energy has no price."""
    if any(vehicle.unpriced_wh for vehicle in plan.vehicles):
        return None
    return sum(vehicle.cost_up for vehicle in plan.vehicles)


def total_on_arrival_up(plan: HouseholdPlan) -> int | None:
    """Return what the same energy costs charged on arrival [1e-6 p], or None where not all is priced."""
    if any(vehicle.unpriced_wh or vehicle.on_arrival_unpriced_wh for vehicle in plan.vehicles):
        return None
    return sum(vehicle.on_arrival_cost_up for vehicle in plan.vehicles)


def total_short_wh(plan: HouseholdPlan) -> int:
    """Return the energy that no plan can deliver, at the wall [Wh]."""
    return sum(short.short_wh for vehicle in plan.vehicles for short in vehicle.shortfalls)


def schedule(week: HomeWeek, plan: HouseholdPlan) -> list[dict[str, Any]]:
    """Return what later plans carry forward from: each vehicle's charge at the start, and its blocks."""
    cars = {car.car.id: car for car in week.cars}
    return [
        {
            "vehicle_id": vehicle.vehicle_id,
            "outlet_id": vehicle.outlet_id,
            "start_wh": cars[vehicle.vehicle_id].estimate.charge_wh,
            "basis": cars[vehicle.vehicle_id].estimate.basis.value,
            "reading": _stored_reading(cars[vehicle.vehicle_id].reading),
            "efficiency_permille": cars[vehicle.vehicle_id].solved.efficiency_permille,
            "blocks": [[block.first_slot, list(block.energy_wh)] for block in vehicle.blocks],
        }
        for vehicle in plan.vehicles
    ]


def _stored_reading(reading: StoredReading | None) -> list[Any] | None:
    return [reading.percent, reading.read_at.isoformat()] if reading else None


def block_times(scheduled: Sequence[dict[str, Any]], first_slot: int, end_slot: int) -> set[tuple[str, str, int, int]]:
    """Return (vehicle, outlet, start, end) of each block as far as it lies within a view."""
    times = set()
    for vehicle in scheduled:
        for first, energies in vehicle["blocks"]:
            start, end = max(first, first_slot), min(first + len(energies), end_slot)
            if start < end:
                times.add((vehicle["vehicle_id"], vehicle["outlet_id"] or "", start, end))
    return times


def _vehicle(week: CarWeek, plan: VehiclePlan) -> dict[str, Any]:
    is_priced = plan.unpriced_wh == 0
    blocks_of: dict[int, list[Block]] = {}
    for block in plan.blocks:
        blocks_of.setdefault(block.stay, []).append(block)
    return {
        "vehicle_id": plan.vehicle_id,
        "label": week.car.label,
        "outlet_id": plan.outlet_id,
        "outlet_label": week.outlet.label if week.outlet else None,
        "limit_a": float(week.limit_a) if week.limit_a is not None else None,
        "charge_percent": round(week.estimate.charge_wh * 100 / week.car.battery_wh),
        "charge_basis": week.estimate.basis.value,
        "energy_kwh": _kwh(plan.energy_wh),
        "cost_pence": _pence(plan.cost_up if is_priced else None),
        "on_arrival_cost_pence": _pence(
            plan.on_arrival_cost_up if is_priced and plan.on_arrival_unpriced_wh == 0 else None
        ),
        "unpriced_kwh": _kwh(plan.unpriced_wh),
        "stays": [_stay(stay, blocks_of.get(index, []), week) for index, stay in enumerate(plan.stays)],
        "shortfalls": [_shortfall(short, week) for short in plan.shortfalls],
    }


def _stay(stay: StayPlan, blocks: Sequence[Block], week: CarWeek) -> dict[str, Any]:
    unpriced = sum(block.unpriced_wh for block in blocks)
    leaves = next((trip.leaves_at for trip in week.trips if trip.key == stay.trip_key), None)
    return {
        "arrives_at": _at(stay.first_slot),
        "leaves_at": leaves.isoformat() if leaves else None,
        "before_percent": round(stay.level_before_permille / 10),
        "reached_percent": round(stay.level_after_permille / 10),
        "energy_kwh": _kwh(stay.energy_wh),
        "cost_pence": _pence(None if unpriced else sum(block.cost_up for block in blocks)),
        "blocks": [
            {
                "starts_at": _at(block.first_slot),
                "ends_at": _at(block.end_slot),
                "energy_kwh": _kwh(sum(block.energy_wh)),
                "cost_pence": _pence(None if block.unpriced_wh else block.cost_up),
            }
            for block in blocks
        ],
    }


def _shortfall(short: Shortfall, week: CarWeek) -> dict[str, Any]:
    miles = Decimal(short.short_battery_wh) / WH_PER_KWH * week.car.miles_per_kwh
    return {
        "leaves_at": short.leaves_at.isoformat(),
        "short_kwh": _kwh(short.short_wh),
        "short_miles": float(miles.quantize(Decimal("0.1"), ROUND_HALF_UP)),
        "is_reserve_only": short.is_reserve_only,
        "cause": short.cause.value,
        "next_step": _next_step(short.cause, week),
    }


def _next_step(cause: Cause, week: CarWeek) -> str:
    """Return what to do; where the car would draw too much for its outlet, what to set it to."""
    if cause is Cause.NO_USABLE_OUTLET and week.pair is not None and not week.pair.allows_charging and week.pair.words:
        return f"{week.pair.words[0].upper()}{week.pair.words[1:]}. Until then charge at a public point."
    return NEXT_STEPS[cause]


def _at(slot: int) -> str:
    return slot_start(slot).isoformat()


def _kwh(energy_wh: int) -> float:
    return energy_wh / WH_PER_KWH


def _pence(cost_up: int | None) -> str | None:
    return None if cost_up is None else format_pence(cost_up)
