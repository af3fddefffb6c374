"""An independent oracle: several cars under one supply as a linear programme, solved by HiGHS phase by phase.

Written from the rules with cumulative sums, not as a flow: energy of each car in each half-hour at home, energy short
at each departure, and what is charged and short up to a departure between its bounds. Phases: least short at important
departures, least short, least cost. Where departures differ in rank, one is short of no more than it adds to the need.
Prices are scaled to near 1 per Wh; corners of a flow are whole numbers.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import linprog
from scipy.sparse import csr_array, vstack

from service.planning.domain.supply_flow import SupplyCar

TIGHT = {"primal_feasibility_tolerance": 1e-10, "dual_feasibility_tolerance": 1e-10}


@dataclass(frozen=True)
class SharedProgramme:
    """Draws and shortfalls as columns, in that order: ``rows @ x <= most`` and ``0 <= x <= caps``."""

    rows: csr_array
    most: NDArray[np.float64]
    caps: NDArray[np.float64]
    slots: NDArray[np.int64]  # of each draw
    is_important: NDArray[np.bool_]  # of each shortfall


@dataclass(frozen=True)
class SharedOptimum:
    """Least short at important departures and least short [Wh]; least cost [p], and from whole Wh [1e-9 p] or None."""

    important_wh: int
    unmet_wh: int
    cost_p: float
    cost_np: int | None


def shared_programme(
    cars: Sequence[SupplyCar], headroom_wh: Sequence[int], circuits_wh: Sequence[Sequence[int]]
) -> SharedProgramme:
    """Return the programme of all cars."""
    draws = [
        (number, stay, slot, cap)
        for number, car in enumerate(cars)
        for stay, windows in enumerate(car.windows)
        for first, end, cap in windows
        for slot in range(first, end)
    ]
    shorts = [(number, stay) for number, car in enumerate(cars) for stay in range(len(car.windows))]
    columns = len(draws) + len(shorts)
    rows: list[tuple[list[int], float, float]] = []  # columns, sign, most
    limits = {0: list(headroom_wh)} | {1 + circuit: list(limit) for circuit, limit in enumerate(circuits_wh)}
    for limit, values in limits.items():
        within: dict[int, list[int]] = {}
        for column, (number, _, slot, _) in enumerate(draws):
            if limit == 0 or cars[number].circuit == limit - 1:
                within.setdefault(slot, []).append(column)
        rows.extend((held, 1.0, float(values[slot])) for slot, held in within.items())
    has_ranks = any(any(car.is_important) for car in cars)  # only then it matters where a shortfall sits
    most_short: list[float] = []
    for number, car in enumerate(cars):
        least = 0
        lowers = [least := max(least, bound) for bound in car.lower_wh]
        uppers = [max(bound, lower) for bound, lower in zip(car.upper_wh, lowers, strict=True)]
        most_short.extend(np.diff([0, *lowers]).tolist() if has_ranks else [np.inf] * len(lowers))
        for stay in range(len(car.windows)):
            until = [column for column, each in enumerate(draws) if each[0] == number and each[1] <= stay]
            until += [len(draws) + place for place, each in enumerate(shorts) if each[0] == number and each[1] <= stay]
            rows.append((until, 1.0, float(min(uppers[stay:]))))
            rows.append((until, -1.0, -float(lowers[stay])))
    values = np.concatenate([np.full(len(held), sign) for held, sign, _ in rows])
    where = np.concatenate([np.array(held, dtype=np.int64) for held, _, _ in rows])
    starts = np.concatenate([[0], np.cumsum([len(held) for held, _, _ in rows])])
    return SharedProgramme(
        csr_array((values, where, starts), shape=(len(rows), columns)),
        np.array([most for _, _, most in rows]),
        np.array([*(cap for *_, cap in draws), *most_short], dtype=float),
        np.array([slot for _, _, slot, _ in draws], dtype=np.int64),
        np.array([cars[number].is_important_at(stay) for number, stay in shorts], dtype=bool),
    )


def shared_optimum(programme: SharedProgramme, price_up: NDArray[np.int64]) -> SharedOptimum:
    """Return the optimum, phase by phase; prices in micro-pence per kWh for each half-hour of the horizon."""
    draws = len(programme.slots)
    rows, most = programme.rows, programme.most
    found = []
    for counted in (programme.is_important, np.ones(len(programme.is_important), dtype=bool)):
        amount = np.concatenate([np.zeros(draws), counted.astype(float)])
        if not counted.any():
            found.append(0)
            continue
        least = _solved(amount, rows, most, programme.caps)
        found.append(round(float(amount @ least)))
        assert abs(amount @ least - found[-1]) < 1e-4, "the least shortfall of whole bounds is a whole number"
        rows, most = vstack([rows, csr_array(amount[np.newaxis])], format="csr"), np.append(most, float(found[-1]))
    if not draws:
        return SharedOptimum(found[0], found[1], 0.0, 0)
    per_wh = np.concatenate([price_up[programme.slots] / 1e6, np.zeros(len(programme.is_important))])  # [1e-3 p/Wh]
    best = _solved(per_wh, rows, most, programme.caps)
    energy = np.rint(best[:draws]).astype(np.int64)
    is_whole = bool(np.abs(energy - best[:draws]).max() < 1e-5)
    pairs = zip(price_up[programme.slots].tolist(), energy.tolist(), strict=True)
    whole = sum(price * energy_wh for price, energy_wh in pairs)
    return SharedOptimum(found[0], found[1], float(per_wh @ best) / 1000, whole if is_whole else None)


def _solved(
    weights: NDArray[np.float64], rows: csr_array, most: NDArray[np.float64], caps: NDArray[np.float64]
) -> NDArray[np.float64]:
    bounds = np.column_stack([np.zeros(len(caps)), caps])
    answer = linprog(weights, A_ub=rows, b_ub=most, bounds=bounds, method="highs", options=TIGHT)
    assert answer.status == 0, answer.message
    return answer.x
