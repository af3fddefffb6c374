"""Two independent oracles for weeks with at most one run a night: every plan, and HiGHS.

Both are written from the rules: a run is consecutive half-hours of one window, full but for its
first and last, either of which may be part-loaded; what is sure of it is what it draws less the
start loss, and must be something. Neither knows levels, steps or concavity.
"""

from __future__ import annotations

import time
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product
from typing import TypeAlias

import highspy
import numpy as np
from numpy.typing import NDArray

from service.planning.domain.path_kernel import Window
from tests.factories.highs import new_highs

Int64s: TypeAlias = NDArray[np.int64]
Plan: TypeAlias = dict[int, int]  # slot -> energy drawn [Wh]

TIGHT = {
    "output_flag": False,
    "threads": 1,
    "mip_rel_gap": 0.0,
    "mip_abs_gap": 1e-9,
    "mip_feasibility_tolerance": 1e-9,
    "primal_feasibility_tolerance": 1e-9,
    "dual_feasibility_tolerance": 1e-9,
}


@dataclass(frozen=True)
class BlockCase:
    """A household as ``cheapest_block`` takes it."""

    price_up: list[int]
    lower_wh: list[int]
    upper_wh: list[int]
    windows: list[list[Window]]
    nights: list[list[int]]
    start_loss_wh: int

    def groups(self) -> list[tuple[int, list[Window]]]:
        """Return each night as its segment and its windows."""
        found: list[tuple[int, list[Window]]] = []
        for segment, (windows, nights) in enumerate(zip(self.windows, self.nights, strict=True)):
            for night in sorted(set(nights)):
                found.append((segment, [w for w, n in zip(windows, nights, strict=True) if n == night]))
        return found

    def bounds(self) -> tuple[Int64s, Int64s]:
        """Return bounds that do not contradict themselves: the need stands."""
        floor = np.maximum.accumulate(np.maximum(np.array(self.lower_wh, dtype=np.int64), 0))
        return floor, np.maximum(np.array(self.upper_wh, dtype=np.int64), floor)


def unmet_of(case: BlockCase, plan: Plan) -> int | None:
    """Return what a plan leaves unmet in all [Wh], or None if it breaks a rule; the checker of both sides."""
    floor, roof = case.bounds()
    sure = elsewhere = 0
    groups = case.groups()
    taken = 0
    for segment in range(len(floor)):
        for _, windows in (group for group in groups if group[0] == segment):
            runs = [
                [(slot, plan[slot]) for slot in range(first, end) if plan.get(slot)] for first, end, _ in windows
            ]
            if sum(bool(run) for run in runs) > 1:
                return None
            for run, (_, _, cap) in zip(runs, windows, strict=True):
                slots, energies = [slot for slot, _ in run], [energy for _, energy in run]
                taken += len(slots)
                if slots and slots[-1] - slots[0] + 1 != len(slots):
                    return None
                if any(energy != cap for energy in energies[1:-1]) or max(energies, default=0) > cap:
                    return None
                if energies and sum(energies) <= case.start_loss_wh:
                    return None
                sure += sum(energies) - (case.start_loss_wh if energies else 0)
        elsewhere = max(elsewhere, int(floor[segment]) - sure)
        if sure + elsewhere > roof[segment]:
            return None
    return elsewhere if taken == sum(energy > 0 for energy in plan.values()) else None


def cost_and_late(case: BlockCase, plan: Plan) -> tuple[int, int]:
    """Return the cost [1e-9 p] and the sum of slot x energy."""
    cost = sum(case.price_up[slot] * energy for slot, energy in plan.items())
    return cost, sum(slot * energy for slot, energy in plan.items())


