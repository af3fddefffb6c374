"""The plan of a household's week: pure, the same for the same inputs, and explained.

Vehicles choose in the order of their ordinals. A half-hour that one uses is barred to the next on
the same outlet; each is then best given the earlier ones, but the household as a whole is not yet
proven cheapest where several share an outlet.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from service.common.money import round_half_up
from service.planning.domain.charging import PERMILLE, battery_gain_wh
from service.planning.domain.explanation import explain
from service.planning.domain.household_week import (
    HouseholdWeek,
    Trip,
    VehicleWeek,
    WeekPrices,
    horizon_slots,
    week_prices,
)
from service.planning.domain.path_kernel import NP_PER_UP, PathPlans, cheapest_path
from service.planning.domain.plans import Block, Cause, HouseholdPlan, Shortfall, StayPlan, VehiclePlan
from service.planning.domain.segments import VehiclePath, absences, vehicle_path
from service.planning.domain.shortfalls import shortfalls

__all__ = [
    "Block",
    "Cause",
    "HouseholdPlan",
    "HouseholdWeek",
    "Shortfall",
    "StayPlan",
    "Trip",
    "VehiclePlan",
    "VehicleWeek",
    "WeekPrices",
    "horizon_slots",
    "plan_household",
    "week_prices",
]


class _Draws(NamedTuple):
    """What is drawn, one entry for each used half-hour; slots are relative to the horizon, ascending."""

    slots: list[int]
    energies_wh: list[int]
    costs_np: list[int]
    unpriced_wh: list[int]


def plan_household(week: HouseholdWeek) -> HouseholdPlan:
    """Return the plan of each vehicle: least shortfall first, then least cost, then earliest."""
    prices = week.prices
    taken: dict[str | None, list[int]] = {}
    plans = []
    for vehicle in week.in_order():
        barred = taken.get(vehicle.outlet_id, [])
        plan = _plan_vehicle(vehicle, prices, barred)
        plans.append(plan)
        if len(week.vehicles) > 1:
            taken[vehicle.outlet_id] = sorted([*barred, *_slots_of(plan, prices)])
    return HouseholdPlan(prices.first_slot, prices.end_slot, tuple(plans))


def _slots_of(plan: VehiclePlan, prices: WeekPrices) -> list[int]:
    """Return the slots in which a plan charges, relative to the horizon."""
    return [slot - prices.first_slot for first, end in plan.block_times() for slot in range(first, end)]


def _plan_vehicle(vehicle: VehicleWeek, prices: WeekPrices, barred: Sequence[int]) -> VehiclePlan:
    away = absences(vehicle, prices)
    path = vehicle_path(vehicle, prices, away, usable_until_slot=vehicle.usable_until_slot, barred=barred)
    solved = cheapest_path(prices.tables, path.lower_wh, path.upper_wh, path.windows)
    unmet: list[int] = solved.unmet_wh.tolist()
    draws = _draws(solved, prices)
    energy_wh, cost_np, unpriced = sum(draws.energies_wh), sum(draws.costs_np), sum(draws.unpriced_wh)
    on_arrival_np, on_arrival_unpriced = _on_arrival(path, prices, solved, energy_wh)
    blocks = _blocks(path, prices, draws)
    missing = shortfalls(vehicle, prices, path, away, unmet, barred)
    cost_up, on_arrival_up = round_half_up(cost_np, NP_PER_UP), round_half_up(on_arrival_np, NP_PER_UP)
    return VehiclePlan(
        vehicle_id=vehicle.vehicle_id,
        outlet_id=vehicle.outlet_id,
        blocks=blocks,
        stays=_stays(vehicle, path, prices, blocks, unmet),
        shortfalls=missing,
        energy_wh=energy_wh,
        unmet_wh=sum(unmet),
        cost_np=cost_np,
        cost_up=cost_up,
        unpriced_wh=unpriced,
        on_arrival_cost_up=on_arrival_up,
        on_arrival_unpriced_wh=on_arrival_unpriced,
        working=explain(
            vehicle, path, energy_wh, len(draws.slots), cost_up, unpriced, on_arrival_up, on_arrival_unpriced, missing
        ),
    )


def _draws(solved: PathPlans, prices: WeekPrices) -> _Draws:
    slots: list[int] = solved.used_slot.tolist()
    energies: list[int] = solved.used_wh.tolist()
    price_up, known = prices.price_up, prices.known
    pairs = list(zip(slots, energies, strict=True))
    costs = [price_up[slot] * energy if known[slot] else 0 for slot, energy in pairs]
    return _Draws(slots, energies, costs, [0 if known[slot] else energy for slot, energy in pairs])


def _blocks(path: VehiclePath, prices: WeekPrices, draws: _Draws) -> tuple[Block, ...]:
    """Return runs of used slots; a block ends with its stay."""
    blocks: list[Block] = []
    stay, first = 0, 0
    stay_end = path.segments[0].end_slot
    following = [*draws.slots[1:], -1]
    for position, slot in enumerate(draws.slots):
        while slot >= stay_end:
            stay += 1
            stay_end = path.segments[stay].end_slot
        if following[position] != slot + 1 or slot + 1 == stay_end:
            blocks.append(_block(prices.first_slot, draws, first, position + 1, stay))
            first = position + 1
    return tuple(blocks)


def _block(horizon_slot: int, draws: _Draws, first: int, end: int, stay: int) -> Block:
    first_slot = horizon_slot + draws.slots[first]
    return Block(
        first_slot=first_slot,
        end_slot=first_slot + end - first,
        energy_wh=tuple(draws.energies_wh[first:end]),
        cost_up=round_half_up(sum(draws.costs_np[first:end]), NP_PER_UP),
        unpriced_wh=sum(draws.unpriced_wh[first:end]),
        stay=stay,
    )


def _stays(
    vehicle: VehicleWeek, path: VehiclePath, prices: WeekPrices, blocks: Sequence[Block], unmet: Sequence[int]
) -> tuple[StayPlan, ...]:
    energy = [0] * len(path.segments)
    for block in blocks:
        energy[block.stay] += sum(block.energy_wh)
    battery, start = vehicle.battery_wh, vehicle.start_charge_wh
    stays = []
    reached = 0  # energy at the wall so far, with what was short counted as charged elsewhere
    for position, segment in enumerate(path.segments):
        before = start + battery_gain_wh(reached, vehicle.efficiency_permille) - segment.driven_wh
        reached += energy[position]
        after = start + battery_gain_wh(reached, vehicle.efficiency_permille) - segment.driven_wh
        reached += unmet[position]
        stays.append(
            StayPlan(
                first_slot=prices.first_slot + segment.first_slot,
                end_slot=prices.first_slot + segment.end_slot,
                trip_key=segment.trip.key if segment.trip else None,
                energy_wh=energy[position],
                needed_wh=segment.needed_wh,
                level_before_wh=before,
                level_after_wh=after,
                level_before_permille=_permille(before, battery),
                level_after_permille=_permille(after, battery),
            )
        )
    return tuple(stays)


def _on_arrival(path: VehiclePath, prices: WeekPrices, solved: PathPlans, energy_wh: int) -> tuple[int, int]:
    """Return cost [1e-9 p] and unpriced energy [Wh] of the same energy in the earliest half-hours.

    Charging early as far as the tightened upper bounds allow keeps every prefix at least as full
    as the plan's, so it meets the same departures and is never cheaper than the plan.
    """
    cost_np = unpriced = charged = 0
    known_up, known = prices.known_sum_up, prices.known_sum
    for windows, most in zip(path.windows, solved.upper_wh.tolist(), strict=True):
        for first, end, cap in windows:
            energy = min(cap * (end - first), most - charged, energy_wh - charged)
            full, rest = divmod(energy, cap)
            last = first + full
            cost_np += cap * (known_up[last] - known_up[first])
            unpriced += cap * (full - known[last] + known[first])
            if rest:
                priced = rest if prices.known[last] else 0
                cost_np += priced * prices.price_up[last]
                unpriced += rest - priced
            charged += energy
    return cost_np, unpriced


def _permille(energy_wh: int, battery_wh: int) -> int:
    return round_half_up(energy_wh * PERMILLE, battery_wh)
