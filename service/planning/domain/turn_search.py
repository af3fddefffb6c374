"""The search behind shared outlets: every car's plan for every set of turns that matters, put together exactly.

A car is solved for sets of turns, the largest first; one turn less that its plan does not use
changes nothing. Sets of different cars are then put together car by car, for each set of outlets
taken so far. Compiled functions stay in this one file: numba's cache notices no other.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from itertools import compress, product
from math import prod
from typing import Final, NamedTuple, TypeAlias

import numpy as np
from numba import njit
from numpy.typing import NDArray

from service.planning.domain.path_kernel import Int32s, Int64s, PathBatch, PathPlans

Evaluate: TypeAlias = Callable[[PathBatch], PathPlans]
Choices: TypeAlias = NDArray[np.int8]  # 0: no outlet, otherwise one more than the outlet
Matching: TypeAlias = tuple[int, ...]  # the choice of each car in one turn
Step: TypeAlias = tuple[int, int, int]  # outlets taken by earlier cars, this car's choice, outlets taken after it

NOBODY: Final = -1
_NEVER: Final = 2**61  # two of them still add up
_UNMET_BITS: Final = 31  # energies of a home are below 2**26 Wh: both kinds of unmet energy fit one word
_UNSEEN: Final = -1  # instead of the turns used by a set's plan: there is none
_MOST_SETS: Final = 4 * 2**15  # sets of turns to solve in an exact search: four cars in 15 turns on one outlet
_MOST_STEPS: Final = 40_000_000  # ways to put them together, about 0.1 s
_MOST_TAKEN: Final = 2**16  # sets of outlets taken: bounds memory
_FEW_SETS: Final = 1024  # the same for a part of a longer horizon, solved again and again
_FEW_STEPS: Final = 2**15
_MOST_SWEEPS: Final = 8
_AT_ONCE: Final = 4096  # households in a batch: bounds memory as well


class Objective(NamedTuple):
    """What a home's plan is judged by, the first difference decides: energies at the wall, cost in 1e-9 p."""

    important_unmet_wh: int
    unmet_wh: int
    cost_np: int


@dataclass(frozen=True, eq=False)
class Board:
    """A home in arrays; ``rank`` counts its cars by ordinal, ``order`` says where each stands in the home.

    ``pieces`` of a rank are its windows cut into turns, in time order: segment, turn, outlet, first
    slot, end slot, cap, number of the window it was cut from. ``useful[rank, turn, outlet]``: it can
    charge there. ``previous[turn, outlet]``: the last turn before in which any car could use that
    outlet, -1 where there is none or none can use it in this turn. ``groups``: ranks by evaluator.
    ``most_segments``, ``most_pieces``: of any one car.
    """

    order: list[int]
    pieces: Int64s
    piece_offset: Int64s
    segment_offset: Int64s
    lower_wh: Int64s
    upper_wh: Int64s
    is_important: NDArray[np.bool_]
    turn_of_slot: Int64s
    useful: NDArray[np.bool_]
    previous: Int64s
    groups: list[tuple[Evaluate, list[int]]]
    most_segments: int
    most_pieces: int

    def evaluates(self) -> dict[int, Evaluate]:
        """Return how each car charges within its turns."""
        return {rank: evaluate for evaluate, ranks in self.groups for rank in ranks}


@lru_cache(maxsize=4096)
def _matchings(useful: tuple[tuple[bool, ...], ...]) -> tuple[Matching, ...]:
    """Return every way to give a turn's outlets to cars that leaves no car without one it could have.

    ``useful`` has a row for each car, an entry for each outlet. More turns never make a car worse,
    so ways that leave more unused are not needed.
    """
    cars, outlets = len(useful), len(useful[0])
    found = []
    takers = ([NOBODY, *(rank for rank in range(cars) if useful[rank][outlet])] for outlet in range(outlets))
    for holders in product(*takers):
        busy = [rank for rank in holders if rank != NOBODY]
        free = [outlet for outlet, rank in enumerate(holders) if rank == NOBODY]
        could = any(useful[rank][outlet] for rank in range(cars) if rank not in busy for outlet in free)
        if len(set(busy)) == len(busy) and not could:
            found.append(tuple(holders.index(rank) + 1 if rank in busy else 0 for rank in range(cars)))
    return tuple(sorted(found))


