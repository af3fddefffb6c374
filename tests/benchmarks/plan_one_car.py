"""One car's week on one thread: the compiled kernel against scipy's linprog on the same instances.

Both get their inputs ready-made (the kernel its batch, linprog its matrices) and the needs can be
met, so that linprog solves once. The kernel's time includes sorting the prices, once a batch; the
batch repeats the instances, since one pass over them is too short to time.
"""

from __future__ import annotations

import resource
import statistics
import time
from collections.abc import Iterator
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import linprog

from service.planning.domain.path_kernel import PathBatch, Window, cheapest_paths, path_batch, price_tables, warm_up

INSTANCES = {"small": 60, "full": 400}
REPEATS = 50
ROUNDS = 5
TOLERANCE_P = 1e-6

Household: TypeAlias = tuple[list[int], list[int], list[list[Window]]]


def rows(size: str) -> Iterator[dict[str, Any]]:
    """Yield the row of the kernel on one thread."""
    rng = np.random.default_rng(20_261_125)
    price_up = np.rint(np.round(rng.normal(18, 9, 336), 2) * 1e6).astype(np.int64)  # half-hourly, some below zero
    households = _feasible_households(rng, price_up, INSTANCES[size])
    batch = path_batch(households * REPEATS)
    programmes = [_programme(household, price_up) for household in households]
    rounds = [_round(price_up, batch, programmes) for _ in range(ROUNDS)]
    ours_us = [kernel_s / len(households) / REPEATS * 1e6 for kernel_s, _ in rounds]
    ratios = [linprog_s / len(households) * 1e6 / us for (_, linprog_s), us in zip(rounds, ours_us, strict=True)]
    yield {
        "name": "plan_one_car_1_thread",
        "value": round(statistics.median(ours_us), 3),
        "unit": "us/household",
        "reference": "scipy linprog",
        "ratio": round(statistics.median(ratios), 1),
        "mismatches": _mismatches(price_up, households, programmes),
        "peak_mib": round(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024, 1),
    }


def _round(price_up: NDArray[np.int64], batch: PathBatch, programmes: list[dict[str, Any]]) -> tuple[float, float]:
    """Return seconds of the kernel over the batch and of linprog over the programmes."""
    started = time.perf_counter()
    cheapest_paths(price_tables(price_up), batch)
    between = time.perf_counter()
    for programme in programmes:
        linprog(method="highs", **programme)
    return between - started, time.perf_counter() - between


def _mismatches(price_up: NDArray[np.int64], households: list[Household], programmes: list[dict[str, Any]]) -> int:
    costs_np = cheapest_paths(price_tables(price_up), path_batch(households)).cost_np.tolist()
    found = 0
    for cost_np, programme in zip(costs_np, programmes, strict=True):
        answer = linprog(method="highs", **programme)
        found += answer.status != 0 or abs(answer.fun / 1000 - cost_np / 1e9) > TOLERANCE_P
    return found


def _feasible_households(rng: np.random.Generator, price_up: NDArray[np.int64], count: int) -> list[Household]:
    """Return commuters with eight stays whose needs can be met."""
    warm_up()
    tables = price_tables(price_up)
    found: list[Household] = []
    while len(found) < count:
        household = _commuter(rng)
        if not cheapest_paths(tables, path_batch([household])).unmet_wh.any():
            found.append(household)
    return found


def _commuter(rng: np.random.Generator) -> Household:
    battery_wh, cap_wh = int(rng.integers(35_000, 80_000)), int(rng.choice([1150, 3680]))
    reserve_wh, start_wh = battery_wh // 10, int(rng.integers(battery_wh // 4, battery_wh))
    ceiling_wh = int(rng.choice([battery_wh, battery_wh * 8 // 10]))
    lower, upper, windows = [], [], []
    home_slot = driven_wh = 0
    for day in range(7):
        leaves_slot, trip_wh = day * 48 + int(rng.integers(13, 18)), int(rng.integers(3_000, 12_000))
        windows.append([(home_slot, leaves_slot, cap_wh)])
        lower.append(driven_wh + trip_wh + reserve_wh - start_wh)
        upper.append(driven_wh + ceiling_wh - start_wh)
        driven_wh += trip_wh
        home_slot = day * 48 + int(rng.integers(34, 42))
    windows.append([(home_slot, 336, cap_wh)])
    lower.append(driven_wh + reserve_wh - start_wh)
    upper.append(driven_wh + ceiling_wh - start_wh)
    return lower, upper, windows


def _programme(household: Household, price_up: NDArray[np.int64]) -> dict[str, Any]:
    """Return the arguments of linprog: energy in each half-hour at home, cumulative bounds at each departure."""
    lower, upper, windows = household
    slots = [(position, slot) for position, [(first, end, _)] in enumerate(windows) for slot in range(first, end)]
    counts = np.array([[position <= deadline for position, _ in slots] for deadline in range(len(lower))], dtype=float)
    least = np.maximum.accumulate(np.maximum(lower, 0))
    most = np.maximum(upper, least)
    return {
        "c": price_up[[slot for _, slot in slots]] / 1e6,
        "A_ub": np.vstack([counts, -counts]),
        "b_ub": np.concatenate([most, -least]),
        "bounds": (0, windows[0][0][2]),
    }
