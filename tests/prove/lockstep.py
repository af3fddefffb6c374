"""Proof: the compiled kernel against a second oracle in numpy alone, half-hour by half-hour and Wh by Wh.

Whole plans must be identical, not only their cost: the order (price, time) leaves one best plan. The same
batches are then solved shuffled, in chunks and on two threads, which must change nothing.
"""

from __future__ import annotations

import sys
import time
from collections import Counter
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from service.planning.domain.path_kernel import PathPlans, PriceTables, Window, cheapest_paths, path_batch
from service.planning.domain.segments import absences, vehicle_path
from tests.prove.lockstep_weeks import Household, lockstep_plans
from tests.prove.random_weeks import RandomWeek, random_week

HOMES_A_BATCH = 50  # share a price vector
CHUNKS = (1, 7, 32)


def main(count: int = 10_000, seed: int = 20_261_129, *, budget_s: float | None = None) -> int:
    """Print one line of figures for ``count`` households, or as many as the budget allows; return 1 if any differs."""
    rng = np.random.default_rng(seed)
    seen: Counter[str] = Counter()
    oracle_s = kernel_s = 0.0
    started = time.perf_counter()
    while seen["done"] < count and (budget_s is None or time.perf_counter() - started < budget_s):
        drawn = random_week(rng, vehicles=min(HOMES_A_BATCH, count - seen["done"]))
        households = _households(rng, drawn)
        tables = drawn.week.prices.tables
        began = time.perf_counter()
        plans = cheapest_paths(tables, path_batch(households))
        between = time.perf_counter()
        oracle = lockstep_plans(tables.price_up, households)
        kernel_s, oracle_s = kernel_s + between - began, oracle_s + time.perf_counter() - between
        energy, unmet = _grid(plans, len(tables.price_up)), _unmet(plans, households)
        differs = (energy != oracle.energy_wh).any(axis=1)
        differs |= np.array([(row[: len(own)] != own).any() for row, own in zip(oracle.unmet_wh, unmet, strict=True)])
        differs |= (oracle.energy_wh * tables.price_up).sum(axis=1) != plans.cost_np
        seen["done"] += len(households)
        seen["mismatch"] += int(differs.sum())
        seen["reordered"] += _reordered_mismatches(rng, tables, households, energy)
        seen.update(_kinds(drawn, plans, households, unmet))
        if differs.any():
            print(f"seed {seed}, up to {seen['done']}: {np.flatnonzero(differs).tolist()} differ", file=sys.stderr)
    print(
        f"lockstep: {seen['done']} of {count} households, seed {seed}, {seen['mismatch']} plans differ from the numpy "
        f"oracle, {seen['reordered']} from themselves shuffled, in chunks of {CHUNKS} or on two threads; "
        f"unmet needs {seen['unmet']}, negative prices {seen['negative']}, zero headroom {seen['zero headroom']}, "
        f"several windows a stay {seen['windows']}, 46-slot day {seen['46']}, 50-slot day {seen['50']}, "
        f"oracle {oracle_s:.1f} s, kernel {kernel_s:.2f} s, {time.perf_counter() - started:.1f} s in all"
    )
    return 1 if seen["mismatch"] or seen["reordered"] or not seen["done"] else 0


def _households(rng: np.random.Generator, drawn: RandomWeek) -> list[Household]:
    """Return each vehicle as a household of its own; some with half-hours taken out and other caps in places."""
    prices = drawn.week.prices
    found: list[Household] = []
    for vehicle in drawn.week.vehicles:
        path = vehicle_path(
            vehicle, prices, absences(vehicle, prices), usable_until_slot=vehicle.usable_until_slot
        )
        windows = path.windows
        if rng.random() < 0.3:
            windows = [[piece for window in group for piece in _pieces(rng, window)] for group in windows]
        found.append((path.lower_wh, path.upper_wh, windows))
    return found


def _pieces(rng: np.random.Generator, window: Window) -> list[Window]:
    first, end, cap = window
    edges = sorted({first, *rng.integers(first, end + 1, 3).tolist(), end})
    pieces = [(begin, stop, int(rng.integers(0, cap + 1))) for begin, stop in pairwise(edges)]
    return [piece for piece in pieces if rng.random() < 0.8]


def _reordered_mismatches(
    rng: np.random.Generator, tables: PriceTables, households: Sequence[Household], energy: NDArray[np.int64]
) -> int:
    """Return how many households come out otherwise in another order, in chunks, or on two threads."""
    order = rng.permutation(len(households)).tolist()
    shuffled = _grid(cheapest_paths(tables, path_batch([households[place] for place in order])), energy.shape[1])
    found = int((shuffled != energy[order]).any(axis=1).sum())
    for size in CHUNKS:
        parts = [
            cheapest_paths(tables, path_batch(households[start : start + size]))
            for start in range(0, len(households), size)
        ]
        found += _differing(parts, energy)
    half = len(households) // 2
    with ThreadPoolExecutor(2) as pool:
        halves = [households[:half], households[half:]]
        found += _differing(list(pool.map(lambda part: cheapest_paths(tables, path_batch(part)), halves)), energy)
    return found


def _differing(parts: Sequence[PathPlans], energy: NDArray[np.int64]) -> int:
    together = np.concatenate([_grid(part, energy.shape[1]) for part in parts])
    return int((together != energy).any(axis=1).sum())


def _grid(plans: PathPlans, slots: int) -> NDArray[np.int64]:
    """Return what each household draws in each half-hour, shape (households, slots)."""
    grid = np.zeros((len(plans.cost_np), slots), dtype=np.int64)
    grid[np.repeat(np.arange(len(grid)), np.diff(plans.used_offset)), plans.used_slot] = plans.used_wh
    return grid


def _unmet(plans: PathPlans, households: Sequence[Household]) -> list[NDArray[np.int64]]:
    return np.split(plans.unmet_wh, np.cumsum([len(lower) for lower, _, _ in households])[:-1])


def _kinds(
    drawn: RandomWeek, plans: PathPlans, households: Sequence[Household], unmet: Sequence[NDArray[np.int64]]
) -> dict[str, int]:
    """Return how many households of a batch are of each kind that the proof should have met."""
    ends = np.cumsum([len(lower) for lower, _, _ in households])[:-1]
    is_tight = np.split(plans.lower_wh == plans.upper_wh, ends)
    return {
        "unmet": sum(bool(short.any()) for short in unmet),
        "negative": len(households) * (drawn.week.prices.tables.negative_count > 0),
        "zero headroom": sum(bool(tight.any()) for tight in is_tight),
        "windows": sum(any(len(group) > 1 for group in windows) for _, _, windows in households),
        "46": len(households) * (drawn.clock_change_slots > 0),
        "50": len(households) * (drawn.clock_change_slots < 0),
    }


if __name__ == "__main__":
    sys.exit(main(*(int(argument) for argument in sys.argv[1:])))
