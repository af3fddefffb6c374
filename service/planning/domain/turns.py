"""Who has an outlet when: several cars on one or more outlets, exact for up to four cars and two outlets.

The horizon is cut into turns where somebody is up to swap plugs. In a turn an outlet serves at most
one car, and a car uses at most one outlet. Given its turns a car charges as its own planner says, and
more turns never make it worse.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial
from itertools import pairwise
from typing import NamedTuple

import numpy as np

from service.planning.domain.path_kernel import (
    MAX_ENERGY_WH,
    PathPlans,
    PriceTables,
    Window,
    cheapest_paths,
    path_batch,
    price_tables,
)
from service.planning.domain.turn_search import (
    NOBODY,
    Board,
    Evaluate,
    Objective,
    best_choices,
    objective_of,
    paths_of,
)

__all__ = [
    "NOBODY",
    "Alternative",
    "Evaluate",
    "Gap",
    "Objective",
    "SharedCar",
    "SharedHome",
    "TurnPlan",
    "TurnReason",
    "share_outlets",
    "warm_up",
    "why_tonight",
]


class Gap(NamedTuple):
    """What a plan may be away from the best; ``cost_np`` None: unmet energies differ, so costs do not compare."""

    important_unmet_wh: int
    unmet_wh: int
    cost_np: int | None


@dataclass(frozen=True, eq=False)
class SharedCar:
    """One car: bounds for each segment as ``VehiclePath`` has them, and where it may charge.

    ``windows[outlet][segment]`` lists windows with the cap of that outlet; an empty list where the
    car cannot use it. ``is_important`` says which segments end at a departure marked important.
    ``evaluate`` is how this car charges within its turns, None: as ``share_outlets`` is told.
    """

    ordinal: int
    lower_wh: Sequence[int]
    upper_wh: Sequence[int]
    windows: Sequence[Sequence[Sequence[Window]]]
    is_important: Sequence[bool]
    evaluate: Evaluate | None = None


@dataclass(frozen=True, eq=False)
class SharedHome:
    """Cars that share outlets; ``boundaries`` are the slots, inside the horizon, at which plugs may be swapped.

    Raises
    ------
    ValueError
        If boundaries do not ascend inside the horizon, cars share an ordinal, lists differ in
        length, or all cars together may charge more than ``MAX_ENERGY_WH``.
    """

    tables: PriceTables
    boundaries: Sequence[int]
    outlets: int
    cars: Sequence[SharedCar]

    def __post_init__(self) -> None:
        cuts = [0, *self.boundaries, max(self.tables.count, 1)]
        if any(cut >= later for cut, later in pairwise(cuts)):
            raise ValueError("turn boundaries must ascend inside the horizon")
        if len({car.ordinal for car in self.cars}) < len(self.cars):
            raise ValueError("each car must have an ordinal of its own")
        for car in self.cars:
            lengths = {len(car.lower_wh), len(car.upper_wh), len(car.is_important), *map(len, car.windows)}
            if len(car.windows) != self.outlets or len(lengths) > 1:
                raise ValueError("a car needs one entry a segment everywhere, and windows for every outlet")
        if sum(max(0, *car.lower_wh, *car.upper_wh) for car in self.cars if car.lower_wh) > MAX_ENERGY_WH:
            raise ValueError(f"more than {MAX_ENERGY_WH} Wh for one home")

    @property
    def turns(self) -> list[tuple[int, int]]:
        """Return (first slot, end slot) of each turn."""
        return list(pairwise([0, *self.boundaries, self.tables.count]))


@dataclass(frozen=True, eq=False)
class TurnPlan:
    """Who has which outlet in which turn, and what each car then charges.

    ``holders[turn][outlet]`` is an index into the home's cars or ``NOBODY``; who cannot charge there in
    that turn never holds it. ``paths`` has a batch of one for each car, in the home's order. ``swaps``
    counts changes at an outlet from one turn of use to the next. ``bound``: no plan is better;
    ``is_proven``: this one is no worse.
    """

    holders: tuple[tuple[int, ...], ...]
    paths: tuple[PathPlans, ...]
    objective: Objective
    bound: Objective
    swaps: int
    is_proven: bool

    @property
    def gap(self) -> Gap:
        """Return how far the best plan may be away, all 0 where this one is proven."""
        important = self.objective.important_unmet_wh - self.bound.important_unmet_wh
        unmet = self.objective.unmet_wh - self.bound.unmet_wh
        compares = important == unmet == 0
        return Gap(important, unmet, self.objective.cost_np - self.bound.cost_np if compares else None)


@dataclass(frozen=True, slots=True)
class Alternative:
    """The best plan in which another car has the turn at that outlet, and what it is worse by.

    ``extra_unmet_wh`` includes what is important. ``extra_cost_np`` can be below 0 where more is unmet.
    """

    car: int
    objective: Objective
    extra_important_unmet_wh: int
    extra_unmet_wh: int
    extra_cost_np: int
    is_proven: bool


@dataclass(frozen=True, slots=True)
class TurnReason:
    """Who has an outlet in a turn, and every other car that could have it, in the order of the home's cars."""

    turn: int
    outlet: int
    holder: int
    alternatives: tuple[Alternative, ...]


