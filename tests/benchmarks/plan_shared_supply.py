"""Several cars' week under one fuse: ours through Python against HiGHS (highspy), least shortfall first, then cost.

HiGHS gets its model ready-made and keeps its basis from the first phase to the second; ours is timed from the plain
inputs to the finished plan. Three cars on 336 half-hours; one row where the cars' own plans fit beside each other, one
where they have to be planned together.
"""

from __future__ import annotations

import resource
import statistics
import time
from collections.abc import Iterator
from typing import Any

import highspy
import numpy as np
from scipy.sparse import csr_array

from service.planning.domain.path_kernel import PriceTables, price_tables
from service.planning.domain.supply_flow import SupplyCar, SupplyPlan, share_supply, warm_up
from tests.factories.highs import new_highs
from tests.prove.shared_lp import SharedProgramme, shared_programme

INSTANCES = {"small": 25, "full": 150}
ROUNDS = 5
CARS = 3
SLOTS = 336
TOLERANCE_P = 1e-5


def rows(size: str) -> Iterator[dict[str, Any]]:
    """Yield the row of certified plans and the row of cars planned together."""
    warm_up()
    for name, fuse_wh in (("certified", 13_800), ("together", 4_600)):  # 120 A and 40 A for half an hour at 230 V
        yield _row(name, fuse_wh, INSTANCES[size])


def _row(name: str, fuse_wh: int, count: int) -> dict[str, Any]:
    rng = np.random.default_rng(20_261_129)
    tables = price_tables(np.rint(np.round(rng.normal(18, 9, SLOTS), 2) * 1e6).astype(np.int64))
    homes: list[tuple[list[SupplyCar], list[int]]] = []
    while len(homes) < count:
        home = [_commuter(rng, ordinal) for ordinal in range(CARS)], _headroom(rng, fuse_wh)
        if share_supply(tables, *home).was_certified == (name == "certified"):
            homes.append(home)
    programmes = [shared_programme(cars, headroom, []) for cars, headroom in homes]
    rounds = [_round(tables, homes, programmes) for _ in range(ROUNDS)]
    ours_us = [ours / count * 1e6 for ours, _ in rounds]
    ratios = [highs / count * 1e6 / us for (_, highs), us in zip(rounds, ours_us, strict=True)]
    return {
        "name": f"plan_shared_supply_{name}",
        "value": round(statistics.median(ours_us), 1),
        "unit": "us/household of 3 cars",
        "reference": "HiGHS LP (highspy), two phases",
        "ratio": round(statistics.median(ratios), 1),
        "mismatches": sum(
            _differs(share_supply(tables, *home), _by_highs(programme, tables))
            for home, programme in zip(homes, programmes, strict=True)
        ),
        "peak_mib": round(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024, 1),
    }


def _round(
    tables: PriceTables, homes: list[tuple[list[SupplyCar], list[int]]], programmes: list[SharedProgramme]
) -> tuple[float, float]:
    """Return seconds of ours and of HiGHS over the homes."""
    started = time.perf_counter()
    for cars, headroom in homes:
        share_supply(tables, cars, headroom)
    between = time.perf_counter()
    for programme in programmes:
        _by_highs(programme, tables)
    return between - started, time.perf_counter() - between


def _differs(plan: SupplyPlan, best: tuple[float, float]) -> bool:
    unmet_wh, cost_p = best
    return plan.unmet_wh != round(unmet_wh) or abs(plan.cost_np / 1e9 - cost_p) > TOLERANCE_P


def _by_highs(programme: SharedProgramme, tables: PriceTables) -> tuple[float, float]:
    """Return least shortfall [Wh] and least cost at it [p]."""
    draws, columns = len(programme.slots), len(programme.caps)
    rows: csr_array = programme.rows
    model = highspy.HighsLp()
    model.num_col_, model.num_row_ = columns, rows.shape[0]
    model.col_cost_ = np.concatenate([np.zeros(draws), np.ones(columns - draws)])
    model.col_lower_, model.col_upper_ = np.zeros(columns), programme.caps
    model.row_lower_, model.row_upper_ = np.full(rows.shape[0], -np.inf), programme.most
    model.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    model.a_matrix_.start_, model.a_matrix_.index_ = rows.indptr, rows.indices
    model.a_matrix_.value_ = rows.data
    solver = new_highs()
    solver.setOptionValue("output_flag", False)
    solver.passModel(model)
    solver.run()
    unmet_wh = solver.getInfo().objective_function_value
    shorts = np.arange(draws, columns, dtype=np.int32)
    solver.addRow(-np.inf, float(round(unmet_wh)), len(shorts), shorts, np.ones(len(shorts)))
    per_wh = np.concatenate([tables.price_up[programme.slots] / 1e6, np.zeros(columns - draws)])  # [1e-3 p/Wh]
    solver.changeColsCost(columns, np.arange(columns, dtype=np.int32), per_wh)
    solver.run()
    return unmet_wh, solver.getInfo().objective_function_value / 1000


def _headroom(rng: np.random.Generator, fuse_wh: int) -> list[int]:
    """Return what a house with a load of its own leaves of the fuse."""
    load_wh = rng.gamma(1.5, 200, SLOTS).astype(np.int64)
    return np.maximum(0, fuse_wh - load_wh).tolist()


def _commuter(rng: np.random.Generator, ordinal: int) -> SupplyCar:
    """Return a car with eight stays, charged at 10 or 32 A."""
    battery_wh, cap_wh = int(rng.integers(35_000, 80_000)), int(rng.choice([1150, 3680]))
    reserve_wh, start_wh = battery_wh // 10, int(rng.integers(battery_wh // 4, battery_wh))
    ceiling_wh = int(rng.choice([battery_wh, battery_wh * 8 // 10]))
    lower, upper, windows = [], [], []
    home_slot = driven_wh = 0
    for day in range(8):
        leaves_slot = day * 48 + int(rng.integers(13, 18)) if day < 7 else SLOTS
        trip_wh = int(rng.integers(3_000, 12_000)) if day < 7 else 0
        windows.append([(home_slot, leaves_slot, cap_wh)])
        lower.append(driven_wh + trip_wh + reserve_wh - start_wh)
        upper.append(driven_wh + ceiling_wh - start_wh)
        driven_wh += trip_wh
        home_slot = day * 48 + int(rng.integers(34, 42))
    return SupplyCar(ordinal, lower, upper, windows)
