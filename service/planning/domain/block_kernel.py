"""The cheapest week in which each night has at most one start and one stop, exact in whole numbers.

For a slow lead or a car's own timer a person sets one start and one stop. Between them the car
draws full power, so a night's plan is one run of real time; it need not begin or end on a
half-hour. Compiled over households as ``path_kernel`` is; everything compiled stays in this file:
numba's cache notices no other.

Why it is exact
---------------
Let a night's energy be ``q`` full half-hours and a rest ``r``. A run with two part-loaded ends
trades one end for the other at a constant rate, so some cheapest run has one end on a boundary,
and the cheapest cost of a night is, for fixed q, the least of straight lines in r: concave between
*steps*, the energies that fill whole half-hours. Take an optimal week and two departures at which
the energy charged so far sits on a bound, with none on a bound between them. If two nights between
them lie off their steps, moving one Wh from one to the other or back keeps every bound, and by
concavity one of the two ways does not cost more, now or as it goes on, until a night is on a step
or a bound is met. So some optimum has at most one night off its steps between two bounds met, and
none after the last. Then the energy charged so far is always "a bound, plus steps" or, after that
night, "a bound to come, minus steps"; one pass over the nights with these few levels as states
finds the optimum. Costs are compared as (cost, sum of slot x energy), an ordered group in which
the same argument holds, so ties go to the earlier plan.

Unmet energy depends only on the most that each night can deliver, and every whole Wh below that
can be delivered too; a plan with the least total is short at the same departures by the same
amounts as any other such plan, so bounds are lowered first and the cost is minimised after.

With a loss at each start a run of drawn energy E is sure of E - loss. Sure energy has steps where
E fills half-hours. Where a price is below zero the step from no run to the least run (1 Wh sure)
is steeper than what follows it, so 1 Wh is a step too.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final, TypeAlias

import numpy as np
from numba import njit
from numpy.typing import ArrayLike, NDArray

from service.planning.domain.path_kernel import (
    MAX_ENERGY_WH,
    Int32s,
    Int64s,
    PathBatch,
    PathPlans,
    PriceTables,
    Window,
    Words,
    path_batch,
)

Flags: TypeAlias = NDArray[np.bool_]

_SOLVED: Final = 0
_BAD_WINDOW: Final = 1
_TOO_MUCH: Final = 2
_NO_PLAN: Final = 3
_NONE: Final = -1  # no run fits, no plan reaches the level; a sum of slot x energy is never below zero
_LEAST_ROOM: Final = 256

# Rows of the states after a night, levels ascending, and of the nights.
_LEVEL, _COST, _LATE, _BACK, _STARTS, _MEETS = range(6)
_BEGIN, _STOP, _SEGMENT, _MOST, _BELOW_ZERO = range(5)


def cheapest_blocks(
    tables: PriceTables, batch: PathBatch, window_night: ArrayLike, start_loss_wh: ArrayLike
) -> PathPlans:
    """Return the best plan of every household with at most one run in each night.

    Best means: least unmet energy first, then least cost, then earliest (least sum of slot x
    energy). With negative prices a plan charges beyond the need, as far as upper bounds allow.

    Parameters
    ----------
    tables : PriceTables
        Of the price vector that all households of the batch share.
    batch : PathBatch
        As ``path_kernel.cheapest_paths`` takes it, windows cut where a night ends (local noon).
    window_night : array of int, shape (windows,)
        Night of each window, never falling within a household. Windows of one segment with the
        same number share one run, which lies within one of them; a departure ends a night.
    start_loss_wh : array of int, shape (households,)
        What a run yields less if it begins at the longest random delay [Wh]; 0 for a timer.

    Returns
    -------
    PathPlans
        Bounds and unmet energy are in sure energy: drawn less the loss of each run. Used slots and
        cost are what is drawn and paid without any delay. A run that is sure of nothing is not
        planned. Without a delay the upper bounds may be passed by at most the loss of each run so
        far; a car stops by itself when it is full.

    Raises
    ------
    ValueError
        If windows overlap, run backwards or leave the horizon, nights fall, a loss is negative, or
        energies are out of range.
    """
    nights = np.ascontiguousarray(window_night, dtype=np.int64)
    losses = np.ascontiguousarray(start_loss_wh, dtype=np.int64)
    if len(losses) != len(batch.segment_offset) - 1 or len(nights) != len(batch.window_first):
        raise ValueError("one loss for each household and one night for each window are needed")
    if len(losses) and losses.min() < 0:
        raise ValueError("a start loss must be 0 Wh or more")
    price_sum = np.zeros(tables.count + 1, dtype=np.int64)
    np.cumsum(tables.price_up, out=price_sum[1:])
    lower, upper = batch.lower_wh.copy(), batch.upper_wh.copy()
    status, unmet, cost, offset, slot, energy = _solve(
        price_sum, batch.segment_offset, lower, upper, batch.window_offset,
        batch.window_first, batch.window_end, batch.window_cap_wh, nights, losses, MAX_ENERGY_WH,
    )  # fmt: skip
    if status == _BAD_WINDOW:
        raise ValueError(
            "windows must be disjoint, in time order, inside the horizon, caps 0 Wh or more, nights not falling"
        )
    if status == _TOO_MUCH:
        raise ValueError(f"more than {MAX_ENERGY_WH} Wh for one household")
    if status != _SOLVED:
        raise AssertionError("feasible bounds found no plan")  # the clean-up makes this impossible
    return PathPlans(unmet, lower, upper, cost, offset, slot, energy)


def cheapest_block(
    tables: PriceTables,
    lower_wh: Sequence[int],
    upper_wh: Sequence[int],
    windows: Sequence[Sequence[Window]],
    nights: Sequence[Sequence[int]],
    start_loss_wh: int = 0,
) -> PathPlans:
    """Return the best plan of a single household; ``nights`` holds a number for each of ``windows``."""
    flat = [night for group in nights for night in group]
    return cheapest_blocks(tables, path_batch([(lower_wh, upper_wh, windows)]), flat, [start_loss_wh])


def has_one_run_a_night(batch: PathBatch, window_night: ArrayLike, plans: PathPlans) -> NDArray[np.bool_]:
    """Return for each household whether its plan is one run a night already, in the shape a timer gives.

    Such a plan of ``path_kernel.cheapest_paths`` is also what ``cheapest_blocks`` would find at no
    start loss: every one-run plan is a free plan, and both choose by the same rule. The shape: in
    each night consecutive half-hours of one window, full but for the first or the last.
    """
    nights = np.ascontiguousarray(window_night, dtype=np.int64)
    return _one_run(
        batch.segment_offset, batch.window_offset, batch.window_first, batch.window_end, batch.window_cap_wh,
        nights, plans.used_offset, plans.used_slot, plans.used_wh,
    )  # fmt: skip


def warm_up() -> None:
    """Compile the kernel or load it from numba's cache, so that the first plan is not the slow one."""
    tables = PriceTables(np.array([1, 2]), np.array([0, 1], np.int32), np.zeros((3, 1), np.uint64), 0)
    batch = path_batch([([1], [2], [[(0, 2, 1)]])])
    has_one_run_a_night(batch, [0], cheapest_blocks(tables, batch, [0], [0]))