def best_of_all(case: BlockCase) -> tuple[int, int, int]:
    """Return (unmet, cost, sum of slot x energy) of the best of every combination of every run; small cases only."""
    floor, roof = case.bounds()
    groups = case.groups()
    sure, cost, late = (np.zeros(1, dtype=np.int64) for _ in range(3))
    elsewhere = np.zeros(1, dtype=np.int64)
    allowed = np.ones(1, dtype=np.bool_)
    for segment in range(len(floor)):
        for _, windows in (group for group in groups if group[0] == segment):
            runs = np.array([(0, 0, 0), *_runs(case, windows)], dtype=np.int64)
            sure, cost, late = (
                np.add.outer(total, column).ravel() for total, column in zip((sure, cost, late), runs.T, strict=True)
            )
            elsewhere, allowed = np.repeat(elsewhere, len(runs)), np.repeat(allowed, len(runs))
        elsewhere = np.maximum(elsewhere, floor[segment] - sure)
        allowed = allowed & (sure + elsewhere <= roof[segment])
    best = np.lexsort((late[allowed], cost[allowed], elsewhere[allowed]))[0]
    return int(elsewhere[allowed][best]), int(cost[allowed][best]), int(late[allowed][best])


def _runs(case: BlockCase, windows: list[Window]) -> Iterator[tuple[int, int, int]]:
    """Yield (sure energy, cost, sum of slot x energy) of every run in whole Wh."""
    for first, end, cap in windows:
        for start in range(first, end):
            for stop in range(start + 1, end + 1):
                ends = (range(1, cap + 1),) if stop == start + 1 else (range(1, cap + 1), range(1, cap + 1))
                for loads in product(*ends):
                    energies = [*loads[:1], *[cap] * (stop - start - 2), *loads[1:]]
                    if cap and sum(energies) > case.start_loss_wh:
                        plan = dict(zip(range(start, stop), energies, strict=True))
                        yield sum(energies) - case.start_loss_wh, *cost_and_late(case, plan)


@dataclass(frozen=True)
class HighsAnswer:
    """What HiGHS found at so much unmet [Wh]: cost as reported [p], its plan if that keeps the rules in whole Wh.

    ``seconds`` is the time of finding the least cost.
    """

    unmet_wh: int
    cost_p: float
    plan: Plan | None
    seconds: float


