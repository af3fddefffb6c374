"""Two independent oracles for shared outlets: every way to give the turns, and a mixed-integer programme by HiGHS.

The first clips windows half-hour by half-hour and plans every car for every set of turns. The second
knows no sets: energy in each half-hour, a yes or no for each car, turn and outlet, and energy
charged elsewhere at a departure only where the car leaves with just what it needs.
"""

from __future__ import annotations

from itertools import pairwise, product
from typing import NamedTuple, TypeAlias

import highspy
import numpy as np
from numpy.typing import NDArray

from service.planning.domain.path_kernel import Window, cheapest_path
from service.planning.domain.turns import Objective, SharedCar, SharedHome
from tests.factories.highs import new_highs

Holders: TypeAlias = tuple[tuple[int, ...], ...]

TIGHT = {
    "output_flag": False,
    "threads": 1,
    "mip_rel_gap": 0.0,
    "mip_abs_gap": 1e-6,
    "mip_feasibility_tolerance": 1e-9,
    "primal_feasibility_tolerance": 1e-9,
}


class Best(NamedTuple):
    """The best there is, the turns by the stated order of equals, and how many ways were looked at."""

    objective: Objective
    holders: Holders
    ways: int


class HighsAnswer(NamedTuple):
    """HiGHS's turns and what it says they are worth, cost in pence."""

    holders: Holders
    important_unmet_wh: int
    unmet_wh: int
    cost_p: float


def useful_cells(home: SharedHome) -> NDArray[np.bool_]:
    """Return whether a car could charge, shape (cars, turns, outlets)."""
    useful = np.zeros((len(home.cars), len(home.turns), home.outlets), dtype=bool)
    for position, car in enumerate(home.cars):
        for outlet, segments in enumerate(car.windows):
            for first, end, cap in (window for windows in segments for window in windows):
                for turn, (begins, ends) in enumerate(home.turns):
                    useful[position, turn, outlet] |= cap > 0 and max(first, begins) < min(end, ends)
    return useful


def objective_of(home: SharedHome, car: SharedCar, choices: tuple[int, ...]) -> Objective:
    """Return what a car is judged by with its choice in each turn: 0 for none, otherwise outlet + 1."""
    of_slot = np.repeat(choices, [end - first for first, end in home.turns])
    groups = []
    for segment in range(len(car.lower_wh)):
        found: list[Window] = []
        for outlet in range(home.outlets):
            for first, end, cap in car.windows[outlet][segment]:
                is_mine = np.concatenate([[False], of_slot[first:end] == outlet + 1, [False]])
                edges = (np.flatnonzero(np.diff(is_mine.astype(int))) + first).tolist()
                found += [(start, stop, cap) for start, stop in zip(edges[::2], edges[1::2], strict=True)]
        groups.append(sorted(found))
    plan = cheapest_path(home.tables, car.lower_wh, car.upper_wh, groups)
    important = sum(int(wh) for wh, flag in zip(plan.unmet_wh, car.is_important, strict=True) if flag)
    return Objective(important, int(plan.unmet_wh.sum()), int(plan.cost_np[0]))


def objective_with(home: SharedHome, holders: Holders) -> Objective:
    """Return what a home is judged by when its turns are given like this."""
    parts = []
    for position, car in enumerate(home.cars):
        choices = tuple(
            next((outlet + 1 for outlet, holder in enumerate(turn) if holder == position), 0) for turn in holders
        )
        parts.append(objective_of(home, car, choices))
    return Objective(*(sum(values) for values in zip(*parts, strict=True)))


