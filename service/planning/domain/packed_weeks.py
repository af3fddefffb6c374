"""One-car homes packed as whole numbers, and many of them planned again at new prices in a few compiled passes.

What a tariff changes is prices alone. So what the solver needs of a home besides (its departures, where it may
charge, the plan it has) is kept as a short row of int32 each time it is planned, and carried forward from there to a
later half-hour of the same local day by the very rules of ``state_of_charge`` and ``segments``; tests hold the two
equal. A home that more than one car, outlet or limit makes a matter of sharing is not packed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any, Final, TypeAlias

import numpy as np
from numba import njit
from numpy.typing import NDArray

from service.planning.domain import block_kernel
from service.planning.domain.block_kernel import cheapest_blocks, has_one_run_a_night
from service.planning.domain.car_programmes import CarProgramme
from service.planning.domain.charging import PERMILLE, wall_need_wh
from service.planning.domain.household_week import Control, HouseholdWeek, WeekPrices, week_prices
from service.planning.domain.path_kernel import (
    NP_PER_UP,
    Int32s,
    Int64s,
    PathBatch,
    PathPlans,
    PriceTables,
    cheapest_paths,
)
from service.planning.domain.plans import HouseholdPlan
from service.planning.domain.run_kinds import cheapest_batch
from service.planning.domain.segments import NEED_STEP_WH
from service.planning.domain.state_of_charge import READING_LASTS_SLOTS, ChargeBasis

Flags: TypeAlias = NDArray[np.bool_]

VERSION: Final = 1  # of the layout: rows of another version are not read
BASES: Final = (ChargeBasis.READ, ChargeBasis.ESTIMATED, ChargeBasis.NOT_KNOWN)
_ESTIMATED: Final = 1
_NOT_KNOWN: Final = 2

# The head of a row; slots are absolute, energies Wh. The segments follow, then all windows, then the plan's blocks.
_VERSION: Final = 0
_FIRST: Final = 1  # where the plan starts
_END: Final = 2
_START: Final = 3  # in the battery then
_BASIS: Final = 4  # what that rests on, as a position in BASES
_BATTERY: Final = 5
_EFFICIENCY: Final = 6
_CEILING: Final = 7
_RESERVE: Final = 8
_IS_ONE_RUN: Final = 9
_START_LOSS: Final = 10
_USABLE_UNTIL: Final = 11
_READING_UNTIL: Final = 12  # the last half-hour in which the reading still counts
_LATER_NEEDED: Final = 13  # in the battery for the first departure after the horizon, -1 without one
_LATER_GIVEN: Final = 14  # at the wall, what half-hours between the horizon and that departure can give
_SEGMENTS: Final = 15
_WINDOWS: Final = 16
_BLOCKS: Final = 17
_HEAD: Final = 18
# A segment: when its car leaves and its stay ends, what its trip uses, what trips before it used, what the battery
# should hold, what the trip needs beyond a full battery (at the wall), and how many windows it has.
_LEAVES: Final = 0
_STAY_END: Final = 1
_USES: Final = 2
_DRIVEN: Final = 3
_NEEDED: Final = 4
_BEYOND: Final = 5
_OWN_WINDOWS: Final = 6
_SEGMENT: Final = 7
_WINDOW: Final = 4  # first slot, end slot, cap, night
# A block: first slot, number of half-hours, then the energy of each.


@dataclass(frozen=True, eq=False)
class PackedHomes:
    """Rows one behind the other: home h is ``words[offset[h]:offset[h + 1]]``."""

    words: Int32s
    offset: Int64s

    @property
    def heads(self) -> Int32s:
        """Return every head, shape (homes, words of a head)."""
        heads: Int32s = self.words[self.offset[:-1, np.newaxis] + np.arange(_HEAD)]
        return heads

    def row(self, home: int) -> Int32s:
        """Return one home's row."""
        return self.words[self.offset[home] : self.offset[home + 1]]


