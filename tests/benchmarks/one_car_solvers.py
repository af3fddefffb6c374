"""The other ways to solve one car's week that ``plan_one_car`` times: HiGHS afresh, HiGHS kept, a min-cost flow.

Each takes its instances ready-made and returns the cost of every household [p]; what is timed is the
solving and, for models built afresh, the building of the solver's own model.
"""

from __future__ import annotations

import ctypes
import os
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any, TypeAlias

import highspy
import numpy as np
from numpy.typing import NDArray
from ortools.graph.python import min_cost_flow

from service.planning.domain.path_kernel import Window
from tests.factories.highs import new_highs

Household: TypeAlias = tuple[list[int], list[int], list[list[Window]]]


@dataclass(frozen=True)
class Programme:
    """A week that can be met: half-hours at home in time order, each with the deadline it is first counted at.

    Energy charged by a deadline lies between ``least_wh`` and ``most_wh``, tightened; any half-hour takes ``cap_wh``.
    """

    slots: NDArray[np.int64]
    deadline: NDArray[np.int64]
    least_wh: NDArray[np.int64]
    most_wh: NDArray[np.int64]
    cap_wh: int

    def counts(self) -> NDArray[np.float64]:
        """Return which half-hours count at which deadline, shape (deadlines, slots)."""
        return (self.deadline[np.newaxis] <= np.arange(len(self.least_wh))[:, np.newaxis]).astype(float)


def programme(household: Household) -> Programme:
    """Return a household with one window a stay as a programme."""
    lower, upper, windows = household
    slots = [(slot, position) for position, [(first, end, _)] in enumerate(windows) for slot in range(first, end)]
    least = np.maximum.accumulate(np.maximum(np.array(lower, dtype=np.int64), 0))
    most = np.minimum.accumulate(np.maximum(np.array(upper, dtype=np.int64), least)[::-1])[::-1]
    flat = np.array(slots, dtype=np.int64)
    return Programme(flat[:, 0].copy(), flat[:, 1].copy(), least, most, windows[0][0][2])


def highs_model(week: Programme, price_up: NDArray[np.int64]) -> Any:
    """Return the week as HiGHS's own model; costs in 1e-3 p/Wh, near 1."""
    counts = week.counts()
    model = highspy.HighsLp()
    model.num_col_, model.num_row_ = counts.shape[1], counts.shape[0]
    model.col_cost_ = price_up[week.slots] / 1e6
    model.col_lower_ = np.zeros(counts.shape[1])
    model.col_upper_ = np.full(counts.shape[1], float(week.cap_wh))
    model.row_lower_ = week.least_wh.astype(float)
    model.row_upper_ = week.most_wh.astype(float)
    rows, columns = np.nonzero(counts)
    model.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    model.a_matrix_.start_ = np.concatenate(([0], np.cumsum(np.bincount(rows, minlength=counts.shape[0]))))
    model.a_matrix_.index_ = columns
    model.a_matrix_.value_ = np.ones(len(columns))
    return model


def highs_fresh(models: Sequence[Any]) -> list[float]:
    """Solve each model in a new instance of HiGHS, as a service that keeps nothing would."""
    costs = []
    for model in models:
        solver = new_highs()
        solver.setOptionValue("output_flag", False)
        solver.setOptionValue("threads", 1)
        solver.passModel(model)
        solver.run()
        costs.append(solver.getObjectiveValue() / 1000)
    return costs


class KeptModels:
    """One live instance of HiGHS a household, warm from the last prices: only the costs change."""

    def __init__(self, weeks: Sequence[Programme], models: Sequence[Any]) -> None:
        self._solvers = [_quiet() for _ in models]
        for solver, model in zip(self._solvers, models, strict=True):
            solver.passModel(model)
            solver.run()
        self._columns = [np.arange(len(week.slots), dtype=np.int32) for week in weeks]
        self._slots = [week.slots for week in weeks]

    def solve(self, price_up: NDArray[np.int64]) -> list[float]:
        """Return every household's cost at new prices [p]."""
        costs = []
        price = price_up / 1e6
        for solver, columns, slots in zip(self._solvers, self._columns, self._slots, strict=True):
            solver.changeColsCost(len(columns), columns, price[slots])
            solver.run()
            costs.append(solver.getObjectiveValue() / 1000)
        return costs


@dataclass(frozen=True)
class Flow:
    """A week as a network: a source feeds half-hours into stays, stays pass energy on, what is not needed runs off."""

    tails: NDArray[np.int32]
    heads: NDArray[np.int32]
    capacities: NDArray[np.int64]
    costs: NDArray[np.int64]
    supplies: NDArray[np.int64]


def flow(week: Programme, price_up: NDArray[np.int64]) -> Flow:
    """Return the network of a week; nodes are the stays, then the source, then the drain."""
    stays, energy = len(week.least_wh), int(week.most_wh[-1])
    source, drain = stays, stays + 1
    head = week.most_wh - week.least_wh
    onward = np.arange(stays)
    demand = np.diff(week.least_wh, prepend=0)
    return Flow(
        tails=np.concatenate([np.full(len(week.slots), source), onward, [source]]).astype(np.int32),
        heads=np.concatenate([week.deadline, onward[1:], [drain, drain]]).astype(np.int32),
        capacities=np.concatenate([np.full(len(week.slots), week.cap_wh), head, [energy]]).astype(np.int64),
        costs=np.concatenate([price_up[week.slots], np.zeros(stays + 1, dtype=np.int64)]),
        supplies=np.concatenate([-demand, [energy], [int(week.least_wh[-1]) - energy]]).astype(np.int64),
    )


def min_cost_flows(flows: Sequence[Flow]) -> list[float]:
    """Solve each network in a new solver."""
    costs = []
    for each in flows:
        solver = min_cost_flow.SimpleMinCostFlow()
        solver.add_arcs_with_capacity_and_unit_cost(each.tails, each.heads, each.capacities, each.costs)
        solver.set_nodes_supplies(np.arange(len(each.supplies)), each.supplies)
        if solver.solve() != solver.OPTIMAL:
            raise AssertionError("a week that can be met has a flow")
        costs.append(solver.optimal_cost() / 1e9)
    return costs


def _quiet() -> Any:
    with _elsewhere():
        solver = new_highs()
    solver.setOptionValue("output_flag", False)
    solver.setOptionValue("threads", 1)
    return solver


@contextmanager
def _elsewhere() -> Iterator[None]:
    """Send what a library prints by itself to standard error: the first HiGHS of a process prints who it is."""
    sys.stdout.flush()
    kept = os.dup(1)
    os.dup2(2, 1)
    try:
        yield
    finally:
        ctypes.CDLL(None).fflush(None)
        os.dup2(kept, 1)
        os.close(kept)