def share_outlets(home: SharedHome, evaluate: Evaluate | None = None) -> TurnPlan:
    """Return the best turns of a home.

    Best means: least unmet energy before important departures, then least unmet energy, then least
    cost, all over the whole home; of equal ones that in which cars most often stay where they were (the
    fewest swaps), then the one that in the first turn where they differ has the lower ordinal.

    Parameters
    ----------
    evaluate : callable, optional
        How cars charge within their turns; ``cheapest_paths`` if not given. It must be best for each
        household of a batch, so that more windows never make one worse and a plan that is still
        allowed within fewer windows is still the answer. Windows keep the edges they came with, so
        it can tell from a window's slots which night it belongs to.

    Notes
    -----
    Exact where there are at most four cars with 15 turns on one outlet or 8 on two (or another
    number of cars with as many cases), turns that at most one car can use left out. Beyond that,
    parts of the horizon are made exact in turn until none gets better; the bound is then each car
    alone with every outlet at once.

    What cannot be met is counted as ``path_kernel`` counts it: at the first departure that lacks it,
    just what was short. A car's unmet energy at each departure is least where it has most turns, so
    no trade between departures of one car is missed.
    """
    board = _board(home, evaluate)
    choices, promised = best_choices(board, board.useful)
    paths = paths_of(board, choices)
    objective = objective_of(board, paths)
    is_proven = objective == promised
    bound = objective if is_proven else _relaxed(home, board)
    holders = [[NOBODY] * home.outlets for _ in range(choices.shape[1])]
    for position, row in zip(board.order, choices.tolist(), strict=True):
        for turn, choice in enumerate(row):
            if choice:
                holders[turn][choice - 1] = position
    return TurnPlan(
        holders=tuple(map(tuple, holders)),
        paths=tuple(paths[board.order.index(position)] for position in range(len(board.order))),
        objective=objective,
        bound=bound,
        swaps=_swaps(board, holders),
        is_proven=is_proven or objective == bound,
    )


def why_tonight(
    home: SharedHome, plan: TurnPlan, turn: int, evaluate: Evaluate | None = None
) -> tuple[TurnReason, ...]:
    """Return for each outlet who has the turn and what the home's best plan is if another car has it instead.

    All other turns are free to change. An alternative that is worse by nothing would do as well.
    """
    board = _board(home, evaluate)
    reasons = []
    for outlet, holder in enumerate(plan.holders[turn]):
        alternatives = []
        for position in range(len(home.cars)):
            rank = board.order.index(position)
            if position == holder or not board.useful[rank, turn, outlet]:
                continue
            useful = board.useful.copy()
            useful[:, turn, outlet] = False
            useful[rank, turn] = False
            useful[rank, turn, outlet] = True
            choices, promised = best_choices(board, useful)
            best = objective_of(board, paths_of(board, choices))
            important, unmet, cost_np = (there - here for there, here in zip(best, plan.objective, strict=True))
            alternatives.append(Alternative(position, best, important, unmet, cost_np, best == promised))
        reasons.append(TurnReason(turn, outlet, holder, tuple(alternatives)))
    return tuple(reasons)


def warm_up() -> None:
    """Compile the search or load it from numba's cache, so that the first home is not the slow one."""
    cars = [SharedCar(ordinal, [1], [2], [[[(0, 4, 1)]]], [False]) for ordinal in range(2)]
    share_outlets(SharedHome(price_tables([1, -1, 3, 2]), [2], 1, cars))


