"""One car's week, households on one tariff: the compiled kernel against other exact ways on the same instances.

Every way gets its inputs ready-made (the kernel its batch, the others matrices, models or networks) and the
needs can be met, so that a linear programme is solved once. The kernel's time includes sorting the prices,
once a batch; the batch repeats the instances, since one pass over them is too short to time.
"""

from __future__ import annotations

import resource
import statistics
import time
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import linprog

from service.planning.domain.path_kernel import PathBatch, cheapest_paths, path_batch, price_tables, warm_up
from tests.benchmarks.one_car_solvers import (
    Household,
    KeptModels,
    Programme,
    flow,
    highs_fresh,
    highs_model,
    min_cost_flows,
    programme,
)
from tests.prove.lockstep_weeks import lockstep_plans

INSTANCES = {"small": 60, "full": 400}
BATCH = 30_000
IN_STEP = 2_400
ROUNDS = 5
TOLERANCE_P = 1e-6
LINPROG = "scipy linprog"


def rows(size: str) -> Iterator[dict[str, Any]]:
    """Yield a row for each other way to solve the same weeks, and one more for the kernel on two threads."""
    rng = np.random.default_rng(20_261_125)
    price_up = np.rint(np.round(rng.normal(18, 9, 336), 2) * 1e6).astype(np.int64)  # half-hourly, some below zero
    households = _feasible_households(rng, price_up, INSTANCES[size])
    weeks = [programme(household) for household in households]
    ours = _Kernel(price_up, households)
    ours_us: dict[int, list[float]] = {1: [], 2: []}
    theirs_us: dict[str, list[float]] = {}
    mismatches: dict[str, int] = {}
    ways = _ways(price_up, households, weeks)
    for number in range(ROUNDS):
        prices = price_up if number % 2 == 0 else np.roll(price_up, 48)  # a kept model gets new costs each round
        expected_p = (cheapest_paths(price_tables(prices), path_batch(households)).cost_np / 1e9).tolist()
        for threads, measured in ours_us.items():
            measured.append(ours.us_a_household(prices, threads))
        for name, prepare in ways.items():
            solve = prepare(prices)
            started = time.perf_counter()
            costs_p = solve()
            theirs_us.setdefault(name, []).append((time.perf_counter() - started) / len(costs_p) * 1e6)
            again = expected_p * (len(costs_p) // len(expected_p))
            differing = sum(abs(a - b) > TOLERANCE_P for a, b in zip(costs_p, again, strict=True))
            mismatches[name] = mismatches.get(name, 0) + differing
    for name, threads, reference in (
        ("plan_one_car_1_thread", 1, LINPROG),
        ("plan_one_car_2_threads", 2, LINPROG),
        ("plan_one_car_against_highs_fresh", 1, "highspy, a new model a household"),
        ("plan_one_car_against_highs_warm", 1, "highspy, a kept model a household, costs changed"),
        ("plan_one_car_against_min_cost_flow", 1, "OR-tools SimpleMinCostFlow"),
        ("plan_one_car_against_numpy", 1, "numpy, all households in step"),
    ):
        theirs = theirs_us[reference]
        yield {
            "name": name,
            "value": round(statistics.median(ours_us[threads]), 3),
            "unit": "us/household",
            "reference": reference if reference == LINPROG else f"{reference}: {statistics.median(theirs):.0f} us",
            "ratio": round(statistics.median(a / b for a, b in zip(theirs, ours_us[threads], strict=True)), 1),
            "mismatches": mismatches[reference] + ours.mismatches(price_up, threads),
            "peak_mib": round(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024, 1),
        }


class _Kernel:
    """The instances, repeated to a batch, whole and in halves for two threads."""

    def __init__(self, price_up: NDArray[np.int64], households: Sequence[Household]) -> None:
        repeats = BATCH // len(households)
        self._households = list(households) * repeats
        half = len(self._households) // 2
        self._whole = path_batch(self._households)
        self._halves = [path_batch(self._households[:half]), path_batch(self._households[half:])]
        self._pool = ThreadPoolExecutor(2)
        self._costs(price_up, 2)  # threads start at their first task

    def us_a_household(self, price_up: NDArray[np.int64], threads: int) -> float:
        """Return the time for one household [us]; the kernel lets go of the interpreter's lock."""
        started = time.perf_counter()
        self._costs(price_up, threads)
        return (time.perf_counter() - started) / len(self._households) * 1e6

    def mismatches(self, price_up: NDArray[np.int64], threads: int) -> int:
        """Return how many households of the batch cost otherwise on so many threads than on one."""
        return int((self._costs(price_up, threads) != self._costs(price_up, 1)).sum())

    def _costs(self, price_up: NDArray[np.int64], threads: int) -> NDArray[np.int64]:
        tables = price_tables(price_up)

        def solve(batch: PathBatch) -> NDArray[np.int64]:
            return cheapest_paths(tables, batch).cost_np

        return solve(self._whole) if threads == 1 else np.concatenate(list(self._pool.map(solve, self._halves)))


def _ways(
    price_up: NDArray[np.int64], households: Sequence[Household], weeks: Sequence[Programme]
) -> dict[str, Callable[[NDArray[np.int64]], Callable[[], list[float]]]]:
    """Return, by name, what readies each other way at some prices; calling that gives every cost [p]."""
    kept = KeptModels(weeks, [highs_model(week, price_up) for week in weeks])

    def linear_programmes(prices: NDArray[np.int64]) -> Callable[[], list[float]]:
        ready = [_linprog_arguments(week, prices) for week in weeks]
        return lambda: [linprog(method="highs", **arguments).fun / 1000 for arguments in ready]

    def fresh(prices: NDArray[np.int64]) -> Callable[[], list[float]]:
        models = [highs_model(week, prices) for week in weeks]
        return lambda: highs_fresh(models)

    def flows(prices: NDArray[np.int64]) -> Callable[[], list[float]]:
        networks = [flow(week, prices) for week in weeks]
        return lambda: min_cost_flows(networks)

    def in_step(prices: NDArray[np.int64]) -> Callable[[], list[float]]:
        many = list(households) * (IN_STEP // len(households))  # few at a time would only measure numpy's calls
        return lambda: ((lockstep_plans(prices, many).energy_wh * prices).sum(axis=1) / 1e9).tolist()

    return {
        LINPROG: linear_programmes,
        "highspy, a new model a household": fresh,
        "highspy, a kept model a household, costs changed": lambda prices: lambda: kept.solve(prices),
        "OR-tools SimpleMinCostFlow": flows,
        "numpy, all households in step": in_step,
    }


def _linprog_arguments(week: Programme, price_up: NDArray[np.int64]) -> dict[str, Any]:
    """Return the arguments of linprog: energy in each half-hour at home, cumulative bounds at each departure."""
    counts = week.counts()
    return {
        "c": price_up[week.slots] / 1e6,
        "A_ub": np.vstack([counts, -counts]),
        "b_ub": np.concatenate([week.most_wh, -week.least_wh]),
        "bounds": (0, week.cap_wh),
    }


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
