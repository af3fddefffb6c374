"""Which works to pay for out of a budget: the very best set, not the best rate first.

Each home has a few works of which one at most is done.  The set chosen avoids the most shortfall; of all that avoid as
much, it is worth the most; of all worth as much, it costs least.  A list by rate would leave money unspent where two
smaller works together do more than one larger.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import gcd
from typing import Final, TypeAlias

import numpy as np

CELLS_MAX: Final = 300_000_000
"""Own bound on homes' works times steps of money: beyond it money is counted in a coarser unit, and that is said."""

Values: TypeAlias = tuple["np.ndarray[tuple[int], np.dtype[np.int64]]", "np.ndarray[tuple[int], np.dtype[np.int64]]"]
"""For each whole number of units that may be spent: the most shortfall avoided [Wh a year], and then the worth [p]."""


@dataclass(frozen=True, slots=True)
class Work:
    """One work that could be paid for: its cost [whole pounds], what it avoids [Wh a year] and is worth [p]."""

    cost_pounds: int
    avoided_wh: int
    worth_pence: int

    @property
    def value(self) -> tuple[int, int]:
        """Return what counts, the first first."""
        return self.avoided_wh, self.worth_pence


@dataclass(frozen=True, slots=True)
class Chosen:
    """For each home the place of its work, None: nothing; the money is counted in steps of ``unit_pounds``."""

    places: tuple[int | None, ...]
    spent_pounds: int
    unit_pounds: int
    is_exact: bool


def best_set(homes: Sequence[Sequence[Work]], budget_pounds: int) -> Chosen:
    """Return the best set of works within a budget, one a home at most.

    Notes
    -----
    Dynamic programming over money: after each home, the best value for every sum that may be spent.  Values are
    compared as (shortfall, worth) pairs; adding the same to both sides never turns such a comparison round, so the best
    of the whole is made of bests.  Which works those were is found by halving the homes (Hirschberg), so that nothing
    but one row of sums is ever held.  Money is counted in the greatest unit that divides every cost.
    """
    useful = [_useful(works) for works in homes]
    costs = [homes[home][place].cost_pounds for home, places in enumerate(useful) for place in places]
    unit, is_exact = _unit(costs, sum(map(len, useful)), budget_pounds)
    lists = [
        [(place, -(-homes[home][place].cost_pounds // unit), homes[home][place]) for place in places]
        for home, places in enumerate(useful)
    ]
    most = sum(max((units for _, units, _ in each), default=0) for each in lists)
    units = min(budget_pounds // unit, most)
    best = _values(lists, units)
    places = _choose(lists, _first_best(best))
    spent = sum(homes[home][place].cost_pounds for home, place in enumerate(places) if place is not None)
    return Chosen(tuple(places), spent, unit, is_exact)


_Listed: TypeAlias = list[tuple[int, int, Work]]


def _useful(works: Sequence[Work]) -> list[int]:
    """Return the places of works that are better than nothing and that no cheaper one of the home equals."""
    by_cost = sorted(range(len(works)), key=lambda place: (works[place].cost_pounds, *_negative(works[place].value)))
    kept: list[int] = []
    best = (0, 0)
    for place in by_cost:
        if works[place].value > best:
            kept.append(place)
            best = works[place].value
    return kept


def _negative(value: tuple[int, int]) -> tuple[int, int]:
    return -value[0], -value[1]


def _unit(costs: Iterable[int], works: int, budget_pounds: int) -> tuple[int, bool]:
    """Return the unit of money [pounds], and whether it divides every cost."""
    common = gcd(*costs) or 1
    unit = common
    while works * (budget_pounds // unit) > CELLS_MAX:
        unit += 1
    return unit, unit == common


def _values(lists: Sequence[_Listed], units: int) -> Values:
    avoided, worth = np.zeros(units + 1, np.int64), np.zeros(units + 1, np.int64)
    for listed in lists:
        before = avoided.copy(), worth.copy()
        for _, cost, work in listed:
            if cost <= units:
                size = units + 1 - cost
                more, money = before[0][:size] + work.avoided_wh, before[1][:size] + work.worth_pence
                is_better = (more > avoided[cost:]) | ((more == avoided[cost:]) & (money > worth[cost:]))
                np.copyto(avoided[cost:], more, where=is_better)
                np.copyto(worth[cost:], money, where=is_better)
    return avoided, worth


def _first_best(values: Values) -> int:
    """Return the least spending that reaches the best value."""
    avoided, worth = values
    is_best = avoided == avoided.max()
    is_best &= worth == worth[is_best].max()
    return int(np.flatnonzero(is_best)[0])


def _choose(lists: Sequence[_Listed], units: int) -> list[int | None]:
    """Return the place of each home's work in the best set that spends no more than some units."""
    if not lists:
        return []
    if len(lists) == 1:
        open_to = [(work.value, -cost, place) for place, cost, work in lists[0] if cost <= units]
        return [max(open_to)[2] if open_to else None]
    half = len(lists) // 2
    left, right = _values(lists[:half], units), _values(lists[half:], units)
    here = _first_best((left[0] + right[0][::-1], left[1] + right[1][::-1]))
    return _choose(lists[:half], here) + _choose(lists[half:], units - here)
