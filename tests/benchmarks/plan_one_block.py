"""One car's week with one run a night, on one thread: the compiled kernel against HiGHS on the same instances.

Both get their inputs ready-made (the kernel its batch, HiGHS its model) and the needs can be met,
so that HiGHS solves once, to a gap of 0 as the kernel does. Only its run is timed.
"""

from __future__ import annotations

import resource
import statistics
import time
from collections.abc import Iterator
from itertools import pairwise
from typing import Any

import numpy as np

from service.planning.domain.block_kernel import cheapest_blocks, warm_up
from service.planning.domain.path_kernel import Window, path_batch, price_tables
from tests.prove.block_oracle import BlockCase, BlockProgramme, cost_and_late

INSTANCES = {"small": 6, "full": 40}
REPEATS = 20
ROUNDS = 3


def rows(size: str) -> Iterator[dict[str, Any]]:
    """Yield the row of the kernel on one thread."""
    rng = np.random.default_rng(20_261_127)
    price_up = np.rint(np.round(rng.normal(18, 9, 336), 2) * 1e6).astype(np.int64)  # half-hourly, some below zero
    tables = price_tables(price_up)
    cases = _feasible_cases(rng, price_up.tolist(), INSTANCES[size])
    batch = path_batch([(case.lower_wh, case.upper_wh, case.windows) for case in cases] * REPEATS)
    nights = [night for case in cases for group in case.nights for night in group] * REPEATS
    losses = [0] * len(cases) * REPEATS
    costs_np = cheapest_blocks(tables, batch, nights, losses).cost_np[: len(cases)].tolist()
    ours_us, ratios = [], []
    mismatches = 0
    for _ in range(ROUNDS):
        started = time.perf_counter()
        cheapest_blocks(tables, batch, nights, losses)
        ours_us.append((time.perf_counter() - started) / len(cases) / REPEATS * 1e6)
        answers = [BlockProgramme(case).least_cost(0) for case in cases]
        ratios.append(sum(answer.seconds for answer in answers) / len(cases) * 1e6 / ours_us[-1])
        for case, answer, cost_np in zip(cases, answers, costs_np, strict=True):
            mismatches += answer.plan is None or cost_and_late(case, answer.plan)[0] != cost_np
    yield {
        "name": "plan_one_block_1_thread",
        "value": round(statistics.median(ours_us), 1),
        "unit": "us/household",
        "reference": "HiGHS, mixed-integer, gap 0",
        "ratio": round(statistics.median(ratios), 1),
        "mismatches": mismatches,
        "peak_mib": round(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024, 1),
    }


def _feasible_cases(rng: np.random.Generator, price_up: list[int], count: int) -> list[BlockCase]:
    """Return commuters on a slow lead or a timer whose needs can be met."""
    warm_up()
    tables = price_tables(price_up)
    found: list[BlockCase] = []
    while len(found) < count:
        case = _commuter(rng, price_up)
        nights = [night for group in case.nights for night in group]
        batch = path_batch([(case.lower_wh, case.upper_wh, case.windows)])
        if not cheapest_blocks(tables, batch, nights, [0]).unmet_wh.any():
            found.append(case)
    return found


def _commuter(rng: np.random.Generator, price_up: list[int]) -> BlockCase:
    """Return a week of five or six trips; at weekends a stay is cut at noon, where a night ends."""
    battery_wh, cap_wh = int(rng.integers(35_000, 80_000)), int(rng.choice([1150, 3680]))
    reserve_wh, start_wh = battery_wh // 10, int(rng.integers(battery_wh // 4, battery_wh))
    ceiling_wh = int(rng.choice([battery_wh, battery_wh * 8 // 10]))
    lower, upper = [], []
    windows: list[list[Window]] = []
    nights: list[list[int]] = []
    home_slot = driven_wh = 0

    def stay(end_slot: int, least_wh: int) -> None:
        cuts = [home_slot, *(noon for noon in range(24, 336, 48) if home_slot < noon < end_slot), end_slot]
        windows.append([(first, end, cap_wh) for first, end in pairwise(cuts)])
        nights.append([(first + 24) // 48 for first in cuts[:-1]])
        lower.append(least_wh)
        upper.append(driven_wh + ceiling_wh - start_wh)

    for day in (0, 1, 2, 3, 4, 6)[: int(rng.integers(5, 7))]:
        leaves_slot, trip_wh = day * 48 + int(rng.integers(13, 18)), int(rng.integers(3_000, 12_000))
        stay(leaves_slot, driven_wh + trip_wh + reserve_wh - start_wh)
        driven_wh += trip_wh
        home_slot = day * 48 + int(rng.integers(34, 42))
    stay(336, driven_wh + reserve_wh - start_wh)
    return BlockCase(price_up, lower, upper, windows, nights, 0)