def best_of_all(home: SharedHome) -> Best:
    """Return the best of all ways to give the turns, turns given to nobody among them."""
    cars, base, turns = len(home.cars), home.outlets + 1, len(home.turns)
    useful = useful_cells(home)
    options = [way for way in product(range(base), repeat=cars) if _is_allowed(way)]
    value = np.zeros((3, len(options) ** turns), dtype=np.int64)
    for position, car in enumerate(home.cars):
        seen: dict[tuple[int, ...], Objective] = {}
        table = np.empty((3, base**turns), dtype=np.int64)
        for number, choices in enumerate(product(range(base), repeat=turns)):
            real = tuple(
                choice if choice and useful[position, turn, choice - 1] else 0 for turn, choice in enumerate(choices)
            )
            if real not in seen:
                seen[real] = objective_of(home, car, real)
            table[:, number] = seen[real]
        number_of = np.zeros(1, dtype=np.int64)
        for _ in range(turns):
            number_of = (number_of[:, np.newaxis] * base + [way[position] for way in options]).ravel()
        value += table[:, number_of]
    ways = np.arange(value.shape[1])
    for row in value:
        ways = ways[row[ways] == row[ways].min()]
    objective = Objective(*(int(row[ways[0]]) for row in value))
    return Best(objective, _first_of_equals(home, useful, options, ways), value.shape[1])


def _is_allowed(way: tuple[int, ...]) -> bool:
    taken = [choice for choice in way if choice]
    return len(set(taken)) == len(taken)


def _first_of_equals(
    home: SharedHome, useful: NDArray[np.bool_], options: list[tuple[int, ...]], ways: NDArray[np.int64]
) -> Holders:
    """Return the way in which cars stay most often where they were, then lower ordinals come first."""
    turns, outlets = len(home.turns), home.outlets
    chosen = np.array(options)[np.stack(np.unravel_index(ways, (len(options),) * turns), axis=1)]  # way, turn, car
    is_useful = np.ones(len(ways), dtype=bool)
    holder = np.full((len(ways), turns, outlets), -1)
    for position in range(len(home.cars)):
        for outlet in range(outlets):
            has_it = chosen[:, :, position] == outlet + 1
            holder[:, :, outlet] = np.where(has_it, position, holder[:, :, outlet])
            is_useful &= ~(has_it & ~useful[position, :, outlet]).any(axis=1)
    holder = holder[is_useful]
    kept = np.zeros(len(holder), dtype=int)
    for outlet in range(outlets):
        live = np.flatnonzero(useful[:, :, outlet].any(axis=0)).tolist()
        for before, after in pairwise(live):
            kept += (holder[:, after, outlet] == holder[:, before, outlet]) & (holder[:, after, outlet] >= 0)
    holder = holder[kept == kept.max()]
    ordinals = np.array([*(car.ordinal for car in home.cars), 10**6])  # -1, nobody, is the last of them
    cells = ordinals[holder].reshape(len(holder), -1)
    first = holder[np.lexsort(cells.T[::-1])[0]]
    return tuple(tuple(turn) for turn in first.tolist())