@lru_cache(maxsize=4096)
def _steps(matchings: tuple[Matching, ...]) -> tuple[tuple[Step, ...], ...]:
    """Return, car by car, what it may choose in a turn after what the cars before it took.

    Outlets taken are bits of a number; after the last car it does not matter which are, and the
    number is 0.
    """
    cars = len(matchings[0])
    layers: list[set[Step]] = [set() for _ in range(cars)]
    for choices in matchings:
        taken = 0
        for rank, choice in enumerate(choices):
            after = taken | (1 << choice >> 1)
            layers[rank].add((taken, choice, after if rank + 1 < cars else 0))
            taken = after
    return tuple(tuple(sorted(layer)) for layer in layers)


@lru_cache(maxsize=16)
def _sets_of_turns(base: int, turns: int) -> tuple[Choices, list[Int64s]]:
    """Return the choice in each turn behind each number, and the numbers with equally many turns, most first.

    The choices are the digits of the number in that base, the first turn's the lowest.
    """
    digits = np.zeros((base**turns, turns), dtype=np.int8)
    for turn in range(turns):
        digits[:, turn] = np.arange(base**turns) // base**turn % base
    missing = turns - np.count_nonzero(digits, axis=1)
    return digits, np.split(np.argsort(missing, kind="stable"), np.cumsum(np.bincount(missing))[:-1])


def best_choices(board: Board, useful: NDArray[np.bool_]) -> tuple[Choices, Objective | None]:
    """Return each car's choice in each turn, shape (cars, turns), and what that is worth if none is better."""
    cars, turns, outlets = useful.shape
    if not cars:
        return np.zeros((0, turns), dtype=np.int8), Objective(0, 0, 0)
    matchings = [_matchings(tuple(map(tuple, rows))) for rows in useful.swapaxes(0, 1).tolist()]
    choices = np.array([ways[turn % len(ways)] for turn, ways in enumerate(matchings)], dtype=np.int8).T
    open_turns = [turn for turn, ways in enumerate(matchings) if len(ways) > 1]
    choices = np.ascontiguousarray(choices.reshape(cars, turns))
    if _fits(matchings, open_turns, outlets, _MOST_SETS, _MOST_STEPS):
        return _best_over(board, matchings, choices, open_turns)
    return _swept(board, matchings, choices, open_turns), None