@dataclass(frozen=True, eq=False)
class PackedPlans:
    """New plans of many homes, each an array entry, and the rows that say so.

    ``cost_up`` counts only where ``unpriced_wh`` is 0, ``on_arrival_up`` where ``on_arrival_unpriced_wh`` is too.
    ``has_moved``: charging times ahead differ from those of the plan before.
    """

    homes: PackedHomes
    energy_wh: Int64s
    cost_up: Int64s
    unpriced_wh: Int64s
    on_arrival_up: Int64s
    on_arrival_unpriced_wh: Int64s
    short_wh: Int64s
    has_moved: Flags


@dataclass(frozen=True)
class PackedSchedule:
    """What a row says of its plan, as ``plan_document.schedule`` writes it."""

    first_slot: int
    end_slot: int
    start_wh: int
    basis: ChargeBasis
    blocks: list[list[Any]]


def pack_home(
    week: HouseholdWeek, plan: HouseholdPlan, *, basis: ChargeBasis, reading_slot: int | None
) -> bytes | None:
    """Return a home as a row, or None where it cannot be one.

    ``basis`` is what the car's start charge rests on, ``reading_slot`` the half-hour of its last reading if it counts.
    """
    if len(week.vehicles) != 1 or week.headroom_wh is not None or week.circuits_wh:
        return None
    (vehicle,) = week.vehicles
    if len(vehicle.options) != 1 or vehicle.others:
        return None
    if vehicle.standby_w:
        return None  # a row cut within a stay would not know how much of that stay's standing lies ahead
    if reading_slot is not None and reading_slot >= plan.first_slot:
        return None  # the next estimate would start from the reading, not from this plan
    programme = CarProgramme.of(week, vehicle)
    (option,) = vehicle.options
    path = programme.alone(option)
    first, reserve = week.prices.first_slot, vehicle.reserve_wh
    leaving = [each for each in programme.away if first <= each.leaves_slot < week.prices.end_slot]
    later = next((each for each in programme.away if each.leaves_slot >= week.prices.end_slot), None)
    needed = given = -1
    if later is not None:
        end = week.prices.end_slot
        home_slot = max((each.home_slot for each in programme.away if each.leaves_slot < end), default=end)
        slots = min(later.leaves_slot, option.usable_until_slot) - max(end, home_slot)
        needed = min(max(later.trip.energy_wh, later.trip.careful_wh) + reserve, vehicle.battery_wh)
        given = vehicle.cap_wh * max(0, slots)
    head = [
        VERSION, first, week.prices.end_slot, vehicle.start_charge_wh, BASES.index(basis), vehicle.battery_wh,
        vehicle.efficiency_permille, vehicle.ceiling_wh, reserve, int(vehicle.control is Control.ONE_RUN),
        vehicle.start_loss_wh, option.usable_until_slot, (reading_slot or 0) + READING_LASTS_SLOTS, needed, given,
        len(path.segments), sum(map(len, path.windows)), len(plan.vehicles[0].blocks),
    ]  # fmt: skip
    ends = [*(each.leaves_slot for each in leaving), week.prices.end_slot]
    segments = [
        word
        for leaves, segment, windows in zip(ends, path.segments, path.windows, strict=True)
        for word in (
            leaves,
            first + segment.end_slot,
            segment.trip.energy_wh if segment.trip else 0,
            segment.driven_wh,
            segment.needed_wh,
            wall_need_wh(segment.beyond_battery_wh, vehicle.efficiency_permille),
            len(windows),
        )
    ]
    windows = [window for group in path.windows for window in group]
    nights = [night for group in path.nights for night in group] if path.nights is not None else [0] * len(windows)
    spans = [
        word
        for (opens, closes, cap), night in zip(windows, nights, strict=True)
        for word in (first + opens, first + closes, cap, night)
    ]
    blocks = [
        word
        for block in plan.vehicles[0].blocks
        for word in (block.first_slot, len(block.energy_wh), *block.energy_wh)
    ]
    try:
        return np.array([*head, *segments, *spans, *blocks], dtype=np.int32).astype("<i4").tobytes()
    except OverflowError:
        return None