class TurnProgramme:
    """A home as a mixed-integer programme, solved in three phases; every big M is as small as can be."""

    def __init__(self, home: SharedHome) -> None:
        self.home = home
        self.lower: list[float] = []
        self.upper: list[float] = []
        self.is_whole: list[int] = []
        self.rows: list[tuple[float, float, list[int], list[float]]] = []
        self.energy: list[tuple[int, int]] = []  # column, slot
        self.short: list[tuple[int, bool]] = []  # column, at an important departure
        self.turn: dict[tuple[int, int, int], int] = {}  # car, turn, outlet
        for position in range(len(home.cars)):
            self._add(position)
        for turn in range(len(home.turns)):
            for outlet in range(home.outlets):
                self._at_most_one([cell for cell in self.turn if cell[1:] == (turn, outlet)])
            for position in range(len(home.cars)):
                self._at_most_one([cell for cell in self.turn if cell[:2] == (position, turn)])

    def solve(self) -> HighsAnswer:
        """Return the answer of three phases: least unmet at important departures, least unmet, least cost."""
        model = new_highs()
        for name, value in TIGHT.items():
            model.setOptionValue(name, value)
        model.passModel(self._model())
        important = [column for column, is_important in self.short if is_important]
        every = [column for column, _ in self.short]
        least = []
        for columns in (important, every):
            least.append(round(self._phase(model, columns, [1.0] * len(columns))) if columns else 0)
            if columns:
                ones = np.ones(len(columns))
                model.addRow(-highspy.kHighsInf, float(least[-1]), len(columns), np.array(columns), ones)
        price = self.home.tables.price_up / 1e6  # [1e-3 p/Wh]: near 1
        columns = [column for column, _ in self.energy]
        cost_p = self._phase(model, columns, [float(price[slot]) for _, slot in self.energy]) / 1000
        value = model.getSolution().col_value
        holders = [[-1] * self.home.outlets for _ in self.home.turns]
        for (position, turn, outlet), column in self.turn.items():
            if value[column] > 0.5:
                holders[turn][outlet] = position
        return HighsAnswer(tuple(map(tuple, holders)), *least, cost_p)

    def _phase(self, model: highspy.Highs, columns: list[int], cost: list[float]) -> float:
        weights = np.zeros(len(self.lower))
        weights[columns] = cost
        model.changeColsCost(len(weights), np.arange(len(weights), dtype=np.int32), weights)
        model.run()
        assert model.getModelStatus() == highspy.HighsModelStatus.kOptimal, model.getModelStatus()
        return float(model.getInfo().objective_function_value)

    def _column(self, lower: float, upper: float, *, is_whole: bool = False) -> int:
        self.lower.append(lower)
        self.upper.append(upper)
        self.is_whole.append(is_whole)
        return len(self.lower) - 1

    def _add(self, position: int) -> None:
        """Add a car: energy in each half-hour, the level it leaves with, and what it charges elsewhere."""
        car, home = self.home.cars[position], self.home
        level_before: int | None = None
        least = 0
        for segment in range(len(car.lower_wh)):
            least = max(least, car.lower_wh[segment])
            most = max(least, car.upper_wh[segment])
            level, short = self._column(least, most), self._column(0, least)
            self.short.append((short, car.is_important[segment]))
            flow = {level: 1.0, short: -1.0}
            if level_before is not None:
                flow[level_before] = -1.0
            for outlet in range(home.outlets):
                for first, end, cap in car.windows[outlet][segment]:
                    for slot in range(first, end if cap else first):
                        flow[self._energy(position, outlet, slot, cap)] = -1.0
            self.rows.append((0.0, 0.0, list(flow), list(flow.values())))
            if least and most > least and not car.is_important[segment] and any(car.is_important[segment + 1 :]):
                is_short = self._column(0, 1, is_whole=True)  # then it leaves with just what it needs
                self.rows.append((-highspy.kHighsInf, 0.0, [short, is_short], [1.0, -float(least)]))
                self.rows.append((-highspy.kHighsInf, float(most), [level, is_short], [1.0, float(most - least)]))
            level_before = level

    def _energy(self, position: int, outlet: int, slot: int, cap: int) -> int:
        """Return a new column of energy, which flows only where the car has the turn."""
        turn = sum(slot >= cut for cut in self.home.boundaries)
        cell = (position, turn, outlet)
        if cell not in self.turn:
            self.turn[cell] = self._column(0, 1, is_whole=True)
        column = self._column(0, cap)
        self.energy.append((column, slot))
        self.rows.append((-highspy.kHighsInf, 0.0, [column, self.turn[cell]], [1.0, -float(cap)]))
        return column

    def _at_most_one(self, cells: list[tuple[int, int, int]]) -> None:
        if len(cells) > 1:
            self.rows.append((-highspy.kHighsInf, 1.0, [self.turn[cell] for cell in cells], [1.0] * len(cells)))

    def _model(self) -> highspy.HighsLp:
        model = highspy.HighsLp()
        model.num_col_, model.num_row_ = len(self.lower), len(self.rows)
        model.col_cost_ = np.zeros(len(self.lower))
        model.col_lower_, model.col_upper_ = np.array(self.lower, dtype=float), np.array(self.upper, dtype=float)
        model.row_lower_ = np.array([row[0] for row in self.rows])
        model.row_upper_ = np.array([row[1] for row in self.rows])
        model.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
        model.a_matrix_.start_ = np.cumsum([0, *(len(row[2]) for row in self.rows)])
        model.a_matrix_.index_ = np.array([column for row in self.rows for column in row[2]])
        model.a_matrix_.value_ = np.array([value for row in self.rows for value in row[3]])
        whole, real = highspy.HighsVarType.kInteger, highspy.HighsVarType.kContinuous
        model.integrality_ = [whole if flag else real for flag in self.is_whole]
        return model
