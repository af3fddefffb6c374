"""Who has the one outlet each night of a week: the exact search against a mixed-integer programme by HiGHS.

Both start from the same home: cars that commute on half-hourly prices, one slow outlet, plugs swapped each
evening. HiGHS solves in three phases on one thread, its model ready-made; its big M are the caps.
Both are timed by the processor's clock, so that a busy machine does not favour the longer run.
"""

from __future__ import annotations

import resource
import statistics
import time
from collections.abc import Iterator
from typing import Any

import numpy as np

from service.planning.domain.path_kernel import PriceTables, price_tables
from service.planning.domain.turns import SharedCar, SharedHome, share_outlets, warm_up
from tests.prove.turn_oracles import TurnProgramme, objective_with

INSTANCES = {"small": 4, "full": 20}
REPEATS = 20  # of the search in a round: one pass over the homes is too short to time
ROUNDS = 5
EVENINGS = [day * 48 + 36 for day in range(7)]


def rows(size: str) -> Iterator[dict[str, Any]]:
    """Yield a row each for two and for three cars on one outlet."""
    warm_up()
    for cars in (2, 3):
        rng = np.random.default_rng(20_261_129)
        price_up = np.rint(np.round(rng.normal(18, 9, 336), 2) * 1e6).astype(np.int64)  # half-hourly, some below zero
        tables = price_tables(price_up)
        homes = [commuters(rng, tables, cars) for _ in range(INSTANCES[size])]
        rounds = [_round(homes) for _ in range(ROUNDS)]
        yield {
            "name": f"plan_shared_outlet_{cars}_cars",
            "value": round(statistics.median(ours_s for ours_s, _ in rounds) / len(homes) * 1e3, 3),
            "unit": "ms/household",
            "reference": "HiGHS MILP, three phases",
            "ratio": round(statistics.median(milp_s / ours_s for ours_s, milp_s in rounds), 1),
            "mismatches": _mismatches(homes),
            "peak_mib": round(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024, 1),
        }


def commuters(rng: np.random.Generator, tables: PriceTables, cars: int) -> SharedHome:
    """Return a home with one 10 A outlet whose cars are all out by day and home by night."""
    return SharedHome(tables, EVENINGS, 1, [_commuter(rng, ordinal) for ordinal in range(cars)])


def _commuter(rng: np.random.Generator, ordinal: int) -> SharedCar:
    battery_wh = int(rng.integers(35_000, 80_000))
    reserve_wh, start_wh = battery_wh // 10, int(rng.integers(battery_wh // 4, battery_wh))
    lower, upper, windows = [], [], []
    home_slot = driven_wh = 0
    for day in range(7):
        leaves_slot, trip_wh = day * 48 + int(rng.integers(13, 18)), int(rng.integers(2_000, 8_000))
        windows.append([(home_slot, leaves_slot, 1150)])
        lower.append(driven_wh + trip_wh + reserve_wh - start_wh)
        upper.append(driven_wh + battery_wh - start_wh)
        driven_wh += trip_wh
        home_slot = day * 48 + int(rng.integers(33, 40))
    windows.append([(home_slot, 336, 1150)])
    lower.append(driven_wh + reserve_wh - start_wh)
    upper.append(driven_wh + battery_wh - start_wh)
    important = [bool(flag) for flag in rng.random(8) < 0.2]
    return SharedCar(ordinal, lower, upper, [windows], important)


def _round(homes: list[SharedHome]) -> tuple[float, float]:
    """Return processor seconds of the search and of HiGHS for all homes once."""
    started = time.process_time()
    for _ in range(REPEATS):
        for home in homes:
            share_outlets(home)
    ours_s = (time.process_time() - started) / REPEATS
    programmes = [TurnProgramme(home) for home in homes]
    started = time.process_time()
    for programme in programmes:
        programme.solve()
    return ours_s, time.process_time() - started


def _mismatches(homes: list[SharedHome]) -> int:
    return sum(
        share_outlets(home).objective != objective_with(home, TurnProgramme(home).solve().holders) for home in homes
    )
