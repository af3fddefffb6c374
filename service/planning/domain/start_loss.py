"""The cheapest week at a point that may start at any time and begins each run a random while late.

A smart charging point waits up to a set number of seconds at every start. A plan that must hold at
the longest wait counts on less from each run, so every further start costs energy, and splitting
a charge only pays where prices differ by more. Everything compiled stays in this file: numba's
cache notices no other.

Why it is exact
---------------
The states are the energy charged so far, for certain, and whether a run goes on; each half-hour's
choice is the least over a stretch of states, found by a sliding minimum, so no plan of the stated
shape is left out. That shape has one part-loaded end in a run: of two, one can grow at the other's
cost at a constant rate until it is full or gone. Where all bounds that can matter, caps and the
loss are multiples of g Wh, states are counted in g Wh: between two bounds met at most one run is
neither made of full half-hours nor as small as a run may be (two would be traded against each
other), so that one is a multiple of g as well. Inputs on whole 20 Wh are so 20 times less work
than odd ones.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
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
    path_batch,
)

MAX_CAP_WH: Final = 32_000  # [Wh] in a half-hour, 64 kW: choices are kept in 16 bits
MAX_LEVELS: Final = 1_000_000  # states a half-hour: memory, not meaning

Int16s: TypeAlias = NDArray[np.int16]
Int8s: TypeAlias = NDArray[np.int8]

_SOLVED: Final = 0
_BAD_WINDOW: Final = 1
_TOO_MUCH: Final = 2
_BAD_LOSS: Final = 3
_NO_PLAN: Final = 4
_NONE: Final = -1  # no plan reaches the state; a sum of slot x energy is never below zero
_IDLE: Final = -1  # a half-hour's choices that leave the car idle after it; -1 - x: a run of x within it alone
_LATE_STARTED_ENDS: Final = 0  # and x > 0: a run that began on a boundary ends after x
_LEAST_ROOM: Final = 256


@dataclass(frozen=True, eq=False)
class RunPlans(PathPlans):
    """Plans whose runs matter: ``begins_run`` says of each used slot whether a run begins in it.

    Two runs can meet in a half-hour that is part-loaded: one ends early in it and the next begins
    on the boundary after it, or one ends on the boundary before it and the next begins late in it.
    """

    begins_run: NDArray[np.bool_]


def cheapest_with_start_loss(tables: PriceTables, batch: PathBatch, start_loss_wh: ArrayLike) -> RunPlans:
    """Return the best plan of every household with any number of runs, each of which loses energy at its start.

    Best means: least unmet energy first, then least cost, then earliest (least sum of slot x
    energy). A run lies in one window; windows of a segment that touch and have the same cap count
    as one. It draws full power but for its first or its last half-hour: a change of rate in
    between is a start of its own, so a part-loaded half-hour elsewhere ends one run and the next
    begins on the following boundary. At no loss this is what ``path_kernel.cheapest_paths`` costs.

    Parameters
    ----------
    tables : PriceTables
        Of the price vector that all households of the batch share.
    batch : PathBatch
        As ``path_kernel.cheapest_paths`` takes it; caps up to ``MAX_CAP_WH``.
    start_loss_wh : array of int, shape (households,)
        What a run yields less at the longest wait [Wh]. A wait is half an hour at most, so a run in
        a window of a smaller cap loses no more than that cap.

    Returns
    -------
    RunPlans
        Bounds and unmet energy are in sure energy: drawn less the loss of each run. Used slots and
        cost are what is drawn and paid without any wait. Each run is sure of 1 Wh or more; of g Wh
        or more where all bounds, caps and the loss are multiples of g. Without a wait the upper
        bounds may be passed by at most the loss of each run so far; a car stops by itself when it
        is full.

    Raises
    ------
    ValueError
        If windows overlap, run backwards or leave the horizon, or energies are out of range.
    """
    losses = np.ascontiguousarray(start_loss_wh, dtype=np.int64)
    if len(losses) != len(batch.segment_offset) - 1:
        raise ValueError("one loss for each household is needed")
    lower, upper = batch.lower_wh.copy(), batch.upper_wh.copy()
    status, unmet, cost, offset, slot, energy, begins = _solve(
        tables.price_up, batch.segment_offset, lower, upper, batch.window_offset,
        batch.window_first, batch.window_end, batch.window_cap_wh, losses, MAX_ENERGY_WH,
    )  # fmt: skip
    if status == _BAD_WINDOW:
        raise ValueError(
            f"windows must be disjoint, in time order, inside the horizon, with a cap of 0 to {MAX_CAP_WH} Wh"
        )
    if status == _TOO_MUCH:
        raise ValueError(f"more than {MAX_ENERGY_WH} Wh, or a range of more than {MAX_LEVELS} Wh, for one household")
    if status == _BAD_LOSS:
        raise ValueError("a start loss must be 0 Wh or more")
    if status != _SOLVED:
        raise AssertionError("feasible bounds found no plan")  # the clean-up makes this impossible
    return RunPlans(unmet, lower, upper, cost, offset, slot, energy, begins)


def cheapest_plan_with_start_loss(
    tables: PriceTables,
    lower_wh: Sequence[int],
    upper_wh: Sequence[int],
    windows: Sequence[Sequence[Window]],
    start_loss_wh: int,
) -> RunPlans:
    """Return the best plan of a single household: a batch of one, through the same code."""
    return cheapest_with_start_loss(tables, path_batch([(lower_wh, upper_wh, windows)]), [start_loss_wh])


def warm_up() -> None:
    """Compile the kernel or load it from numba's cache, so that the first plan is not the slow one."""
    tables = PriceTables(np.array([1, 2]), np.array([0, 1], np.int32), np.zeros((3, 1), np.uint64), 0)
    cheapest_plan_with_start_loss(tables, [1], [2], [[(0, 2, 2)]], 1)


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
def _gcd(one: int, other: int) -> int:
    while other:
        one, other = other, one % other
    return one


