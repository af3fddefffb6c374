"""One way into the planners of a single car: in any half-hours, one run a night, with or without a late start."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from service.planning.domain.block_kernel import cheapest_blocks, has_one_run_a_night
from service.planning.domain.path_kernel import Int64s, PathBatch, PathPlans, PriceTables, cheapest_paths
from service.planning.domain.start_loss import cheapest_with_start_loss


def cheapest_batch(tables: PriceTables, batch: PathBatch, nights: Int64s | None, start_loss_wh: int) -> PathPlans:
    """Return the best plan of each household of a batch.

    Parameters
    ----------
    nights : array of shape (windows,), optional
        The night of each window, where a car is set to one run a night.
    start_loss_wh : int
        What the longest random delay of a start takes from a run [Wh].
    """
    loss = np.full(len(batch.segment_offset) - 1, start_loss_wh, dtype=np.int64)
    if nights is None:
        return cheapest_with_start_loss(tables, batch, loss) if start_loss_wh else cheapest_paths(tables, batch)
    if start_loss_wh:
        return cheapest_blocks(tables, batch, nights, loss)
    free = cheapest_paths(tables, batch)
    is_best = has_one_run_a_night(batch, nights, free)
    if is_best.all():
        return free
    others = np.flatnonzero(~is_best)
    part, part_nights = _of_households(batch, nights, others)
    return _merged(free, cheapest_blocks(tables, part, part_nights, loss[others]), batch, others)


def _of_households(batch: PathBatch, nights: Int64s, chosen: Int64s) -> tuple[PathBatch, Int64s]:
    """Return some households of a batch as a batch, and their nights."""
    segments = _ranges(batch.segment_offset, chosen)
    windows = _ranges(batch.window_offset, segments)
    part = PathBatch(
        segment_offset=_offsets(np.diff(batch.segment_offset)[chosen]),
        lower_wh=batch.lower_wh[segments],
        upper_wh=batch.upper_wh[segments],
        window_offset=_offsets(np.diff(batch.window_offset)[segments]),
        window_first=batch.window_first[windows],
        window_end=batch.window_end[windows],
        window_cap_wh=batch.window_cap_wh[windows],
    )
    return part, nights[windows]


def _merged(free: PathPlans, other: PathPlans, batch: PathBatch, chosen: Int64s) -> PathPlans:
    """Return plans with those of the chosen households in the place of the free ones."""
    segments = _ranges(batch.segment_offset, chosen)
    unmet, lower, upper, cost = (each.copy() for each in (free.unmet_wh, free.lower_wh, free.upper_wh, free.cost_np))
    unmet[segments], lower[segments], upper[segments] = other.unmet_wh, other.lower_wh, other.upper_wh
    cost[chosen] = other.cost_np
    counts = np.diff(free.used_offset)
    counts[chosen] = np.diff(other.used_offset)
    offset = _offsets(counts)
    slots, energies = np.empty(offset[-1], np.int32), np.empty(offset[-1], np.int64)
    kept = np.setdiff1d(np.arange(len(counts)), chosen)
    for plans, rows, own in ((free, kept, kept), (other, chosen, np.arange(len(chosen)))):
        to, source = _ranges(offset, rows), _ranges(plans.used_offset, own)
        slots[to], energies[to] = plans.used_slot[source], plans.used_wh[source]
    return PathPlans(unmet, lower, upper, cost, offset, slots, energies)


def _ranges(offset: Int64s, chosen: NDArray[np.int64]) -> Int64s:
    """Return the positions that some entries of an offset table stand for, in their order."""
    counts = np.diff(offset)[chosen]
    starts = np.repeat(offset[:-1][chosen] - np.concatenate(([0], np.cumsum(counts)[:-1])), counts)
    return np.asarray(starts + np.arange(int(counts.sum())), dtype=np.int64)


def _offsets(counts: NDArray[np.int64]) -> Int64s:
    return np.concatenate(([0], np.cumsum(counts))).astype(np.int64)