class BlockProgramme:
    """A week with one run a night as a mixed-integer programme.

    For each half-hour of a window: energy x, whether it is touched y, whether a run starts s;
    for each segment: what is short from there on. Interior half-hours are full:
    x >= cap (y before + y after - 1).

    With ``is_free`` a night may have any number of runs, and one may begin on the boundary after
    a half-hour that another ends in: a start lifts the rule for the half-hours on either side.
    Prices must then not be below zero, where a run that is sure of nothing would be worth having.
    """

    def __init__(self, case: BlockCase, *, is_free: bool = False) -> None:
        self.case = case
        self.is_free = is_free
        self.slots: list[int] = []
        self.whole: list[int] = []
        self.model = new_highs()
        for name, value in TIGHT.items():
            self.model.setOptionValue(name, value)
        floor, roof = case.bounds()
        inf = highspy.kHighsInf
        self.energy: list[int] = []
        counted: list[tuple[int, float]] = []
        self.short: list[int] = []
        groups = case.groups()
        for segment in range(len(floor)):
            for _, windows in (group for group in groups if group[0] == segment):
                night_energy: list[int] = []
                night_starts: list[int] = []
                for first, end, cap in windows:
                    x = [self._column(0.0, float(cap)) for _ in range(first, end)]
                    y = [self._column(0.0, 1.0, whole=True) for _ in range(first, end)]
                    s = [self._column(0.0, 1.0, whole=True) for _ in range(first, end)]
                    for place in range(end - first):
                        self._row(-inf, 0.0, [(x[place], 1.0), (y[place], -float(cap))])
                        before = [(y[place - 1], 1.0)] if place else []
                        self._row(0.0, inf, [(s[place], 1.0), (y[place], -1.0), *before])
                        if 0 < place < end - first - 1:
                            neighbours = [(y[place - 1], -float(cap)), (y[place + 1], -float(cap))]
                            if is_free:
                                neighbours += [(s[place], float(cap)), (s[place + 1], float(cap))]
                            self._row(-float(cap), inf, [(x[place], 1.0), *neighbours])
                    self.slots += range(first, end)
                    self.energy += x
                    night_energy += x
                    night_starts += s
                if night_starts and not is_free:
                    self._row(-inf, 1.0, [(s, 1.0) for s in night_starts])
                if night_starts and case.start_loss_wh and not is_free:
                    least = -float(case.start_loss_wh + 1)
                    self._row(0.0, inf, [*((x, 1.0) for x in night_energy), *((s, least) for s in night_starts)])
                counted += [(x, 1.0) for x in night_energy]
                counted += [(s, -float(case.start_loss_wh)) for s in night_starts if case.start_loss_wh]
            self.short.append(self._column(0.0, inf))
            short = [(column, 1.0) for column in self.short]
            self._row(float(floor[segment]), float(roof[segment]), [*counted, *short])

    def _column(self, least: float, most: float, *, whole: bool = False) -> int:
        column = int(self.model.getNumCol())
        self.model.addVar(least, most)
        if whole:
            self.model.changeColIntegrality(column, highspy.HighsVarType.kInteger)
            self.whole.append(column)
        return column

    def _row(self, least: float, most: float, terms: list[tuple[int, float]]) -> None:
        columns = np.array([column for column, _ in terms], dtype=np.int32)
        self.model.addRow(least, most, len(terms), columns, np.array([factor for _, factor in terms]))

    def _cost(self, columns: list[int], costs: list[float]) -> None:
        count = self.model.getNumCol()
        vector = np.zeros(count)
        vector[columns] = costs
        self.model.changeColsCost(count, np.arange(count, dtype=np.int32), vector)

    def _run(self) -> NDArray[np.float64]:
        self.model.run()
        status = self.model.getModelStatus()
        assert status == highspy.HighsModelStatus.kOptimal, status
        return np.array(self.model.getSolution().col_value)

    def solve(self) -> HighsAnswer:
        """Return the answer of two phases: least unmet energy, then least cost at it."""
        return self.least_cost(self.least_unmet())

    def least_unmet(self) -> int:
        """Return the first phase's answer [Wh]."""
        self._cost(self.short, [1.0] * len(self.short))
        return round(float(self._run()[self.short].sum()))

    def least_cost(self, unmet_wh: int) -> HighsAnswer:
        """Return the second phase's answer, no more than so much unmet."""
        self._row(-highspy.kHighsInf, float(unmet_wh), [(column, 1.0) for column in self.short])
        per_wh = [self.case.price_up[slot] / 1e6 for slot in self.slots]  # [1e-3 p/Wh]: near 1
        self._cost(self.short + self.energy, [0.0] * len(self.short) + per_wh)
        started = time.perf_counter()
        values = self._run()
        seconds = time.perf_counter() - started
        cost_p = float(self.model.getObjectiveValue()) / 1000
        return HighsAnswer(unmet_wh, cost_p, self._whole_plan(values, unmet_wh), seconds)

    def _whole_plan(self, values: NDArray[np.float64], unmet_wh: int) -> Plan | None:
        """Return HiGHS's own runs in whole Wh: rounded, or re-solved as a linear programme with its runs fixed."""
        if self.is_free:  # which runs they are cannot be read off the half-hours
            return None
        for is_again in (False, True):
            if is_again:
                for column in self.whole:
                    fixed = float(round(values[column]))
                    self.model.changeColBounds(column, fixed, fixed)
                    self.model.changeColIntegrality(column, highspy.HighsVarType.kContinuous)
                self.model.run()
                if self.model.getModelStatus() != highspy.HighsModelStatus.kOptimal:
                    return None
                values = np.array(self.model.getSolution().col_value)
            energies = np.rint(values[self.energy]).astype(np.int64).tolist()
            plan = {slot: wh for slot, wh in zip(self.slots, energies, strict=True) if wh > 0}
            if unmet_of(self.case, plan) == unmet_wh:
                return plan
        return None
