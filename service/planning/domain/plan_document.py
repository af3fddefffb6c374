"""A plan in the shape the API documents and the screens read, worked out once when it is made.

Cars, outlets and times stand in it by name; money is pence in a decimal string; a cost that
is not wholly known is left out rather than shown too low.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

from service.common.money import format_pence
from service.common.slots import slot_start
from service.common.units import WH_PER_KWH
from service.planning.domain.car_week import CarWeek, StoredReading
from service.planning.domain.home_week import HomeWeek
from service.planning.domain.house_load import NO_PROTECTION
from service.planning.domain.household_week import Control
from service.planning.domain.part_load import sessions
from service.planning.domain.plans import (
    Block,
    BlockReason,
    Cause,
    HouseholdPlan,
    Shortfall,
    StayPlan,
    Turn,
    TurnReason,
    VehiclePlan,
)
from service.planning.domain.state_of_charge import charge_doubt_percent

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
    Cause.SUPPLY_SHARED: "The supply cannot feed all cars and the house at that time. Charge one at a public point.",
}
HOW_SET = {
    Control.ONE_RUN: "one start and one stop a night",
    Control.FREE: "any half-hours",
}
CAUTIONS = (
    "This is advice from the facts entered; only a competent electrician on site can pass an installation.",
    "Smell, scorch, noise or heat: stop, switch off, do not reset and carry on.",
)


def plan_document(week: HomeWeek, plan: HouseholdPlan, *, plan_id: str, computed_at: datetime) -> dict[str, Any]:
    """Return the plan as the API shows it; pure values that json.dumps accepts."""
    cars = {car.car.id: car for car in week.cars}
    vehicles = [_vehicle(cars[vehicle.vehicle_id], vehicle, plan.first_slot) for vehicle in plan.vehicles]
    return {
        "id": plan_id,
        "household_id": week.home.id,
        "zone": week.home.zone,
        "computed_at": computed_at.isoformat(),
        "starts_at": _at(plan.first_slot),
        "ends_at": _at(plan.end_slot),
        "tariff_name": week.prices.tariff_name,
        "turns": [_turn(turn, week) for turn in plan.turns],
        "sharing_gap_pence": None if plan.gap_up is None else format_pence(plan.gap_up),
        "vehicles": vehicles,
        "energy_kwh": _kwh(sum(vehicle.energy_wh for vehicle in plan.vehicles)),
        "cost_pence": _pence(total_cost_up(plan)),
        "on_arrival_cost_pence": _pence(total_on_arrival_up(plan)),
        "missing_prices": list(week.prices.missing),
        "cautions": [*CAUTIONS, *((NO_PROTECTION,) if week.week.headroom_wh else ())],
    }


def without_reasons(document: dict[str, Any]) -> dict[str, Any]:
    """Return a plan without what a first page does without: why each block is there, and what other ways would cost."""
    return {**document, "vehicles": [_without_reasons(vehicle) for vehicle in document["vehicles"]]}


def _without_reasons(vehicle: dict[str, Any]) -> dict[str, Any]:
    stays = [
        {**stay, "blocks": [{**block, "why": None} for block in stay["blocks"]]} for stay in vehicle["stays"]
    ]
    return {**vehicle, "other_ways": [], "stays": stays}


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


def _vehicle(week: CarWeek, plan: VehiclePlan, first_slot: int) -> dict[str, Any]:
    is_priced = plan.unpriced_wh == 0
    blocks_of: dict[int, list[tuple[Block, BlockReason]]] = {}
    for block, reason in zip(plan.blocks, plan.reasons, strict=True):
        blocks_of.setdefault(block.stay, []).append((block, reason))
    return {
        "vehicle_id": plan.vehicle_id,
        "label": week.car.label,
        "outlet_id": plan.outlet_id,
        "outlet_label": week.outlet.label if week.outlet else None,
        "limit_a": float(week.limit_a) if week.limit_a is not None else None,
        "how_set": HOW_SET[week.solved.control],
        "charge_percent": round(week.estimate.charge_wh * 100 / week.car.battery_wh),
        "charge_basis": week.estimate.basis.value,
        "charge_doubt_percent": charge_doubt_percent(week.reading.slot if week.reading else None, first_slot),
        "energy_kwh": _kwh(plan.energy_wh),
        "cost_pence": _pence(plan.cost_up if is_priced else None),
        "on_arrival_cost_pence": _pence(
            plan.on_arrival_cost_up if is_priced and plan.on_arrival_unpriced_wh == 0 else None
        ),
        "unpriced_kwh": _kwh(plan.unpriced_wh),
        "other_ways": _other_ways(plan, is_priced),
        "stays": [_stay(stay, blocks_of.get(index, []), week, plan) for index, stay in enumerate(plan.stays)],
        "shortfalls": [_shortfall(short, week) for short in plan.shortfalls],
    }


def _other_ways(plan: VehiclePlan, is_priced: bool) -> list[dict[str, Any]]:
    """Return what other rules would have cost in the same week, and what they would leave short."""
    on_arrival = plan.on_arrival_cost_up if is_priced and plan.on_arrival_unpriced_wh == 0 else None
    ways = [("on_arrival", plan.energy_wh, on_arrival, plan.unmet_wh)]
    if plan.cheap_hours is not None:
        hours = plan.cheap_hours
        ways.append(("cheapest_five_hours", hours.energy_wh, hours.cost_up, hours.short_wh))
    ways.append(("no_charging", 0, 0, plan.undone_short_wh))
    return [
        {"way": way, "energy_kwh": _kwh(energy_wh), "cost_pence": _pence(cost_up), "short_kwh": _kwh(short_wh)}
        for way, energy_wh, cost_up, short_wh in ways
    ]


def _turn(turn: Turn, week: HomeWeek) -> dict[str, Any]:
    car = next(each for each in week.cars if each.car.id == turn.vehicle_id)
    return {
        "starts_at": _at(turn.first_slot),
        "ends_at": _at(turn.end_slot),
        "outlet_id": turn.outlet_id,
        "outlet_label": next(outlet.label for outlet in week.home.outlets if outlet.id == turn.outlet_id),
        "vehicle_id": turn.vehicle_id,
        "label": car.car.label,
        "reason": _turn_words(turn.reason) if turn.reason else None,
    }


def _turn_words(reason: TurnReason) -> str:
    """Say what another car here instead would cost the home."""
    if reason.is_only_one:
        return "No other car can use the outlet then."
    if reason.important_unmet_wh > 0:
        return f"Another car here would leave an important journey {_kwh(reason.important_unmet_wh):.1f} kWh short."
    if reason.unmet_wh > 0:
        return f"Another car here would leave journeys {_kwh(reason.unmet_wh):.1f} kWh short."
    if reason.unmet_wh < 0 or (reason.cost_up or 0) < 0:
        return "Another car here might do better: there are too many ways to share the outlets to try them all."
    if reason.cost_up:
        return f"Another car here would cost {format_pence(reason.cost_up)} p more this week."
    return "Either car would do: this one needs no more swaps."


def _stay(
    stay: StayPlan, blocks: Sequence[tuple[Block, BlockReason]], week: CarWeek, plan: VehiclePlan
) -> dict[str, Any]:
    unpriced = sum(block.unpriced_wh for block, _ in blocks)
    leaves = next((trip.leaves_at for trip in week.trips if trip.key == stay.trip_key), None)
    return {
        "arrives_at": _at(stay.first_slot),
        "leaves_at": leaves.isoformat() if leaves else None,
        "before_percent": round(stay.level_before_permille / 10),
        "reached_percent": round(stay.level_after_permille / 10),
        "energy_kwh": _kwh(stay.energy_wh),
        "cost_pence": _pence(None if unpriced else sum(block.cost_up for block, _ in blocks)),
        "blocks": [_block(block, reason, week, plan) for block, reason in blocks],
    }


def _block(block: Block, reason: BlockReason, week: CarWeek, plan: VehiclePlan) -> dict[str, Any]:
    feed = next((each for each in (week.usual, *week.others) if each.option.outlet_id == block.outlet_id), week.usual)
    starts_at, ends_at = set_times(block, feed.option.cap_wh)
    serves = plan.stays[reason.serves_stay].trip_key if reason.serves_stay is not None else None
    leaves = next((trip.leaves_at for trip in week.trips if trip.key == serves), None) if serves else None
    return {
        "starts_at": starts_at.isoformat(),
        "ends_at": ends_at.isoformat(),
        "outlet_id": block.outlet_id,
        "outlet_label": feed.outlet.label if feed.outlet else None,
        "energy_kwh": _kwh(sum(block.energy_wh)),
        "cost_pence": _pence(None if block.unpriced_wh else block.cost_up),
        "why": {
            "binding": reason.binding.value,
            "serves_leaves_at": leaves.isoformat() if leaves else None,
            "lowest_price_pence": _pence(reason.lowest_up),
            "highest_price_pence": _pence(reason.highest_up),
            "next_best_pence": _pence(reason.next_best_up),
        },
    }


def set_times(block: Block, cap_wh: int) -> tuple[datetime, datetime]:
    """Return when to set start and stop, to the minute: a half-hour that is used in part starts late or ends early.

    Rounded outwards, so that never less than planned is charged; in between a part-loaded half-hour counts in full.
    """
    runs = sessions(range(block.first_slot, block.end_slot), block.energy_wh, cap_wh)
    if not runs:  # less than a second's worth
        return slot_start(block.first_slot), slot_start(block.end_slot)
    starts_min, ends_min = runs[0].starts_s // 60, -(-runs[-1].ends_s // 60)
    return datetime.fromtimestamp(starts_min * 60, UTC), datetime.fromtimestamp(ends_min * 60, UTC)


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