@njit(cache=True, nogil=True)
def _is_better(cost: int, late: int, than_cost: int, than_late: int) -> bool:
    return than_late == _NONE or cost < than_cost or (cost == than_cost and late < than_late)


@njit(cache=True, nogil=True)
def _cheapest_sources(
    cost: Int64s, late: Int64s, price: int, slot: int, nearest: int, farthest: int, queue: Int64s, source: Int64s
) -> None:
    """Write for each state s the best of the states s + farthest .. s + nearest to draw up from, -1 if none is reached.

    A state dominates an earlier one if drawing up to it from the earlier one is no better.
    """
    head = tail = 0
    count = len(cost)
    joined = 0
    for state in range(count):
        while joined <= state + nearest and joined < count:
            if late[joined] != _NONE:
                while tail > head:
                    last = queue[tail - 1]
                    step = joined - last
                    if _is_better(cost[last] + price * step, late[last] + slot * step, cost[joined], late[joined]):
                        break
                    tail -= 1
                queue[tail] = joined
                tail += 1
            joined += 1
        while head < tail and queue[head] < state + farthest:
            head += 1
        source[state] = queue[head] if head < tail else -1


@njit(cache=True, nogil=True)
def _half_hour(
    price: int,
    slot: int,
    cap: int,
    loss: int,
    idle_cost: Int64s,
    idle_late: Int64s,
    full_cost: Int64s,
    full_late: Int64s,
    late_cost: Int64s,
    late_late: Int64s,
    new_cost: Int64s,
    new_late: Int64s,
    choice: Int16s,
    full_choice: Int8s,
    late_choice: Int16s,
    queue: Int64s,
    source: Int64s,
) -> None:
    """Move the states over one half-hour.

    ``idle``: no run goes on; ``full``: one that began on a boundary goes on; ``late``: one that
    began within a half-hour goes on, at full power to its end. Whatever goes on draws in the next
    half-hour. The states are rewritten in place, ``new_*`` is scratch; the choices are kept:
    ``choice`` as named above, ``full_choice`` 1 and ``late_choice`` x > 0 where the run starts here.
    """
    count = len(idle_cost)
    # the car is idle after this half-hour
    _cheapest_sources(idle_cost, idle_late, price, slot, -1, loss - cap, queue, source)
    for state in range(count):
        new_cost[state], new_late[state], choice[state] = idle_cost[state], idle_late[state], _IDLE
        origin = source[state]
        if origin >= 0:
            energy = state + loss - origin
            cost, late = idle_cost[origin] + price * energy, idle_late[origin] + slot * energy
            if _is_better(cost, late, new_cost[state], new_late[state]):
                new_cost[state], new_late[state], choice[state] = cost, late, -1 - energy
    _cheapest_sources(full_cost, full_late, price, slot, -1, -cap, queue, source)
    for state in range(count):
        origin = source[state]
        if origin >= 0:
            energy = state - origin
            cost, late = full_cost[origin] + price * energy, full_late[origin] + slot * energy
            if _is_better(cost, late, new_cost[state], new_late[state]):
                new_cost[state], new_late[state], choice[state] = cost, late, energy
        origin = state - cap
        if origin >= 0 and late_late[origin] != _NONE:
            cost, late = late_cost[origin] + price * cap, late_late[origin] + slot * cap
            if _is_better(cost, late, new_cost[state], new_late[state]):
                new_cost[state], new_late[state], choice[state] = cost, late, _LATE_STARTED_ENDS
    # a run goes on; from the highest state down, since each is reached from a lower one
    _cheapest_sources(idle_cost, idle_late, price, slot, loss - 1, loss - cap + 1, queue, source)
    for state in range(count - 1, -1, -1):
        for is_full in (True, False):
            costs, lates = (full_cost, full_late) if is_full else (late_cost, late_late)
            cost, late, energy = 0, _NONE, 0
            origin = state - cap
            if origin >= 0 and lates[origin] != _NONE:
                cost, late = costs[origin] + price * cap, lates[origin] + slot * cap
            origin = state + loss - cap if is_full else source[state]
            if 0 <= origin < count and idle_late[origin] != _NONE:
                drawn = state + loss - origin
                if _is_better(idle_cost[origin] + price * drawn, idle_late[origin] + slot * drawn, cost, late):
                    cost, late, energy = idle_cost[origin] + price * drawn, idle_late[origin] + slot * drawn, drawn
            costs[state], lates[state] = cost, late
            if is_full:
                full_choice[state] = 1 if energy else 0
            else:
                late_choice[state] = energy
    idle_cost[:], idle_late[:] = new_cost, new_late


