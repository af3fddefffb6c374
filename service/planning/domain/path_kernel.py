"""The cheapest energy per half-hour for one vehicle after another, exact in whole numbers.

A week is a path: half-hours flow into stays, stays pass energy on in time order, and the total
charged by the end of each stay has a least and a greatest value. Prices are sorted once per
price vector (``price_tables``); any number of households that share it are then solved by the
same compiled loop. Kernel and intrinsic stay in this one file: numba's cache notices no other.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final, TypeAlias

import numpy as np
from numba import njit, types
from numba.core import cgutils
from numba.extending import intrinsic
from numpy.typing import ArrayLike, NDArray

from service.common.money import MAX_PENCE, UP_PER_PENNY

SOLVER_VERSION: Final = "path-2"  # part of every fingerprint; whoever changes a result changes this
NP_PER_UP: Final = 1000  # nano-pence (1e-9 p) in a micro-penny: micro-pence per kWh x Wh = nano-pence
MAX_PRICE_UP: Final = 2 * MAX_PENCE * UP_PER_PENNY  # [1e-6 p/kWh]; twice what can be entered, so that tax fits
MAX_ENERGY_WH: Final = (2**63 - 1) // MAX_PRICE_UP  # [Wh] per household, 46 MWh: any cost then fits int64

Int32s: TypeAlias = NDArray[np.int32]
Int64s: TypeAlias = NDArray[np.int64]
Words: TypeAlias = NDArray[np.uint64]
Window: TypeAlias = tuple[int, int, int]  # first slot, end slot (exclusive), greatest energy in one slot [Wh]

_SOLVED: Final = 0
_BAD_WINDOW: Final = 1
_TOO_MUCH: Final = 2
_NO_SLOT_LEFT: Final = 3
_UNLIMITED: Final = 2**62
_NO_WINDOWS: Final[list[Window]] = [(0, 0, 0)]  # gives an empty list its shape; no segment refers to it
_LEAST_SLOTS_OUT: Final = 32  # room for used slots per household to begin with; grows as needed


@dataclass(frozen=True, eq=False)
class PriceTables:
    """What every household with the same prices shares; arrays are read-only.

    ``price_up`` [1e-6 p/kWh], shape (slots,); ``order`` lists slots by (price, time);
    ``prefix[t]`` has bit r set where slot ``order[r]`` comes before t, shape (slots + 1, words);
    ``negative_count`` slots have a price below zero: the first so many of ``order``.
    """

    price_up: Int64s
    order: Int32s
    prefix: Words
    negative_count: int

    @property
    def count(self) -> int:
        """Return the number of slots."""
        return len(self.price_up)


@dataclass(frozen=True, eq=False)
class PathBatch:
    """Households, each a run of segments, each a run of windows, in time order.

    Segments of household h are ``segment_offset[h]:segment_offset[h + 1]``; windows of segment s
    are ``window_offset[s]:window_offset[s + 1]``. A segment ends at a departure (the last one at
    the end of the horizon) and bounds the energy charged since the start, at its end, to
    ``lower_wh .. upper_wh``. Windows are half-open, disjoint, in slots of the price vector.
    """

    segment_offset: Int64s
    lower_wh: Int64s
    upper_wh: Int64s
    window_offset: Int64s
    window_first: Int32s
    window_end: Int32s
    window_cap_wh: Int64s


@dataclass(frozen=True, eq=False)
class PathPlans:
    """The plans of a batch.

    Per segment: ``unmet_wh`` that no plan delivers by its end, and the bounds as tightened, in
    terms of energy really charged. Per household: ``cost_np`` [1e-9 p], exact. Used slots of
    household h in time order: ``used_slot``, ``used_wh`` at ``used_offset[h]:used_offset[h + 1]``.
    """

    unmet_wh: Int64s
    lower_wh: Int64s
    upper_wh: Int64s
    cost_np: Int64s
    used_offset: Int64s
    used_slot: Int32s
    used_wh: Int64s


def price_tables(price_up: ArrayLike) -> PriceTables:
    """Return the tables of one price vector, shape (slots,) [1e-6 p/kWh].

    Raises
    ------
    ValueError
        If a price is larger than ``MAX_PRICE_UP`` either way; a cost could then overflow.
    """
    prices = np.array(price_up, dtype=np.int64)
    if prices.size and int(np.abs(prices).max()) > MAX_PRICE_UP:
        raise ValueError(f"a price lies outside +-{MAX_PRICE_UP} micro-pence per kWh")
    order = np.argsort(prices, kind="stable").astype(np.int32)
    prefix = _prefix_words(order)
    for array in (prices, order, prefix):
        array.setflags(write=False)
    return PriceTables(prices, order, prefix, int(np.count_nonzero(prices < 0)))


def path_batch(households: Sequence[tuple[Sequence[int], Sequence[int], Sequence[Sequence[Window]]]]) -> PathBatch:
    """Return households as one batch; each is (lower_wh, upper_wh, windows of each segment)."""
    lower = [bound for household in households for bound in household[0]]
    upper = [bound for household in households for bound in household[1]]
    segments = [windows for household in households for windows in household[2]]
    flat = np.array([window for windows in segments for window in windows], dtype=np.int64).reshape(-1, 3)
    return PathBatch(
        segment_offset=_offsets([len(household[0]) for household in households]),
        lower_wh=np.array(lower, dtype=np.int64),
        upper_wh=np.array(upper, dtype=np.int64),
        window_offset=_offsets([len(windows) for windows in segments]),
        window_first=flat[:, 0].astype(np.int32),
        window_end=flat[:, 1].astype(np.int32),
        window_cap_wh=np.ascontiguousarray(flat[:, 2]),
    )


def cheapest_paths(tables: PriceTables, batch: PathBatch) -> PathPlans:
    """Return the best plan of every household in the batch.

    Best means: least unmet energy first, then least cost, then the earlier of slots that cost
    the same. With a negative price a plan charges beyond the need, as far as upper bounds allow.

    Parameters
    ----------
    tables : PriceTables
        Of the price vector that all households of the batch share.
    batch : PathBatch
        Their segments and windows. Bounds may be given raw: a lower bound never binds less than
        an earlier one, an upper bound below its lower bound counts as equal to it. Energy per
        household is at most ``MAX_ENERGY_WH``.

    Raises
    ------
    ValueError
        If windows overlap, run backwards or leave the horizon, or energies are out of range.

    Notes
    -----
    Demands are met in time order, each from the cheapest free slot that is not cut off by a full
    battery in between: successive shortest paths of a minimum-cost flow on a path. A residual
    path that used a storage arc backwards would cross the same cut twice, so the shortest path
    never does. Unmet energy is injected at the first departure that no plan can meet; it cannot
    sit earlier without becoming more, so the cost does not depend on the choice. The order
    (price, time) makes the optimum unique: batch size, order and threads change nothing.
    """
    lower, upper = batch.lower_wh.copy(), batch.upper_wh.copy()
    status, unmet, cost, offset, slot, energy = _solve(
        tables.price_up, tables.order, tables.prefix, tables.negative_count, batch.segment_offset, lower, upper,
        batch.window_offset, batch.window_first, batch.window_end, batch.window_cap_wh,
    )  # fmt: skip
    if status == _BAD_WINDOW:
        raise ValueError("windows must be disjoint, in time order, inside the horizon, with a cap of 0 Wh or more")
    if status == _TOO_MUCH:
        raise ValueError(f"more than {MAX_ENERGY_WH} Wh for one household")
    if status != _SOLVED:
        raise AssertionError("feasible demand found no slot")  # the clean-up makes this impossible
    return PathPlans(unmet, lower, upper, cost, offset, slot, energy)


def cheapest_path(
    tables: PriceTables, lower_wh: Sequence[int], upper_wh: Sequence[int], windows: Sequence[Sequence[Window]]
) -> PathPlans:
    """Return the best plan of a single household: a batch of one, through the same code."""
    window_offset = [0]
    for group in windows:
        window_offset.append(window_offset[-1] + len(group))
    flat = np.array([window for group in windows for window in group] or _NO_WINDOWS, dtype=np.int64)
    batch = PathBatch(
        segment_offset=np.array((0, len(windows)), dtype=np.int64),
        lower_wh=np.array(lower_wh, dtype=np.int64),
        upper_wh=np.array(upper_wh, dtype=np.int64),
        window_offset=np.array(window_offset, dtype=np.int64),
        window_first=flat[:, 0].astype(np.int32),
        window_end=flat[:, 1].astype(np.int32),
        window_cap_wh=flat[:, 2].copy(),
    )
    return cheapest_paths(tables, batch)


def least_unmet(lower_wh: Sequence[int], upper_wh: Sequence[int], capacity_wh: Sequence[int]) -> list[int]:
    """Return the unmet energy of each segment alone, without a plan; lists of one entry a segment [Wh]."""
    unmet = np.zeros(len(lower_wh), dtype=np.int64)
    lower, upper = np.array(lower_wh, dtype=np.int64), np.array(upper_wh, dtype=np.int64)
    _tighten(lower, upper, unmet, np.array(capacity_wh, dtype=np.int64), 0, len(unmet))
    found: list[int] = unmet.tolist()
    return found


def warm_up() -> None:
    """Compile the kernel or load it from numba's cache, so that the first plan is not the slow one."""
    cheapest_path(price_tables([1, -1]), [1], [2], [[(0, 2, 1)]])