def _swept(
    board: Board, matchings: list[tuple[Matching, ...]], choices: Choices, open_turns: list[int]
) -> Choices:
    """Return choices made better part by part, each part exactly: neighbouring turns, then every second or third."""
    outlets = board.useful.shape[2]
    for _ in range(_MOST_SWEEPS):
        before = choices
        for stride in (1, 2, 3):
            start = 0
            while start < len(open_turns):
                part = open_turns[start::stride]
                while not _fits(matchings, part, outlets, _FEW_SETS, _FEW_STEPS):
                    part.pop()
                choices, _ = _best_over(board, matchings, choices, part)
                start += max(1, len(part) // 2)
        if np.array_equal(before, choices):
            break
    return choices


def _fits(matchings: list[tuple[Matching, ...]], turns: list[int], outlets: int, sets: int, steps: int) -> bool:
    """Return whether turns can be decided together within so many sets of turns and steps."""
    if not turns:
        return True
    cars = len(matchings[0][0])
    layers = zip(*(_steps(matchings[turn]) for turn in turns), strict=True)
    digits = (cars + 1) ** (len(turns) * outlets) * (len(matchings) * outlets + 1)  # the tie-break must fit int64
    return (
        cars * (outlets + 1) ** len(turns) <= sets
        and 1 << outlets * len(turns) <= _MOST_TAKEN
        and digits < _NEVER
        and sum(prod(map(len, layer)) for layer in layers) <= steps
    )


def _best_over(
    board: Board, matchings: list[tuple[Matching, ...]], choices: Choices, open_turns: list[int]
) -> tuple[Choices, Objective]:
    """Return the best choices where only those of some turns may change, and what they are worth."""
    outlets = board.useful.shape[2]
    allowed, combinations = _combinations(tuple(matchings[turn] for turn in open_turns), len(choices), outlets)
    worth = _worths(board, choices, np.array(open_turns, dtype=np.int64), allowed)
    found = np.full((1 << outlets * len(open_turns), 3), _NEVER, dtype=np.int64)
    found[0] = 0
    origins = []
    for rank, (high, low) in enumerate(combinations):
        found, origin = _add_car(found, worth[rank], high, low)
        origins.append(origin)
    digits = _sets_of_turns(outlets + 1, len(open_turns))[0]
    best = choices.copy()
    taken = 0
    for rank in range(len(choices) - 1, -1, -1):
        number, taken = origins[rank][taken]
        best[rank, open_turns] = digits[number]
    short, cost_np, _ = found[0].tolist()
    return best, Objective(short >> _UNMET_BITS, short & ((1 << _UNMET_BITS) - 1), cost_np)


@lru_cache(maxsize=64)
def _combinations(
    matchings: tuple[tuple[Matching, ...], ...], cars: int, outlets: int
) -> tuple[NDArray[np.bool_], list[tuple[Int64s, Int64s]]]:
    """Return what each car may choose in each open turn, and its steps in all of them together.

    The first has shape (cars, turns, outlets + 1). The second has for each car all combinations of
    steps over the later and over the earlier half of the turns, one in each: rows of (set taken
    before, number of its own set, set taken after), to be added up.
    """
    allowed = np.zeros((cars, len(matchings), outlets + 1), dtype=np.bool_)
    for place, ways in enumerate(matchings):
        for matching in ways:
            allowed[np.arange(cars), place, matching] = True
    half = len(matchings) // 2
    layers = [_steps(ways) for ways in matchings]
    combinations = []
    for rank in range(cars):
        low, high = np.zeros((1, 3), dtype=np.int64), np.zeros((1, 3), dtype=np.int64)
        for place, layer in enumerate(layers):
            set_weight, weight = 1 << outlets * place, (outlets + 1) ** place
            steps = np.array(layer[rank], dtype=np.int64) * (set_weight, weight, set_weight)
            if place < half:
                low = (steps[:, np.newaxis] + low).reshape(-1, 3)
            else:
                high = (steps[:, np.newaxis] + high).reshape(-1, 3)
        combinations.append((high, low))
    return allowed, combinations


def _worths(board: Board, choices: Choices, open_turns: Int64s, allowed: NDArray[np.bool_]) -> Int64s:
    """Return (unmet, cost, tie-break) of each car for each set of open turns, shape (cars, sets, 3).

    A set less one turn that the plan does not use has the same plan, so sets are taken by size, the
    largest first, and most of them are never solved.
    """
    cars, turns, base = allowed.shape
    digits, by_size = _sets_of_turns(base, turns)
    worth = np.full((cars, len(digits), 3), _NEVER, dtype=np.int64)
    used = np.full((cars, len(digits)), _UNSEEN, dtype=np.int64)
    powers = base ** np.arange(turns, dtype=np.int64)
    _write_ties(worth, digits, choices, open_turns, board.previous)
    bits = np.zeros(choices.shape[1], dtype=np.int64)
    bits[open_turns] = 1 << np.arange(turns, dtype=np.int64)
    bit_of_slot = bits[board.turn_of_slot]
    for numbers in by_size:
        for evaluate, ranks in board.groups:
            row_car, row_set = _unsolved(np.array(ranks), numbers, digits, powers, allowed, worth, used)
            for at in range(0, len(row_car), _AT_ONCE):
                some_cars, some_sets = row_car[at : at + _AT_ONCE], row_set[at : at + _AT_ONCE]
                batch = _batch_of(board, choices, open_turns, digits, some_cars, some_sets)
                plans = evaluate(batch)
                _write_worths(
                    worth, used, some_cars, some_sets, batch.segment_offset, board.segment_offset, board.is_important,
                    plans.unmet_wh, plans.cost_np, plans.used_offset, plans.used_slot, bit_of_slot,
                )  # fmt: skip
    return worth


def _batch_of(
    board: Board, choices: Choices, open_turns: Int64s, digits: Choices, row_car: Int64s, row_set: Int64s
) -> PathBatch:
    """Return a batch with a household for each car and its set of the open turns; in others its choices stand."""
    most_segments, most_windows = board.most_segments * len(row_car), board.most_pieces * len(row_car)
    household_offset = np.zeros(len(row_car) + 1, dtype=np.int64)
    lower_wh, upper_wh = np.empty(most_segments, dtype=np.int64), np.empty(most_segments, dtype=np.int64)
    window_offset = np.zeros(most_segments + 1, dtype=np.int64)
    first, end = np.empty(most_windows, dtype=np.int32), np.empty(most_windows, dtype=np.int32)
    cap_wh = np.empty(most_windows, dtype=np.int64)
    segments, windows = _clip(
        row_car, row_set, choices, open_turns, digits, board.pieces, board.piece_offset, board.segment_offset,
        board.lower_wh, board.upper_wh, household_offset, lower_wh, upper_wh, window_offset, first, end, cap_wh,
    )  # fmt: skip
    return PathBatch(
        household_offset,
        lower_wh[:segments],
        upper_wh[:segments],
        window_offset[: segments + 1],
        first[:windows],
        end[:windows],
        cap_wh[:windows],
    )


def paths_of(board: Board, choices: Choices) -> list[PathPlans]:
    """Return the plan of each car by rank, each a batch of one."""
    paths: dict[int, PathPlans] = {}
    for evaluate, ranks in board.groups:
        nothing = np.zeros((1, 0), dtype=np.int8), np.zeros(len(ranks), dtype=np.int64)
        batch = _batch_of(board, choices, nothing[1][:0], nothing[0], np.array(ranks), nothing[1])
        plans = evaluate(batch)
        segments, used = batch.segment_offset.tolist(), plans.used_offset.tolist()
        for row, rank in enumerate(ranks):
            of_car, of_use = slice(*segments[row : row + 2]), slice(*used[row : row + 2])
            paths[rank] = PathPlans(
                plans.unmet_wh[of_car],
                plans.lower_wh[of_car],
                plans.upper_wh[of_car],
                plans.cost_np[row : row + 1],
                np.array([0, of_use.stop - of_use.start], dtype=np.int64),
                plans.used_slot[of_use],
                plans.used_wh[of_use],
            )
    return [paths[rank] for rank in range(len(choices))]


def objective_of(board: Board, paths: list[PathPlans]) -> Objective:
    """Return what the plans of all cars, by rank, are worth together."""
    unmet = [short for path in paths for short in path.unmet_wh.tolist()]
    important = sum(compress(unmet, board.is_important.tolist()))
    return Objective(important, sum(unmet), sum(int(path.cost_np[0]) for path in paths))


@njit(cache=True, nogil=True)
def _clip(
    row_car: Int64s,
    row_set: Int64s,
    choices: Choices,
    open_turns: Int64s,
    digits: Choices,
    pieces: Int64s,
    piece_offset: Int64s,
    segment_offset: Int64s,
    lower: Int64s,
    upper: Int64s,
    household_offset: Int64s,
    row_lower: Int64s,
    row_upper: Int64s,
    window_offset: Int64s,
    first: Int32s,
    end: Int32s,
    cap: Int64s,
) -> tuple[int, int]:
    """Fill a ``PathBatch``: each row's car with its windows in its turns, at the outlets chosen.

    Return how many segments and windows there are.
    """
    written = 0
    at = 0
    has = np.empty(choices.shape[1], np.int64)
    for row in range(len(row_car)):
        car = row_car[row]
        has[:] = choices[car]
        for place in range(len(open_turns)):
            has[open_turns[place]] = digits[row_set[row], place]
        piece = piece_offset[car]
        for segment in range(segment_offset[car], segment_offset[car + 1]):
            row_lower[at] = lower[segment]
            row_upper[at] = upper[segment]
            origin = -1
            while piece < piece_offset[car + 1] and pieces[piece, 0] == segment - segment_offset[car]:
                if has[pieces[piece, 1]] == pieces[piece, 2] + 1:
                    if pieces[piece, 6] == origin and end[written - 1] == pieces[piece, 3]:
                        end[written - 1] = pieces[piece, 4]
                    else:
                        first[written] = pieces[piece, 3]
                        end[written] = pieces[piece, 4]
                        cap[written] = pieces[piece, 5]
                        origin = pieces[piece, 6]
                        written += 1
                piece += 1
            at += 1
            window_offset[at] = written
        household_offset[row + 1] = at
    return at, written


@njit(cache=True, nogil=True)
def _unsolved(
    ranks: Int64s,
    numbers: Int64s,
    digits: Choices,
    powers: Int64s,
    allowed: NDArray[np.bool_],
    worth: Int64s,
    used: Int64s,
) -> tuple[Int64s, Int64s]:
    """Return (car, set) that must be solved; write the worth of those that follow from a larger set."""
    row_car = np.empty(len(ranks) * len(numbers), np.int64)
    row_set = np.empty(len(ranks) * len(numbers), np.int64)
    count = 0
    for car in ranks:
        for number in numbers:
            is_allowed = True
            follows = False
            for turn in range(len(powers)):
                if not allowed[car, turn, digits[number, turn]]:
                    is_allowed = False
                    break
                if digits[number, turn] > 0 or follows:
                    continue
                for choice in range(1, allowed.shape[2]):
                    larger = number + choice * powers[turn]
                    if not allowed[car, turn, choice] or used[car, larger] == _UNSEEN:
                        continue
                    if not used[car, larger] >> turn & 1:
                        worth[car, number, 0] = worth[car, larger, 0]
                        worth[car, number, 1] = worth[car, larger, 1]
                        used[car, number] = used[car, larger]
                        follows = True
                        break
            if not is_allowed:
                worth[car, number, 0] = _NEVER
                used[car, number] = _UNSEEN
            elif not follows:
                row_car[count] = car
                row_set[count] = number
                count += 1
    return row_car[:count], row_set[:count]


@njit(cache=True, nogil=True)
def _write_worths(
    worth: Int64s,
    used: Int64s,
    row_car: Int64s,
    row_set: Int64s,
    household_offset: Int64s,
    segment_offset: Int64s,
    is_important: NDArray[np.bool_],
    unmet: Int64s,
    cost: Int64s,
    used_offset: Int64s,
    used_slot: Int32s,
    bit_of_slot: Int64s,
) -> None:
    """Write unmet energy, cost and turns used of each solved (car, set)."""
    for row in range(len(row_car)):
        car, number = row_car[row], row_set[row]
        short = 0
        for segment in range(household_offset[row], household_offset[row + 1]):
            short += unmet[segment]
            if is_important[segment_offset[car] + segment - household_offset[row]]:
                short += unmet[segment] << _UNMET_BITS
        turns = 0
        for place in range(used_offset[row], used_offset[row + 1]):
            turns |= bit_of_slot[used_slot[place]]
        worth[car, number, 0] = short
        worth[car, number, 1] = cost[row]
        used[car, number] = turns


@njit(cache=True, nogil=True)
def _write_ties(worth: Int64s, digits: Choices, choices: Choices, open_turns: Int64s, previous: Int64s) -> None:
    """Write what decides between equals: turns that follow one of the same car, then lower ordinals early.

    Both add up over cars: a swap saved is a turn that a car has after having had the one before, and
    ordinals in order of time are the digits of one number.
    """
    cars, turns = choices.shape
    outlets = previous.shape[1]
    kept_weight = (cars + 1) ** (len(open_turns) * outlets)
    weights = np.empty((len(open_turns), outlets), np.int64)
    weight = kept_weight
    for place in range(len(open_turns)):
        for outlet in range(outlets):
            weight //= cars + 1
            weights[place, outlet] = weight
    row = np.empty(turns, np.int64)
    for car in range(cars):
        row[:] = choices[car]
        for number in range(len(digits)):
            tie = 0
            for place in range(len(open_turns)):
                choice = digits[number, place]
                row[open_turns[place]] = choice
                if choice > 0:
                    tie += weights[place, choice - 1] * (car - cars)
            for turn in range(turns):
                outlet = row[turn] - 1
                if outlet >= 0 and previous[turn, outlet] >= 0 and row[previous[turn, outlet]] == outlet + 1:
                    tie -= kept_weight
            worth[car, number, 2] = tie


@njit(cache=True, nogil=True)
def _add_car(
    found: Int64s,
    worth: Int64s,
    highs: Int64s,
    lows: Int64s,
) -> tuple[Int64s, Int64s]:
    """Return the best of all cars so far for each set of outlets taken, and (own set, set before) behind it."""
    best = np.full(found.shape, _NEVER, np.int64)
    origin = np.zeros((len(found), 2), np.int64)
    for high in range(len(highs)):
        for low in range(len(lows)):
            before, number = highs[high, 0] + lows[low, 0], highs[high, 1] + lows[low, 1]
            after = highs[high, 2] + lows[low, 2]
            short = found[before, 0] + worth[number, 0]
            if short > best[after, 0] or short >= _NEVER:
                continue
            cost = found[before, 1] + worth[number, 1]
            tie = found[before, 2] + worth[number, 2]
            if short == best[after, 0]:
                if cost > best[after, 1]:
                    continue
                if cost == best[after, 1] and tie >= best[after, 2]:
                    continue
            best[after, 0] = short
            best[after, 1] = cost
            best[after, 2] = tie
            origin[after, 0] = number
            origin[after, 1] = before
    return best, origin