@njit(cache=True, nogil=True)
def _solve(
    price: Int64s,
    segment_offset: Int64s,
    lower: Int64s,
    upper: Int64s,
    window_offset: Int64s,
    window_first: Int32s,
    window_end: Int32s,
    window_cap: Int64s,
    start_loss: Int64s,
    most_wh: int,
) -> tuple[int, Int64s, Int64s, Int64s, Int32s, Int64s, NDArray[np.bool_]]:
    """Solve every household, of at most ``most_wh`` each; ``lower`` and ``upper`` are tightened in place."""
    households = len(segment_offset) - 1
    unmet = np.zeros(len(lower), np.int64)
    cost = np.zeros(households, np.int64)
    used_offset = np.zeros(households + 1, np.int64)
    used_slot, used_wh = np.empty(_LEAST_ROOM, np.int32), np.empty(_LEAST_ROOM, np.int64)
    used_begins = np.empty(_LEAST_ROOM, np.bool_)
    written = 0
    capacity = np.zeros(len(lower), np.int64)
    for household in range(households):
        begin, stop = segment_offset[household], segment_offset[household + 1]
        if start_loss[household] < 0:
            return _BAD_LOSS, unmet, cost, used_offset, used_slot, used_wh, used_begins
        used_offset[household + 1] = written
        if begin == stop:
            continue
        room = window_offset[stop] - window_offset[begin]
        first, end = np.empty(room, np.int64), np.empty(room, np.int64)  # windows, those that touch joined
        cap, segment_of = np.empty(room, np.int64), np.empty(room, np.int64)
        loss, sure = np.zeros(room, np.int64), np.zeros(room, np.int64)  # of a run; at most, in one run
        windows = latest = 0
        windows_by = np.empty(stop - begin, np.int64)  # windows up to each segment's end
        for segment in range(begin, stop):
            fresh = windows
            for window in range(window_offset[segment], window_offset[segment + 1]):
                from_slot, to_slot, cap_wh = window_first[window], window_end[window], window_cap[window]
                if from_slot < latest or to_slot < from_slot or to_slot > len(price) or not 0 <= cap_wh <= MAX_CAP_WH:
                    return _BAD_WINDOW, unmet, cost, used_offset, used_slot, used_wh, used_begins
                latest = to_slot
                if windows > fresh and end[windows - 1] == from_slot and cap[windows - 1] == cap_wh:
                    end[windows - 1] = to_slot
                elif cap_wh > 0 and to_slot > from_slot:
                    first[windows], end[windows] = from_slot, to_slot
                    cap[windows], segment_of[windows] = cap_wh, segment
                    windows += 1
            capacity[segment] = 0
            for window in range(fresh, windows):
                loss[window] = min(start_loss[household], cap[window])
                sure[window] = cap[window] * (end[window] - first[window]) - loss[window]
                capacity[segment] += sure[window]
            windows_by[segment - begin] = windows
        for segment in range(begin, stop):
            if max(lower[segment], upper[segment]) > most_wh - len(price) * min(start_loss[household], MAX_CAP_WH):
                return _TOO_MUCH, unmet, cost, used_offset, used_slot, used_wh, used_begins
        _tighten(lower, upper, unmet, capacity, begin, stop)
        if windows == 0:
            continue

        # What is sure after each window: between what leads to the bounds to come and what can be reached.
        is_below_zero = False
        for window in range(windows):
            for slot in range(first[window], end[window]):
                is_below_zero |= price[slot] < 0
        least, most = np.zeros(windows + 1, np.int64), np.zeros(windows + 1, np.int64)
        for segment in range(begin, stop):
            least[windows_by[segment - begin]] = lower[segment]
        for window in range(windows - 1, -1, -1):
            least[window] = max(least[window], least[window + 1] - sure[window])
        for window in range(windows):
            least[window + 1] = max(least[window + 1], least[window])
        unit = 0
        for segment in range(begin, stop):
            unit = _gcd(unit, lower[segment])
        for window in range(windows):
            ceiling = upper[segment_of[window]]
            if not is_below_zero:  # nothing is gained by more than the last bound
                ceiling = min(ceiling, least[windows])
            unit = _gcd(_gcd(unit, ceiling), _gcd(loss[window], cap[window]))
            most[window + 1] = min(most[window] + sure[window], ceiling)
        loss[:windows] //= unit
        least //= unit
        most //= unit
        cap[:windows] //= unit

        # Forward over the windows; idle at the end of each, so only that state passes from one to the next.
        place = np.zeros(windows + 1, np.int64)
        widest = 1
        for window in range(windows):
            width = most[window + 1] - least[window] + loss[window] + 1
            if width > MAX_LEVELS:
                return _TOO_MUCH, unmet, cost, used_offset, used_slot, used_wh, used_begins
            widest = max(widest, width)
            place[window + 1] = place[window] + width * (end[window] - first[window])
        choice, late_choice = np.empty(place[windows], np.int16), np.empty(place[windows], np.int16)
        full_choice = np.empty(place[windows], np.int8)
        costs, lates = np.empty((4, widest), np.int64), np.empty((4, widest), np.int64)
        queue, source = np.empty(widest, np.int64), np.empty(widest, np.int64)
        passed_cost, passed_late = np.zeros(1, np.int64), np.zeros(1, np.int64)  # states from least[window] on
        for window in range(windows):
            lead = loss[window]  # states below the least level, for runs that have yet to make up for their start
            base = least[window] - lead  # level of state 0
            width = most[window + 1] - base + 1
            costs[:, :width] = 0
            lates[:, :width] = _NONE
            carried = min(len(passed_cost), width - lead)
            costs[0, lead : lead + carried] = passed_cost[:carried]
            lates[0, lead : lead + carried] = passed_late[:carried]
            for slot in range(first[window], end[window]):
                at = place[window] + width * (slot - first[window])
                here = slice(at, at + width)
                _half_hour(
                    price[slot] * unit, slot * unit, cap[window], lead,
                    costs[0, :width], lates[0, :width], costs[1, :width], lates[1, :width],
                    costs[2, :width], lates[2, :width], costs[3, :width], lates[3, :width],
                    choice[here], full_choice[here], late_choice[here], queue[:width], source[:width],
                )  # fmt: skip
            low = least[window + 1] - base
            passed_cost, passed_late = costs[0, low:width].copy(), lates[0, low:width].copy()

        best = -1
        for state in range(len(passed_cost)):
            if passed_late[state] != _NONE and (
                best < 0 or _is_better(passed_cost[state], passed_late[state], passed_cost[best], passed_late[best])
            ):
                best = state
        if best < 0:
            return _NO_PLAN, unmet, cost, used_offset, used_slot, used_wh, used_begins
        cost[household] = passed_cost[best]

        # Back along the choices.
        drawn = np.zeros(len(price), np.int64)
        begins = np.zeros(len(price), np.bool_)
        level = best + least[windows]
        for window in range(windows - 1, -1, -1):
            base = least[window] - loss[window]
            width = most[window + 1] - base + 1
            goes_on = 0  # after this half-hour: 0 idle, 1 a run that began on a boundary, 2 one that began late
            for slot in range(end[window] - 1, first[window] - 1, -1):
                at = place[window] + width * (slot - first[window]) + level - base
                if goes_on == 0:
                    made = np.int64(choice[at])
                    if made < _IDLE:
                        drawn[slot] = -1 - made
                        level -= drawn[slot] - loss[window]
                        begins[slot] = True
                    elif made == _LATE_STARTED_ENDS:
                        drawn[slot] = cap[window]
                        level -= drawn[slot]
                        goes_on = 2
                    elif made > 0:
                        drawn[slot] = made
                        level -= made
                        goes_on = 1
                else:
                    starts = np.int64(full_choice[at]) * cap[window] if goes_on == 1 else np.int64(late_choice[at])
                    drawn[slot] = starts if starts > 0 else cap[window]
                    level -= drawn[slot]
                    if starts > 0:
                        level += loss[window]
                        begins[slot] = True
                        goes_on = 0
        while written + len(price) > len(used_slot):
            used_slot = np.concatenate((used_slot, np.empty_like(used_slot)))
            used_wh = np.concatenate((used_wh, np.empty_like(used_wh)))
            used_begins = np.concatenate((used_begins, np.empty_like(used_begins)))
        for slot in range(len(price)):
            if drawn[slot] > 0:
                used_slot[written], used_wh[written] = slot, drawn[slot] * unit
                used_begins[written] = begins[slot]
                written += 1
        used_offset[household + 1] = written
    used_slot, used_wh, used_begins = used_slot[:written].copy(), used_wh[:written].copy(), used_begins[:written].copy()
    return _SOLVED, unmet, cost, used_offset, used_slot, used_wh, used_begins