def _offsets(counts: Sequence[int]) -> Int64s:
    offsets = np.zeros(len(counts) + 1, dtype=np.int64)
    np.cumsum(np.asarray(counts, dtype=np.int64), out=offsets[1:])
    return offsets


def _count_trailing_zeros(_typing: Any, _word: Any) -> Any:
    """Return the position of the lowest set bit of a word that is not 0, in one machine instruction."""

    def codegen(_context: Any, builder: Any, _signature: Any, args: Any) -> Any:
        return builder.cttz(args[0], cgutils.true_bit)

    return types.int64(types.uint64), codegen


_trailing_zeros: Any = intrinsic(_count_trailing_zeros)


@njit(cache=True, nogil=True)
def _prefix_words(order: Int32s) -> Words:
    count = len(order)
    words = (count + 63) >> 6
    rank = np.empty(count, np.int64)
    for position in range(count):
        rank[order[position]] = position
    prefix = np.zeros((count + 1, words), np.uint64)
    for slot in range(count):
        for word in range(words):
            prefix[slot + 1, word] = prefix[slot, word]
        prefix[slot + 1, rank[slot] >> 6] |= np.uint64(1) << np.uint64(rank[slot] & 63)
    return prefix


@njit(cache=True, nogil=True)
def _windows_are_sound(count: int, first: Int32s, end: Int32s, cap: Int64s, begin: int, stop: int) -> bool:
    latest = 0
    for window in range(begin, stop):
        if first[window] < latest or end[window] < first[window] or end[window] > count:
            return False
        if cap[window] < 0 or cap[window] > MAX_ENERGY_WH:
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
def _solve(
    price: Int64s,
    order: Int32s,
    prefix: Words,
    negative_count: int,
    segment_offset: Int64s,
    lower: Int64s,
    upper: Int64s,
    window_offset: Int64s,
    window_first: Int32s,
    window_end: Int32s,
    window_cap: Int64s,
) -> tuple[int, Int64s, Int64s, Int64s, Int32s, Int64s]:
    """Solve every household; ``lower`` and ``upper`` are tightened in place."""
    count = len(price)
    words = prefix.shape[1]
    households = len(segment_offset) - 1
    unmet = np.zeros(len(lower), np.int64)
    cost = np.zeros(households, np.int64)
    used_offset = np.zeros(households + 1, np.int64)
    room = _LEAST_SLOTS_OUT * households + count
    used_slot = np.empty(room, np.int32)
    used_wh = np.empty(room, np.int64)
    written = 0
    capacity = np.zeros(len(lower), np.int64)
    head = np.zeros(len(lower), np.int64)  # energy that may still be added by each segment's end
    closing = np.zeros(len(lower), np.int32)  # end of the last window up to each segment
    free = np.zeros(words, np.uint64)  # bit r: slot order[r] has room and nothing full lies behind it
    used = np.zeros(words, np.uint64)  # bit t: slot t charges
    filled = np.zeros(count, np.int64)  # energy in each slot so far
    for household in range(households):
        begin, stop = segment_offset[household], segment_offset[household + 1]
        if begin == stop:
            used_offset[household + 1] = written
            continue
        window_begin, window_stop = window_offset[begin], window_offset[stop]
        if not _windows_are_sound(count, window_first, window_end, window_cap, window_begin, window_stop):
            return _BAD_WINDOW, unmet, cost, used_offset, used_slot, used_wh
        latest = 0
        for segment in range(begin, stop):
            if lower[segment] > MAX_ENERGY_WH or upper[segment] > MAX_ENERGY_WH:
                return _TOO_MUCH, unmet, cost, used_offset, used_slot, used_wh
            capacity[segment] = 0
            for window in range(window_offset[segment], window_offset[segment + 1]):
                capacity[segment] += window_cap[window] * (window_end[window] - window_first[window])
                latest = window_end[window]
            closing[segment] = latest
        _tighten(lower, upper, unmet, capacity, begin, stop)
        free[:] = 0
        lowest_word = 0
        charged = 0
        for segment in range(begin, stop + 1):
            if segment < stop:
                for window in range(window_offset[segment], window_offset[segment + 1]):
                    if window_cap[window] > 0:
                        for word in range(words):
                            free[word] |= prefix[window_end[window], word] & ~prefix[window_first[window], word]
                lowest_word = 0
                head[segment] = upper[segment] - lower[segment]
                need = lower[segment] - charged
                charged = lower[segment]
                window_last = window_offset[segment + 1] - 1
            else:  # what negative prices pay for, up to the upper bounds
                need = _UNLIMITED if negative_count else 0
                window_last = window_stop - 1
            while need > 0:
                while lowest_word < words and free[lowest_word] == 0:
                    lowest_word += 1
                if lowest_word == words:
                    if segment < stop:
                        return _NO_SLOT_LEFT, unmet, cost, used_offset, used_slot, used_wh
                    break
                bit = _trailing_zeros(free[lowest_word])
                rank = (lowest_word << 6) + bit
                if segment == stop and rank >= negative_count:
                    break
                slot = order[rank]
                window = window_last
                while window_first[window] > slot:
                    window -= 1
                source = segment - 1 if segment == stop else segment
                while window_offset[source] > window:
                    source -= 1
                room_wh = window_cap[window] - filled[slot]
                energy = min(room_wh, need)
                for behind in range(source, segment):
                    energy = min(energy, head[behind])
                filled[slot] += energy
                need -= energy
                if energy > 0:
                    used[slot >> 6] |= np.uint64(1) << np.uint64(slot & 63)
                if energy == room_wh:
                    free[lowest_word] &= free[lowest_word] - np.uint64(1)
                frozen = 0
                for behind in range(source, segment):
                    head[behind] -= energy
                    if head[behind] == 0:
                        frozen = closing[behind]
                if frozen:
                    for word in range(words):
                        free[word] &= ~prefix[frozen, word]
            if segment < stop and head[segment] == 0:
                free[:] = 0
        for word in range(words):
            while used[word]:
                slot = (word << 6) + _trailing_zeros(used[word])
                used[word] &= used[word] - np.uint64(1)
                if written == room:
                    used_slot = np.concatenate((used_slot, np.empty(room, np.int32)))
                    used_wh = np.concatenate((used_wh, np.empty(room, np.int64)))
                    room *= 2
                used_slot[written] = slot
                used_wh[written] = filled[slot]
                cost[household] += price[slot] * filled[slot]
                filled[slot] = 0
                written += 1
        used_offset[household + 1] = written
    return _SOLVED, unmet, cost, used_offset, used_slot[:written], used_wh[:written]
