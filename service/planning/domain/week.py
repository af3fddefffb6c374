"""The plan of a household's week: pure, the same for the same inputs, and explained."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from service.common.money import round_half_up
from service.planning.domain.car_programmes import CarSolution
from service.planning.domain.charging import PERMILLE, battery_gain_wh
from service.planning.domain.comparisons import cheapest_hours_only, short_without_charging
from service.planning.domain.explanation import explain
from service.planning.domain.household_week import (
    HouseholdWeek,
    Trip,
    VehicleWeek,
    WeekPrices,
    horizon_slots,
    week_prices,
)
from service.planning.domain.path_kernel import NP_PER_UP
from service.planning.domain.plans import Block, Cause, HouseholdPlan, Shortfall, StayPlan, VehiclePlan
from service.planning.domain.reasons import block_reasons
from service.planning.domain.segments import VehiclePath
from service.planning.domain.sharing import solve_household
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
    outlet_ids: list[str | None]


def plan_household(week: HouseholdWeek) -> HouseholdPlan:
    """Return the plan of each vehicle: least shortfall first, then least cost, then earliest.

    Cars that share an outlet are planned together, and so are all whose outlets the supply could not feed at once.
    """
    prices = week.prices
    shared = solve_household(week)
    plans = tuple(_vehicle_plan(solution, week) for solution in shared.cars)
    return HouseholdPlan(prices.first_slot, prices.end_slot, plans, shared.turns, shared.gap_up)


def _vehicle_plan(solution: CarSolution, week: HouseholdWeek) -> VehiclePlan:
    vehicle, path, unmet, prices = solution.vehicle, solution.path, solution.unmet_wh, week.prices
    draws = _draws(solution, prices)
    energy_wh, cost_np, unpriced = sum(draws.energies_wh), sum(draws.costs_np), sum(draws.unpriced_wh)
    on_arrival_np, on_arrival_unpriced = _on_arrival(path, prices, solution.most_wh, energy_wh)
    blocks = _blocks(path, prices, draws)
    missing = shortfalls(vehicle, prices, path, solution.without, unmet)
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
        reasons=tuple(block_reasons(solution, prices, blocks)),
        cheap_hours=cheapest_hours_only(week, solution),
        undone_short_wh=short_without_charging(week, solution),
    )


def _draws(solution: CarSolution, prices: WeekPrices) -> _Draws:
    slots, energies = solution.slots, solution.energies_wh
    price_up, known = prices.price_up, prices.known
    pairs = list(zip(slots, energies, strict=True))
    costs = [price_up[slot] * energy if known[slot] else 0 for slot, energy in pairs]
    unpriced = [0 if known[slot] else energy for slot, energy in pairs]
    return _Draws(slots, energies, costs, unpriced, solution.outlet_ids)


def _blocks(path: VehiclePath, prices: WeekPrices, draws: _Draws) -> tuple[Block, ...]:
    """Return runs of used slots; a block ends with its stay, and where the car goes to another outlet."""
    blocks: list[Block] = []
    stay, first = 0, 0
    stay_end = path.segments[0].end_slot
    following = [*draws.slots[1:], -1]
    next_outlet = [*draws.outlet_ids[1:], None]
    for position, slot in enumerate(draws.slots):
        while slot >= stay_end:
            stay += 1
            stay_end = path.segments[stay].end_slot
        is_moved = next_outlet[position] != draws.outlet_ids[position]
        if following[position] != slot + 1 or slot + 1 == stay_end or is_moved:
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
        outlet_id=draws.outlet_ids[first],
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
        # Needs are rounded down: at a reserve of nothing a level could otherwise fall some watt-hours below empty.
        before = max(0, start + battery_gain_wh(reached, vehicle.efficiency_permille) - segment.driven_wh)
        reached += energy[position]
        used_wh = segment.driven_wh + vehicle.standby_wh(segment.end_slot - segment.first_slot)
        after = max(0, start + battery_gain_wh(reached, vehicle.efficiency_permille) - used_wh)
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


def _on_arrival(path: VehiclePath, prices: WeekPrices, most_wh: Sequence[int], energy_wh: int) -> tuple[int, int]:
    """Return cost [1e-9 p] and unpriced energy [Wh] of the same energy in the earliest half-hours.

    Charging early as far as the tightened upper bounds allow keeps every prefix at least as full
    as the plan's, so it meets the same departures and is never cheaper than the plan.
    """
    cost_np = unpriced = charged = 0
    known_up, known = prices.known_sum_up, prices.known_sum
    for windows, most in zip(path.windows, most_wh, strict=True):
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
