"""Why each block is where it is, read off the solution: which journey it serves, at what price, and what else costs.

The next best is looked for where the solution could really move: between the last time the battery could hold no more
and the departure for which the energy must be there.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import accumulate

from service.planning.domain.car_programmes import CarSolution
from service.planning.domain.household_week import WeekPrices
from service.planning.domain.path_kernel import NP_PER_UP, Window
from service.planning.domain.plans import Binding, Block, BlockReason


def block_reasons(solution: CarSolution, prices: WeekPrices, blocks: Sequence[Block]) -> list[BlockReason]:
    """Return the reason of each block of a vehicle's plan."""
    totals = _charged_by_stay(solution, prices, blocks)
    return [_reason(solution, prices, block, totals) for block in blocks]


def _charged_by_stay(solution: CarSolution, prices: WeekPrices, blocks: Sequence[Block]) -> list[int]:
    """Return the sure energy charged by the end of each stay, in the terms of the tightened bounds."""
    energy = [0] * len(solution.path.segments)
    for block in blocks:
        energy[block.stay] += max(0, sum(block.energy_wh) - solution.path.start_loss_wh)
    total = 0
    totals = []
    for amount in energy:
        total += amount
        totals.append(total)
    return totals


def _reason(solution: CarSolution, prices: WeekPrices, block: Block, totals: Sequence[int]) -> BlockReason:
    needs = list(_needs(solution))
    serves = next((stay for stay in range(block.stay, len(needs)) if totals[stay] <= needs[stay]), None)
    slots = range(block.first_slot - prices.first_slot, block.end_slot - prices.first_slot)
    is_priced = all(prices.known[slot] for slot in slots)
    lowest = min(prices.price_up[slot] for slot in slots)
    highest = max(prices.price_up[slot] for slot in slots)
    if serves is None:
        binding = Binding.PRICE if lowest < 0 else Binding.BATTERY
    elif solution.unmet_wh[serves]:
        binding = Binding.HOURS
    elif any(totals[stay] >= solution.most_wh[stay] for stay in range(block.stay, serves)):
        binding = Binding.BATTERY
    else:
        binding = Binding.NEED
    extra = _next_best_up(solution, prices, block, totals, serves) if is_priced else None
    return BlockReason(binding, serves, lowest if is_priced else None, highest if is_priced else None, extra)


def _needs(solution: CarSolution) -> Iterator[int]:
    """Yield what must have been charged by each departure, less what no plan can deliver."""
    lacking = need = 0
    for lower, short in zip(solution.path.lower_wh, solution.unmet_wh, strict=True):
        need = max(need, lower)
        lacking += short
        yield need - lacking


def _next_best_up(
    solution: CarSolution, prices: WeekPrices, block: Block, totals: Sequence[int], serves: int | None
) -> int | None:
    """Return what the block's energy would cost more elsewhere [1e-6 p]: the cheapest half-hours still free."""
    last = len(totals) - 1 if serves is None else serves
    first = block.stay
    while first > 0 and totals[first - 1] < solution.most_wh[first - 1]:
        first -= 1
    windows = [window for group in solution.path.windows[first : last + 1] for window in group]
    used = set(solution.slots)
    find = _best_half_hours if solution.path.nights is None else _best_run
    cost_np = find(windows, used, prices, sum(block.energy_wh))
    extra_up = None if cost_np is None else cost_np // NP_PER_UP - block.cost_up
    # Where less is free, the supply, a late start or another outlet's cap bars it: it is no next best.
    return None if extra_up is None or extra_up < 0 else extra_up


def _best_half_hours(windows: Sequence[Window], used: set[int], prices: WeekPrices, energy_wh: int) -> int | None:
    """Return the least cost of an energy in any half-hours that are free and priced [1e-9 p]."""
    free = sorted(
        (prices.price_up[slot], cap)
        for begins, ends, cap in windows
        for slot in range(begins, ends)
        if slot not in used and prices.known[slot]
    )
    cost_np, left = 0, energy_wh
    for price_up, cap in free:
        energy = min(cap, left)
        cost_np += energy * price_up
        left -= energy
        if left == 0:
            return cost_np
    return None


def _best_run(windows: Sequence[Window], used: set[int], prices: WeekPrices, energy_wh: int) -> int | None:
    """Return the least cost of an energy in one run from the start of a half-hour on [1e-9 p]."""
    closed = list(accumulate((slot in used or not known for slot, known in enumerate(prices.known)), initial=0))
    best: int | None = None
    for begins, ends, cap in windows:
        full, rest = divmod(energy_wh, cap)
        length = full + (rest > 0)
        for start in range(begins, ends - length + 1):
            if closed[start + length] > closed[start]:
                continue
            cost_np = cap * (prices.known_sum_up[start + full] - prices.known_sum_up[start])
            cost_np += rest * prices.price_up[start + full] if rest else 0
            best = cost_np if best is None else min(best, cost_np)
    return best