def packed_homes(rows: Sequence[bytes]) -> PackedHomes:
    """Return rows as they are stored, ready to be planned."""
    offset = np.zeros(len(rows) + 1, dtype=np.int64)
    np.cumsum(np.array([len(row) // 4 for row in rows], dtype=np.int64), out=offset[1:])
    return PackedHomes(np.frombuffer(b"".join(rows), dtype="<i4").astype(np.int32), offset)


def can_be_planned(homes: PackedHomes, as_of_slot: int, end_slot: int) -> Flags:
    """Return which rows still tell all there is to know, for a week from one half-hour to another."""
    heads = homes.heads
    is_fresh = (heads[:, _BASIS] == _NOT_KNOWN) | (heads[:, _READING_UNTIL] >= as_of_slot)
    is_same_day = (heads[:, _FIRST] <= as_of_slot) & (heads[:, _END] == end_slot)
    found: Flags = (heads[:, _VERSION] == VERSION) & is_same_day & (heads[:, _USABLE_UNTIL] > as_of_slot) & is_fresh
    return found


def carried_forward(homes: PackedHomes, as_of_slot: int) -> tuple[PackedHomes, PathBatch, Int64s]:
    """Return the rows as they stand at a later half-hour, what they ask of the solver, and the night of each window.

    The rows keep the blocks of the plan before. Windows of the batch are relative to ``as_of_slot``.
    """
    heads = homes.heads
    segments, windows = int(heads[:, _SEGMENTS].sum()), int(heads[:, _WINDOWS].sum())
    words, offset = np.empty(len(homes.words), dtype=np.int32), np.zeros(len(heads) + 1, dtype=np.int64)
    segment_offset, window_offset = np.zeros(len(heads) + 1, dtype=np.int64), np.zeros(segments + 1, dtype=np.int64)
    lower, upper = np.empty(segments, dtype=np.int64), np.empty(segments, dtype=np.int64)
    first, end = np.empty(windows, dtype=np.int32), np.empty(windows, dtype=np.int32)
    cap, night = np.empty(windows, dtype=np.int64), np.empty(windows, dtype=np.int64)
    segments, windows, length = _carry(
        homes.words, homes.offset, as_of_slot, words, offset, segment_offset, lower, upper, window_offset,
        first, end, cap, night,
    )  # fmt: skip
    batch = PathBatch(
        segment_offset, lower[:segments], upper[:segments], window_offset[: segments + 1],
        first[:windows], end[:windows], cap[:windows],
    )  # fmt: skip
    return PackedHomes(words[:length], offset), batch, night[:windows]


def plan_packed(prices: WeekPrices, homes: PackedHomes) -> PackedPlans:
    """Return the plans of homes at some prices, from the half-hour at which these start.

    All of them ``can_be_planned``, are set the same way (one run a night or not) and lose as much by a late start.
    """
    now, batch, nights = carried_forward(homes, prices.first_slot)
    is_one_run, loss = bool(homes.heads[0, _IS_ONE_RUN]), int(homes.heads[0, _START_LOSS])
    plans = _cheapest(prices.tables, batch, nights if is_one_run else None, loss)
    room = len(now.words) + 3 * len(plans.used_slot)
    words, offset = np.empty(room, dtype=np.int32), np.zeros(len(now.offset), dtype=np.int64)
    totals = np.zeros((6, len(offset) - 1), dtype=np.int64)
    moved = np.zeros(len(offset) - 1, dtype=np.bool_)
    length = _answers(
        now.words, now.offset, prices.first_slot, batch.segment_offset, batch.window_offset, batch.window_first,
        batch.window_end, batch.window_cap_wh, plans.unmet_wh, plans.upper_wh, plans.used_offset, plans.used_slot,
        plans.used_wh, prices.tables.price_up, prices.is_known, np.array(prices.known_sum_up, dtype=np.int64),
        np.array(prices.known_sum, dtype=np.int64), words, offset, totals, moved,
    )  # fmt: skip
    energy, cost_np, unpriced, arrival_np, arrival_unpriced, short = totals
    return PackedPlans(
        PackedHomes(words[:length], offset), energy, _rounded_up(cost_np), unpriced, _rounded_up(arrival_np),
        arrival_unpriced, short, moved,
    )  # fmt: skip


def warm_up() -> None:
    """Compile what is compiled here or load it from numba's cache, so that the first chunk is not the slow one."""
    head = [VERSION, 0, 2, 0, 0, 10, PERMILLE, 10, 1, 1, 0, 9, 9, -1, 0, 1, 1, 0]
    row = np.array([*head, 2, 2, 0, 0, 1, 0, 1, 0, 2, 1, 0], dtype="<i4").tobytes()
    plan_packed(week_prices(0, [1, 2], [True, True]), packed_homes([row]))
    block_kernel.warm_up()


def ways_set(homes: PackedHomes) -> NDArray[np.int64]:
    """Return a number for each home: those with the same can be planned together."""
    heads = homes.heads.astype(np.int64)
    return heads[:, _START_LOSS] * 2 + heads[:, _IS_ONE_RUN]


def chosen(homes: PackedHomes, positions: Sequence[int]) -> PackedHomes:
    """Return some of the homes."""
    rows = [homes.row(position) for position in positions]
    offset = np.zeros(len(rows) + 1, dtype=np.int64)
    np.cumsum(np.array([len(row) for row in rows], dtype=np.int64), out=offset[1:])
    return PackedHomes(np.concatenate(rows) if rows else np.zeros(0, dtype=np.int32), offset)


def schedule_of(row: Int32s) -> PackedSchedule:
    """Return the plan that a row holds."""
    numbers: list[int] = row.tolist()
    at = _HEAD + numbers[_SEGMENTS] * _SEGMENT + numbers[_WINDOWS] * _WINDOW
    blocks: list[list[Any]] = []
    for _ in range(numbers[_BLOCKS]):
        first, count = numbers[at : at + 2]
        blocks.append([first, numbers[at + 2 : at + 2 + count]])
        at += 2 + count
    return PackedSchedule(numbers[_FIRST], numbers[_END], numbers[_START], BASES[numbers[_BASIS]], blocks)


def _cheapest(tables: PriceTables, batch: PathBatch, nights: Int64s | None, loss: int) -> PathPlans:
    """Solve a batch. Most free plans are one run a night already: only the others need the slower way."""
    if nights is None or loss:
        return cheapest_batch(tables, batch, nights, loss)
    plans = cheapest_paths(tables, batch)
    others = np.flatnonzero(~has_one_run_a_night(batch, nights, plans))
    if not len(others):
        return plans
    part, part_nights = _part(batch, nights, others)
    return _merged(plans, batch, cheapest_blocks(tables, part, part_nights, np.zeros(len(others), np.int64)), others)


def _part(batch: PathBatch, nights: Int64s, homes: Int64s) -> tuple[PathBatch, Int64s]:
    """Return some homes of a batch."""
    segments = _spans(batch.segment_offset, homes)
    windows = _spans(batch.window_offset, segments)
    return PathBatch(
        _offsets(np.diff(batch.segment_offset)[homes]), batch.lower_wh[segments], batch.upper_wh[segments],
        _offsets(np.diff(batch.window_offset)[segments]), batch.window_first[windows], batch.window_end[windows],
        batch.window_cap_wh[windows],
    ), nights[windows]  # fmt: skip


def _merged(plans: PathPlans, batch: PathBatch, better: PathPlans, homes: Int64s) -> PathPlans:
    """Return plans with those of some homes replaced."""
    segments = _spans(batch.segment_offset, homes)
    unmet, lower, upper, cost = (
        each.copy() for each in (plans.unmet_wh, plans.lower_wh, plans.upper_wh, plans.cost_np)
    )
    unmet[segments], lower[segments], upper[segments] = better.unmet_wh, better.lower_wh, better.upper_wh
    cost[homes] = better.cost_np
    counts = np.diff(plans.used_offset)
    kept = np.ones(len(counts), dtype=np.bool_)
    kept[homes] = False
    is_kept = np.repeat(kept, counts)
    counts[homes] = np.diff(better.used_offset)
    offset = _offsets(counts)
    is_old = np.repeat(kept, counts)
    slot, energy = np.empty(offset[-1], dtype=np.int32), np.empty(offset[-1], dtype=np.int64)
    slot[is_old], energy[is_old] = plans.used_slot[is_kept], plans.used_wh[is_kept]
    slot[~is_old], energy[~is_old] = better.used_slot, better.used_wh
    return replace(
        plans, unmet_wh=unmet, lower_wh=lower, upper_wh=upper, cost_np=cost, used_offset=offset, used_slot=slot,
        used_wh=energy,
    )  # fmt: skip


def _spans(offset: Int64s, places: Int64s) -> Int64s:
    """Return the positions of everything that belongs to some places, in order."""
    counts = offset[places + 1] - offset[places]
    begins = np.repeat(offset[places] - np.concatenate(([0], np.cumsum(counts)[:-1])), counts)
    return np.arange(counts.sum(), dtype=np.int64) + begins


def _offsets(counts: Int64s) -> Int64s:
    offset = np.zeros(len(counts) + 1, dtype=np.int64)
    np.cumsum(counts, out=offset[1:])
    return offset


def _rounded_up(nano_pence: Int64s) -> Int64s:
    """Return micro-pence, a half going away from zero, as ``money.round_half_up``."""
    size = (2 * np.abs(nano_pence) + NP_PER_UP) // (2 * NP_PER_UP)
    return np.where(nano_pence < 0, -size, size)


@njit(cache=True, nogil=True)
def _charge_at(words: Int32s, at: int, as_of: int) -> tuple[int, bool]:
    """Carry a row's charge forward; return it, and whether anything changed it on the way."""
    segments, windows = words[at + _SEGMENTS], words[at + _WINDOWS]
    charge, battery = words[at + _START], words[at + _BATTERY]
    efficiency = words[at + _EFFICIENCY]
    block = at + _HEAD + segments * _SEGMENT + windows * _WINDOW
    left, position, trip = words[at + _BLOCKS], 0, 0
    has_changed = False
    while True:
        trip_slot = charge_slot = as_of
        if trip < segments - 1:
            trip_slot = min(as_of, words[at + _HEAD + trip * _SEGMENT + _LEAVES])
        if left > 0:
            charge_slot = min(as_of, words[block] + position)
        if trip_slot == as_of and charge_slot == as_of:
            return charge, has_changed
        has_changed = True
        if trip_slot <= charge_slot:
            charge = max(0, charge - words[at + _HEAD + trip * _SEGMENT + _USES])
            trip += 1
        else:
            charge = min(battery, charge + words[block + 2 + position] * efficiency // PERMILLE)
            position += 1
            if position == words[block + 1]:
                block += 2 + position
                left -= 1
                position = 0


@njit(cache=True, nogil=True)
def _wall_need(battery_wh: int, permille: int) -> int:
    return -((-battery_wh * PERMILLE) // permille)


@njit(cache=True, nogil=True)
def _carry(
    words: Int32s,
    offset: Int64s,
    as_of: int,
    to: Int32s,
    to_offset: Int64s,
    segment_offset: Int64s,
    lower: Int64s,
    upper: Int64s,
    window_offset: Int64s,
    first: Int32s,
    end: Int32s,
    cap: Int64s,
    night: Int64s,
) -> tuple[int, int, int]:
    """Write rows as of a later half-hour and their bounds and windows; return how many of each were written."""
    segment = window = put = 0
    for home in range(len(offset) - 1):
        at = offset[home]
        count = words[at + _SEGMENTS]
        efficiency, battery = words[at + _EFFICIENCY], words[at + _BATTERY]
        head = put
        to[put : put + _HEAD] = words[at : at + _HEAD]
        put += _HEAD
        start, has_changed = _charge_at(words, at, as_of)
        if words[at + _BASIS] == _NOT_KNOWN:
            start = words[at + _RESERVE]
        elif has_changed:
            to[head + _BASIS] = _ESTIMATED
        to[head + _FIRST], to[head + _START] = as_of, start
        gone = 0  # departures that have passed; the last segment has none
        while gone < count - 1 and words[at + _HEAD + gone * _SEGMENT + _LEAVES] < as_of:
            gone += 1
        driven_before = words[at + _HEAD + gone * _SEGMENT + _DRIVEN]
        begin, begin_window = segment, window
        source = at + _HEAD + count * _SEGMENT
        for old in range(count):
            row = at + _HEAD + old * _SEGMENT
            own = words[row + _OWN_WINDOWS]
            if old >= gone:
                to[put : put + _SEGMENT] = words[row : row + _SEGMENT]
                driven = words[row + _DRIVEN] - driven_before
                to[put + _DRIVEN] = driven
                upper[segment] = (driven + battery - start) * PERMILLE // efficiency
                need = _wall_need(driven + words[row + _NEEDED] - start, efficiency)
                lower[segment] = min(need, upper[segment])
                window_offset[segment] = window
                for _ in range(own):
                    if words[source + 1] > as_of:
                        first[window] = max(words[source], as_of) - as_of
                        end[window] = words[source + 1] - as_of
                        cap[window], night[window] = words[source + 2], words[source + 3]
                        window += 1
                    source += _WINDOW
                to[put + _OWN_WINDOWS] = window - window_offset[segment]
                put += _SEGMENT
                segment += 1
            else:
                source += own * _WINDOW
        window_offset[segment] = window
        if words[at + _LATER_NEEDED] >= 0:
            driven = words[at + _HEAD + (count - 1) * _SEGMENT + _DRIVEN] - driven_before
            target = _wall_need(driven + words[at + _LATER_NEEDED] - start, efficiency) - words[at + _LATER_GIVEN]
            lower[segment - 1] = min(max(lower[segment - 1], target), upper[segment - 1])
        is_one_run, loss = words[at + _IS_ONE_RUN] != 0, words[at + _START_LOSS]
        step = 1
        if loss and window > begin_window:  # as ``segments`` puts bounds on one grid
            step, rest = NEED_STEP_WH, loss
            while rest:
                step, rest = rest, step % rest
            rest = cap[begin_window]
            while rest:
                step, rest = rest, step % rest
        forced = 0
        for position in range(segment - 1, begin - 1, -1):
            lower[position] = lower[position] // NEED_STEP_WH * NEED_STEP_WH
            forced = max(forced, lower[position])
            driven = to[head + _HEAD + (position - begin) * _SEGMENT + _DRIVEN]
            room = (driven + words[at + _CEILING] - start) * PERMILLE // efficiency
            upper[position] = min(upper[position], max(room, forced))
            upper[position] = max(lower[position], upper[position] // step * step)
            best = capacity = 0
            for own in range(window_offset[position], window_offset[position + 1]):
                given = max(0, (end[own] - first[own]) * cap[own] - loss)
                if is_one_run and own > window_offset[position] and night[own] == night[own - 1]:
                    capacity += max(0, given - best)
                    best = max(best, given)
                else:
                    capacity += given
                    best = given
            forced -= capacity
        to[head + _SEGMENTS], to[head + _WINDOWS] = segment - begin, window - begin_window
        for own in range(begin_window, window):
            to[put], to[put + 1] = first[own] + as_of, end[own] + as_of
            to[put + 2], to[put + 3] = cap[own], night[own]
            put += _WINDOW
        source = at + _HEAD + count * _SEGMENT + words[at + _WINDOWS] * _WINDOW
        length = offset[home + 1] - source
        to[put : put + length] = words[source : source + length]
        put += length
        segment_offset[home + 1] = segment
        to_offset[home + 1] = put
    return segment, window, put


@njit(cache=True, nogil=True)
def _same_times(old: Int32s, new: Int32s, old_count: int, new_count: int, first_slot: int) -> bool:
    """Return whether two runs of blocks charge at the same times from a half-hour on, start by start."""
    before = after = 0
    old_left, new_left = old_count, new_count
    while True:
        while old_left > 0 and old[before] + old[before + 1] <= first_slot:
            before += 2 + old[before + 1]
            old_left -= 1
        if old_left == 0 or new_left == 0:
            return old_left == new_left
        if max(old[before], first_slot) != max(new[after], first_slot):
            return False
        if old[before] + old[before + 1] != new[after] + new[after + 1]:
            return False
        before, after = before + 2 + old[before + 1], after + 2 + new[after + 1]
        old_left, new_left = old_left - 1, new_left - 1


@njit(cache=True, nogil=True)
def _answers(
    words: Int32s,
    offset: Int64s,
    first_slot: int,
    segment_offset: Int64s,
    window_offset: Int64s,
    window_first: Int32s,
    window_end: Int32s,
    window_cap: Int64s,
    unmet: Int64s,
    most: Int64s,
    used_offset: Int64s,
    used_slot: Int32s,
    used_wh: Int64s,
    price: Int64s,
    known: Flags,
    known_sum_up: Int64s,
    known_sum: Int64s,
    to: Int32s,
    to_offset: Int64s,
    totals: Int64s,
    moved: Flags,
) -> int:
    """Write rows with the new blocks in place of the old ones, and each home's totals; return the rows' length.

    Totals: energy, cost, energy without a price; the same on arrival: cost and energy without a price; what is short.
    """
    put = 0
    for home in range(len(offset) - 1):
        at = offset[home]
        segments = words[at + _SEGMENTS]
        old_blocks = at + _HEAD + segments * _SEGMENT + words[at + _WINDOWS] * _WINDOW
        head, new_blocks = put, put + old_blocks - at
        to[put:new_blocks] = words[at:old_blocks]
        put = new_blocks
        energy = cost = unpriced = blocks = stay = 0
        start = used_offset[home]
        for position in range(start, used_offset[home + 1]):
            slot, drawn = used_slot[position], used_wh[position]
            energy += drawn
            if known[slot]:
                cost += price[slot] * drawn
            else:
                unpriced += drawn
            while slot + first_slot >= words[at + _HEAD + stay * _SEGMENT + _STAY_END]:
                stay += 1
            is_last = position + 1 == used_offset[home + 1] or used_slot[position + 1] != slot + 1
            if is_last or slot + 1 + first_slot == words[at + _HEAD + stay * _SEGMENT + _STAY_END]:
                to[put], to[put + 1] = used_slot[start] + first_slot, position + 1 - start
                put += 2
                for each in range(start, position + 1):
                    to[put] = used_wh[each]
                    put += 1
                start = position + 1
                blocks += 1
        to[head + _BLOCKS] = blocks
        moved[home] = not _same_times(words[old_blocks:], to[new_blocks:], words[at + _BLOCKS], blocks, first_slot)
        charged = arrival = arrival_unpriced = short = 0
        for segment in range(segment_offset[home], segment_offset[home + 1]):
            short += unmet[segment] + words[at + _HEAD + (segment - segment_offset[home]) * _SEGMENT + _BEYOND]
            for window in range(window_offset[segment], window_offset[segment + 1]):
                first, end, cap = window_first[window], window_end[window], window_cap[window]
                early = min(cap * (end - first), min(most[segment] - charged, energy - charged))
                full = early // cap
                rest, last = early - full * cap, first + full
                arrival += cap * (known_sum_up[last] - known_sum_up[first])
                arrival_unpriced += cap * (full - known_sum[last] + known_sum[first])
                if rest:
                    if known[last]:
                        arrival += rest * price[last]
                    else:
                        arrival_unpriced += rest
                charged += early
        totals[0, home], totals[1, home], totals[2, home] = energy, cost, unpriced
        totals[3, home], totals[4, home], totals[5, home] = arrival, arrival_unpriced, short
        to_offset[home + 1] = put
    return put