@njit(cache=True, nogil=True)
def _windows_are_sound(
    count: int, most_wh: int, first: Int32s, end: Int32s, cap: Int64s, night: Int64s
) -> bool:
    latest = 0
    for window in range(len(first)):
        if first[window] < latest or end[window] < first[window] or end[window] > count:
            return False
        if cap[window] < 0 or cap[window] > most_wh or (window > 0 and night[window] < night[window - 1]):
            return False
        latest = end[window]
    return True


@njit(cache=True, nogil=True)
def _tighten(lower: Int64s, upper: Int64s, unmet: Int64s, capacity: Int64s, begin: int, stop: int) -> None:
    """Make the bounds consistent; where no plan can meet one, note the least unmet energy and lower the rest."""
    least = 0
    for segment in range(begin, stop):
        least = max(least, lower[segment])
        lower[segment] = least
        upper[segment] = max(upper[segment], least)
    for segment in range(stop - 2, begin - 1, -1):
        upper[segment] = min(upper[segment], upper[segment + 1])
    reach = 0
    total = 0
    for segment in range(begin, stop):
        reach = min(upper[segment], reach + capacity[segment])
        short = max(0, lower[segment] - reach)
        unmet[segment] = short
        reach += short
        total += short
        lower[segment] -= total
        upper[segment] -= total
    for segment in range(stop - 2, begin - 1, -1):
        upper[segment] = min(upper[segment], upper[segment + 1])