def _board(home: SharedHome, evaluate: Evaluate | None) -> Board:
    order = sorted(range(len(home.cars)), key=lambda position: home.cars[position].ordinal)
    cars = [home.cars[position] for position in order]
    turns = home.turns
    useful = np.zeros((len(cars), len(turns), home.outlets), dtype=np.bool_)
    pieces: list[tuple[int, ...]] = []
    piece_offset, segment_offset = [0], [0]
    usual = evaluate or partial(cheapest_paths, home.tables)
    groups: list[tuple[Evaluate, list[int]]] = []
    for rank, car in enumerate(cars):
        cut = sorted(_cut(car, home.boundaries))
        for _, turn, outlet, *_ in cut:
            useful[rank, turn, outlet] = True
        pieces += cut
        piece_offset.append(len(pieces))
        segment_offset.append(segment_offset[-1] + len(car.lower_wh))
        own = car.evaluate or usual
        for known, ranks in groups:
            if known is own:
                ranks.append(rank)
                break
        else:
            groups.append((own, [rank]))
    previous = np.full(useful.shape[1:], -1, dtype=np.int64)
    for outlet in range(home.outlets):
        live = np.flatnonzero(useful[:, :, outlet].any(axis=0))
        previous[live[1:], outlet] = live[:-1]
    return Board(
        order=order,
        pieces=np.array(pieces, dtype=np.int64).reshape(-1, 7),
        piece_offset=np.array(piece_offset, dtype=np.int64),
        segment_offset=np.array(segment_offset, dtype=np.int64),
        lower_wh=np.array([bound for car in cars for bound in car.lower_wh], dtype=np.int64),
        upper_wh=np.array([bound for car in cars for bound in car.upper_wh], dtype=np.int64),
        is_important=np.array([flag for car in cars for flag in car.is_important], dtype=np.bool_),
        turn_of_slot=np.repeat(np.arange(len(turns)), [end - first for first, end in turns]),
        useful=useful,
        previous=previous,
        groups=groups,
        most_segments=max((later - before for before, later in pairwise(segment_offset)), default=0),
        most_pieces=max((later - before for before, later in pairwise(piece_offset)), default=0),
    )


def _cut(car: SharedCar, boundaries: Sequence[int]) -> list[tuple[int, ...]]:
    """Return the pieces of a car's windows, in no order; windows in which it cannot charge have none."""
    pieces: list[tuple[int, ...]] = []
    origin = 0
    for outlet, segments in enumerate(car.windows):
        for segment, windows in enumerate(segments):
            for first, end, cap in windows:
                origin += 1
                at = first
                turn = bisect_right(boundaries, first)
                while cap > 0 and at < end:
                    until = min(end, boundaries[turn]) if turn < len(boundaries) else end
                    pieces.append((segment, turn, outlet, at, until, cap, origin))
                    at = until
                    turn += 1
    return pieces


def _relaxed(home: SharedHome, board: Board) -> Objective:
    """Return what no plan can beat: each car with nobody else there, at the best outlet of each half-hour."""
    evaluates = board.evaluates()
    paths = []
    for rank, position in enumerate(board.order):
        car = home.cars[position]
        windows = [_best_windows(by_outlet, home.tables.count) for by_outlet in zip(*car.windows, strict=True)]
        paths.append(evaluates[rank](path_batch([(car.lower_wh, car.upper_wh, windows)])))
    return objective_of(board, paths)


def _best_windows(by_outlet: Sequence[Sequence[Window]], count: int) -> list[Window]:
    """Return windows with the greatest cap of any outlet in each half-hour."""
    busy = [windows for windows in by_outlet if windows]
    if len(busy) < 2:
        return list(busy[0]) if busy else []
    caps = np.zeros(count, dtype=np.int64)
    edges = {0, count}
    for windows in busy:
        for first, end, cap in windows:
            caps[first:end] = np.maximum(caps[first:end], cap)
            edges |= {first, end}
    return [(first, end, int(caps[first])) for first, end in pairwise(sorted(edges)) if caps[first] > 0]


def _swaps(board: Board, holders: list[list[int]]) -> int:
    """Return how often an outlet's holder is not that of the last turn in which any car could use it."""
    return sum(
        before >= 0 and holder != holders[before][outlet]
        for row, earlier in zip(holders, board.previous.tolist(), strict=True)
        for outlet, (holder, before) in enumerate(zip(row, earlier, strict=True))
    )