@njit(cache=True, nogil=True)
def _is_better(cost: int, late: int, than_cost: int, than_late: int) -> bool:
    return than_late == _NONE or cost < than_cost or (cost == than_cost and late < than_late)


@njit(cache=True, nogil=True)
def _best_run(
    price_sum: Int64s, first: int, end: int, cap: int, full: int, rest: int
) -> tuple[int, int, int, int]:
    """Return the best run of ``full`` whole slots and a rest beside them within [first, end).

    As (sum of slot x energy or ``_NONE``, cost, first whole slot, slot of the rest).
    """
    late, cost, start, beside = _NONE, 0, first, first
    for at in range(first, end - full + 1):
        whole = cap * (price_sum[at + full] - price_sum[at])
        whole_late = cap * (full * (2 * at + full - 1) // 2)
        if rest == 0:
            if _is_better(whole, whole_late, cost, late):
                late, cost, start = whole_late, whole, at
            continue
        for slot in (at - 1, at + full):
            if first <= slot < end:
                here = whole + rest * (price_sum[slot + 1] - price_sum[slot])
                here_late = whole_late + rest * slot
                if _is_better(here, here_late, cost, late):
                    late, cost, start, beside = here_late, here, at, slot
    return late, cost, start, beside


@njit(cache=True, nogil=True)
def _most_slots(first: Int32s, end: Int32s, cap: Int64s, window: int, loss: int) -> int:
    """Return the slots of a night's longest window with the cap of this one.

    0 where none of them holds a run that is sure of something, or an earlier window stands for the cap.
    """
    most = 0
    for other in range(len(cap)):
        if cap[other] == cap[window]:
            if other < window:
                return 0
            most = max(most, end[other] - first[other])
    return most if most * cap[window] > loss else 0


@njit(cache=True, nogil=True)
def _mark(marks: Words, level: int) -> None:
    marks[level >> 6] |= np.uint64(1) << np.uint64(level & 63)


@njit(cache=True, nogil=True)
def _is_marked(marks: Words, level: int) -> bool:
    return bool((marks[level >> 6] >> np.uint64(level & 63)) & np.uint64(1))


@njit(cache=True, nogil=True)
def _marked(marks: Words, least: int, most: int) -> Int64s:
    """Return the marked levels within [least, most], ascending."""
    levels = np.empty(_LEAST_ROOM, np.int64)
    found = 0
    for word in range(least >> 6, (most >> 6) + 1):
        bits = marks[word]
        level = word << 6
        while bits:
            while bits & np.uint64(255) == 0:
                bits >>= np.uint64(8)
                level += 8
            if bits & np.uint64(1) and least <= level <= most:
                if found == len(levels):
                    levels = np.concatenate((levels, np.empty_like(levels)))
                levels[found] = level
                found += 1
            bits >>= np.uint64(1)
            level += 1
    return levels[:found].copy()


@njit(cache=True, nogil=True)
def _mark_steps(
    marks: Words, level: int, sign: int, least: int, most: int,
    first: Int32s, end: Int32s, cap: Int64s, loss: int, has_least_run: bool,
) -> None:  # fmt: skip
    """Mark what lies one step of a night above a level (sign 1) or below it (sign -1), within [least, most]."""
    if least <= level <= most:
        _mark(marks, level)
    if has_least_run and least <= level + sign <= most:
        _mark(marks, level + sign)
    low, high = (least - level, most - level) if sign > 0 else (level - most, level - least)
    for window in range(len(cap)):
        slots, cap_wh = _most_slots(first, end, cap, window, loss), cap[window]
        if slots > 0:
            for full in range((max(low, 1) + loss + cap_wh - 1) // cap_wh, min(slots, (high + loss) // cap_wh) + 1):
                _mark(marks, level + sign * (full * cap_wh - loss))


@njit(cache=True, nogil=True)
def _classes(level: Int64s, cap_wh: int) -> tuple[Int64s, Int64s, Int64s]:
    """Sort states into classes of equal level modulo ``cap_wh``, ascending within a class.

    Return each class's rest, and states ``member[offset[c]:offset[c + 1]]`` of class c, as (rest, offset, member).
    """
    count = len(level)
    rest, of = np.empty(count, np.int64), np.empty(count, np.int64)
    classes = 0
    for state in range(count):
        left = level[state] % cap_wh
        found = 0
        while found < classes and rest[found] != left:
            found += 1
        if found == classes:
            rest[classes] = left
            classes += 1
        of[state] = found
    offset, member = np.zeros(classes + 1, np.int64), np.empty(count, np.int64)
    for state in range(count):
        offset[of[state] + 1] += 1
    offset = np.cumsum(offset)
    place = offset.copy()
    for state in range(count):
        member[place[of[state]]] = state
        place[of[state]] += 1
    return rest[:classes], offset, member


@njit(cache=True, nogil=True)
def _idle(before: Int64s, after: Int64s) -> None:
    """Carry every level that stays a level over a night without a run; the first write to the new states."""
    state = 0
    for to in range(after.shape[1]):
        after[_LATE, to] = _NONE
        while state < before.shape[1] and before[_LEVEL, state] < after[_LEVEL, to]:
            state += 1
        if state < before.shape[1] and before[_LEVEL, state] == after[_LEVEL, to]:
            after[_COST, to], after[_LATE, to], after[_BACK, to] = before[_COST, state], before[_LATE, state], state


@njit(cache=True, nogil=True)
def _fill_row(
    price_sum: Int64s, first: Int32s, end: Int32s, cap: Int64s, cap_wh: int, rest: int, least: int,
    row_cost: Int64s, row_late: Int64s,
) -> None:  # fmt: skip
    """Write the best run of ``least`` whole slots and more, each beside ``rest`` Wh, over windows of one cap."""
    for full in range(least, len(row_late)):
        row_late[full] = _NONE
        if full == 0 and rest == 0:
            continue
        for window in range(len(cap)):
            if cap[window] == cap_wh:
                late, cost, _, _ = _best_run(price_sum, first[window], end[window], cap_wh, full, rest)
                if late != _NONE and _is_better(cost, late, row_cost[full], row_late[full]):
                    row_cost[full], row_late[full] = cost, late


@njit(cache=True, nogil=True)
def _charge(
    price_sum: Int64s, first: Int32s, end: Int32s, cap: Int64s, loss: int, has_least_run: bool,
    before: Int64s, after: Int64s,
) -> None:  # fmt: skip
    """Improve the levels after a night by runs in it, from the levels before it.

    Steps lead from any level to any; a run off the steps only from a level that starts (a bound
    met, plus steps) to one that meets (a bound to come, less steps).
    """
    level, to_level = before[_LEVEL], after[_LEVEL]
    gap = to_level[-1] - level[0] + loss  # no run draws more
    for window in range(len(cap)):
        cap_wh = cap[window]
        most = _most_slots(first, end, cap, window, loss)
        if gap <= loss or most == 0:
            continue
        rest, offset, member = _classes(level, cap_wh)
        to_rest, to_offset, to_member = _classes(to_level, cap_wh)
        whole, to_whole = level // cap_wh, to_level // cap_wh
        most = min(most, gap // cap_wh)
        least = max(0, int(to_level[0] - level[-1] + loss) // cap_wh)
        width = most + 1
        row_of = np.full(min(cap_wh, gap + 1), -1, np.int32)  # which row holds the runs with this rest
        rows = 0
        row_cost, row_late = np.empty(16 * width, np.int64), np.empty(16 * width, np.int64)
        for group, to_group in np.ndindex((len(rest), len(to_rest))):
            left = int(to_rest[to_group] - rest[group] + loss)
            carry = left // cap_wh
            left -= carry * cap_wh
            if left >= len(row_of):
                continue
            is_step = left == 0 or (has_least_run and left == (1 + loss) % cap_wh)
            for place in range(offset[group], offset[group + 1]):
                state = member[place]
                if before[_LATE, state] == _NONE or not (is_step or before[_STARTS, state]):
                    continue
                for to_place in range(to_offset[to_group], to_offset[to_group + 1]):
                    to = to_member[to_place]
                    full = to_whole[to] - whole[state] + carry
                    if full > most:
                        break
                    if to_level[to] <= level[state] or not (is_step or after[_MEETS, to]):
                        continue
                    if row_of[left] < 0:
                        if (rows + 1) * width > len(row_late):
                            row_cost = np.concatenate((row_cost, np.empty_like(row_cost)))
                            row_late = np.concatenate((row_late, np.empty_like(row_late)))
                        row_of[left] = rows
                        row = slice(rows * width, (rows + 1) * width)
                        _fill_row(price_sum, first, end, cap, cap_wh, left, least, row_cost[row], row_late[row])
                        rows += 1
                    at = row_of[left] * width + full
                    if row_late[at] == _NONE:
                        continue
                    cost, late = before[_COST, state] + row_cost[at], before[_LATE, state] + row_late[at]
                    if _is_better(cost, late, after[_COST, to], after[_LATE, to]):
                        after[_COST, to], after[_LATE, to], after[_BACK, to] = cost, late, state


@njit(cache=True, nogil=True)
def _find_nights(
    price_sum: Int64s, window_offset: Int64s, first: Int32s, end: Int32s, cap: Int64s, night: Int64s, loss: int,
    capacity: Int64s, segment_begin: int, segment_stop: int,
) -> tuple[Int64s, Int64s]:  # fmt: skip
    """Return the nights that can deliver, one a column, and how many there are up to each segment's end.

    Writes what each segment can deliver.
    """
    nights = np.empty((5, window_offset[segment_stop] - window_offset[segment_begin]), np.int64)
    nights_by = np.empty(segment_stop - segment_begin, np.int64)
    found = 0
    for segment in range(segment_begin, segment_stop):
        capacity[segment] = 0
        begin = window_offset[segment]
        while begin < window_offset[segment + 1]:
            stop, most, is_below_zero = begin, 0, False
            while stop < window_offset[segment + 1] and night[stop] == night[begin]:
                sure = cap[stop] * (end[stop] - first[stop]) - loss
                most = max(most, sure)
                for slot in range(first[stop], end[stop] if sure > 0 else first[stop]):
                    is_below_zero |= price_sum[slot + 1] < price_sum[slot]
                stop += 1
            if most > 0:
                nights[_BEGIN, found], nights[_STOP, found], nights[_SEGMENT, found] = begin, stop, segment
                nights[_MOST, found], nights[_BELOW_ZERO, found] = most, is_below_zero
                capacity[segment] += most
                found += 1
            begin = stop
        nights_by[segment - segment_begin] = found
    return nights[:, :found].copy(), nights_by


@njit(cache=True, nogil=True)
def _ranges(
    nights: Int64s, nights_by: Int64s, lower: Int64s, upper: Int64s, segment_begin: int
) -> tuple[Int64s, Int64s, Int64s]:
    """Return the least and the most that can have been charged after each night, and the bounds there (-1: none)."""
    count = nights.shape[1]
    least, most = np.zeros(count + 1, np.int64), np.zeros(count + 1, np.int64)
    bound = np.full((count + 1, 2), -1, np.int64)
    for position in range(len(nights_by)):
        after, segment = nights_by[position], segment_begin + position
        least[after] = lower[segment]
        bound[after, 0] = lower[segment]
        if bound[after, 1] < 0:
            bound[after, 1] = upper[segment]
    for night in range(count - 1, -1, -1):
        least[night] = max(least[night], least[night + 1] - nights[_MOST, night])
    for night in range(count):
        least[night + 1] = max(least[night + 1], least[night])
        most[night + 1] = min(most[night] + nights[_MOST, night], upper[nights[_SEGMENT, night]])
        if not nights[_BELOW_ZERO].any():  # nothing is gained by more than the last bound
            most[night + 1] = min(most[night + 1], least[count])
    return least, most, bound


@njit(cache=True, nogil=True)
def _best_energies(
    price_sum: Int64s, first: Int32s, end: Int32s, cap: Int64s, loss: int,
    nights: Int64s, least: Int64s, most: Int64s, bound: Int64s,
) -> tuple[bool, int, Int64s]:  # fmt: skip
    """Return whether there is a plan, its cost, and what it draws in each night."""
    count = nights.shape[1]
    words = (most.max() >> 6) + 1
    starting, meeting = np.zeros((count + 1, words), np.uint64), np.zeros((count + 1, words), np.uint64)
    for night in range(count + 1):
        for side in range(2):
            if least[night] <= bound[night, side] <= most[night]:
                _mark(starting[night], bound[night, side])
                _mark(meeting[night], bound[night, side])
    for night in range(count - 1, -1, -1):
        windows = slice(nights[_BEGIN, night], nights[_STOP, night])
        for level in _marked(meeting[night + 1], least[night + 1], most[night + 1]):
            _mark_steps(
                meeting[night], level, -1, least[night], most[night],
                first[windows], end[windows], cap[windows], loss, loss > 0 and nights[_BELOW_ZERO, night] > 0,
            )  # fmt: skip

    before = np.zeros((6, 1), np.int64)
    before[_STARTS] = 1
    levels, backs = np.zeros(1, np.int64), np.zeros(1, np.int64)  # of all states, night after night
    offset = np.zeros(count + 2, np.int64)
    offset[1] = 1
    for night in range(count):
        windows = slice(nights[_BEGIN, night], nights[_STOP, night])
        has_least_run = loss > 0 and nights[_BELOW_ZERO, night] > 0
        for state in range(before.shape[1]):
            if before[_STARTS, state] and before[_LATE, state] != _NONE:
                _mark_steps(
                    starting[night + 1], before[_LEVEL, state], 1, least[night + 1], most[night + 1],
                    first[windows], end[windows], cap[windows], loss, has_least_run,
                )  # fmt: skip
        level = _marked(starting[night + 1] | meeting[night + 1], least[night + 1], most[night + 1])
        after = np.zeros((6, len(level)), np.int64)
        after[_LEVEL] = level
        for state in range(len(level)):
            after[_STARTS, state] = _is_marked(starting[night + 1], level[state])
            after[_MEETS, state] = _is_marked(meeting[night + 1], level[state])
        _idle(before, after)
        _charge(price_sum, first[windows], end[windows], cap[windows], loss, has_least_run, before, after)
        levels, backs = np.concatenate((levels, level)), np.concatenate((backs, after[_BACK]))
        offset[night + 2] = len(levels)
        before = after

    best = -1
    for state in range(before.shape[1]):
        late = before[_LATE, state]
        if late != _NONE and (
            best < 0 or _is_better(before[_COST, state], late, before[_COST, best], before[_LATE, best])
        ):
            best = state
    drawn = np.zeros(count, np.int64)
    if best < 0:
        return False, 0, drawn
    at = int(offset[count]) + best
    for night in range(count - 1, -1, -1):
        origin = int(offset[night] + backs[at])
        if levels[at] > levels[origin]:
            drawn[night] = levels[at] - levels[origin] + loss
        at = origin
    return True, before[_COST, best], drawn


@njit(cache=True, nogil=True)
def _write_run(
    price_sum: Int64s, first: Int32s, end: Int32s, cap: Int64s, energy: int, used_slot: Int32s, used_wh: Int64s
) -> int:
    """Write the slots of a night's best run; return their number."""
    best, best_late, best_cost, start, beside = 0, _NONE, 0, 0, 0
    for window in range(len(cap)):
        if cap[window] > 0:
            late, cost, at, rest_at = _best_run(
                price_sum, first[window], end[window], cap[window], energy // cap[window], energy % cap[window]
            )
            if late != _NONE and _is_better(cost, late, best_cost, best_late):
                best, best_late, best_cost, start, beside = window, late, cost, at, rest_at
    full, rest = int(energy // cap[best]), int(energy % cap[best])
    begin = start - 1 if rest > 0 and beside < start else start
    count = full + 1 if rest > 0 else full
    for place in range(count):
        used_slot[place] = begin + place
        used_wh[place] = cap[best]
    if rest > 0:
        used_wh[beside - begin] = rest
    return count


@njit(cache=True, nogil=True)
def _solve(
    price_sum: Int64s, segment_offset: Int64s, lower: Int64s, upper: Int64s,
    window_offset: Int64s, first: Int32s, end: Int32s, cap: Int64s, window_night: Int64s, start_loss: Int64s,
    most_wh: int,
) -> tuple[int, Int64s, Int64s, Int64s, Int32s, Int64s]:  # fmt: skip
    """Solve every household, of at most ``most_wh`` each; ``lower`` and ``upper`` are tightened in place."""
    households, slots = len(segment_offset) - 1, len(price_sum) - 1
    unmet, capacity = np.zeros(len(lower), np.int64), np.zeros(len(lower), np.int64)
    cost, used_offset = np.zeros(households, np.int64), np.zeros(households + 1, np.int64)
    used_slot, used_wh = np.empty(_LEAST_ROOM, np.int32), np.empty(_LEAST_ROOM, np.int64)
    written = 0
    for household in range(households):
        begin, stop, loss = segment_offset[household], segment_offset[household + 1], start_loss[household]
        windows = slice(window_offset[begin], window_offset[stop])
        if not _windows_are_sound(slots, most_wh, first[windows], end[windows], cap[windows], window_night[windows]):
            return _BAD_WINDOW, unmet, cost, used_offset, used_slot, used_wh
        nights, nights_by = _find_nights(
            price_sum, window_offset, first, end, cap, window_night, loss, capacity, begin, stop
        )
        count = nights.shape[1]
        for segment in range(begin, stop):
            if max(lower[segment], upper[segment]) > most_wh - count * loss:
                return _TOO_MUCH, unmet, cost, used_offset, used_slot, used_wh
        _tighten(lower, upper, unmet, capacity, begin, stop)
        if count > 0:
            least, most, bound = _ranges(nights, nights_by, lower, upper, begin)
            is_solved, cost[household], drawn = _best_energies(
                price_sum, first, end, cap, loss, nights, least, most, bound
            )
            if not is_solved:
                return _NO_PLAN, unmet, cost, used_offset, used_slot, used_wh
            while written + slots > len(used_slot):
                used_slot = np.concatenate((used_slot, np.empty_like(used_slot)))
                used_wh = np.concatenate((used_wh, np.empty_like(used_wh)))
            for night in range(count):
                if drawn[night] > 0:
                    windows = slice(nights[_BEGIN, night], nights[_STOP, night])
                    written += _write_run(
                        price_sum, first[windows], end[windows], cap[windows], drawn[night],
                        used_slot[written:], used_wh[written:],
                    )  # fmt: skip
        used_offset[household + 1] = written
    return _SOLVED, unmet, cost, used_offset, used_slot[:written].copy(), used_wh[:written].copy()


@njit(cache=True, nogil=True)
def _one_run(
    segment_offset: Int64s, window_offset: Int64s, first: Int32s, end: Int32s, cap: Int64s, window_night: Int64s,
    used_offset: Int64s, used_slot: Int32s, used_wh: Int64s,
) -> Flags:  # fmt: skip
    found = np.ones(len(segment_offset) - 1, np.bool_)
    for household in range(len(found)):
        at, stop = used_offset[household], used_offset[household + 1]
        for segment in range(segment_offset[household], segment_offset[household + 1]):
            has_charged, charged_night = False, 0
            for window in range(window_offset[segment], window_offset[segment + 1]):
                begin = at
                while at < stop and used_slot[at] < end[window]:
                    at += 1
                if begin == at:
                    continue
                last = at - 1
                if has_charged and charged_night == window_night[window]:
                    found[household] = False
                has_charged, charged_night = True, window_night[window]
                if used_slot[last] - used_slot[begin] != last - begin:
                    found[household] = False
                for place in range(begin + 1, last):
                    if used_wh[place] < cap[window]:
                        found[household] = False
                if last > begin and used_wh[begin] < cap[window] and used_wh[last] < cap[window]:
                    found[household] = False
    return found
