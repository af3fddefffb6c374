"""A second oracle for one-vehicle weeks: all households of a batch advance together, in numpy alone.

It goes the other way about it than the kernel. The kernel meets one departure after another from the
cheapest half-hours; here one half-hour after another, cheapest first, is filled in every household as far
as its bounds can still all be kept, until prices stop paying for it; then the least total is fixed and the
rest follow. That is the greedy rule of a polymatroid, so it is exact for whole numbers too.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from service.planning.domain.path_kernel import Window

Grid: TypeAlias = NDArray[np.int64]
Household: TypeAlias = tuple[Sequence[int], Sequence[int], Sequence[Sequence[Window]]]


@dataclass(frozen=True)
class LockstepPlans:
    """For each household: unmet energy of each segment, shape (households, segments), and of each half-hour what it
    draws, shape (households, slots) [Wh]; shorter households are padded with zeros."""

    unmet_wh: Grid
    energy_wh: Grid


def lockstep_plans(price_up: NDArray[np.int64], households: Sequence[Household]) -> LockstepPlans:
    """Return the best plans of households on one price vector: least unmet, then least cost, then earliest."""
    lower, upper, cap, segment_of = _grids(households, len(price_up))
    capacity = np.stack([(cap * (segment_of == segment)).sum(axis=1) for segment in range(lower.shape[1])], axis=1)
    lower, upper, unmet = _met(lower, upper, capacity)
    energy = np.zeros_like(cap)
    drawn = np.zeros_like(lower)  # decided so far, by segment
    everyone = np.arange(len(households))
    is_paid = True
    for slot in np.lexsort((np.arange(len(price_up)), price_up)):
        if is_paid and price_up[slot] >= 0:
            is_paid = False
            least = _least_by(lower, drawn)[:, -1]
            upper = np.minimum(upper, least[:, np.newaxis])
            lower[:, -1] = least
        segment, room = segment_of[:, slot], cap[:, slot]
        before = np.concatenate([np.zeros((len(households), 1), dtype=np.int64), _least_by(lower, drawn)], axis=1)
        spare = _most_by(upper, drawn)[everyone, segment] - before[everyone, segment] - drawn[everyone, segment]
        taken = np.minimum(room, spare)
        if (taken < 0).any():
            raise AssertionError("bounds that could be kept cannot be kept any more")
        energy[:, slot] = taken
        drawn[everyone, segment] += taken
    if (_least_by(lower, drawn)[:, -1] != drawn.sum(axis=1)).any():
        raise AssertionError("a need that can be met was not met")
    return LockstepPlans(unmet, energy)


def _grids(households: Sequence[Household], slots: int) -> tuple[Grid, Grid, Grid, Grid]:
    """Return bounds (households, segments) and each half-hour's cap and segment (households, slots)."""
    segments = max(len(lower) for lower, _, _ in households)
    lower_grid, upper_grid = (np.zeros((len(households), segments), dtype=np.int64) for _ in range(2))
    cap, segment_of = (np.zeros((len(households), slots), dtype=np.int64) for _ in range(2))
    for row, (lower, upper, groups) in enumerate(households):
        lower_grid[row], upper_grid[row] = lower[-1], upper[-1]
        lower_grid[row, : len(lower)], upper_grid[row, : len(upper)] = lower, upper
        for segment, windows in enumerate(groups):
            for first, end, cap_wh in windows:
                cap[row, first:end], segment_of[row, first:end] = cap_wh, segment
    return lower_grid, upper_grid, cap, segment_of


def _met(lower: Grid, upper: Grid, capacity: Grid) -> tuple[Grid, Grid, Grid]:
    """Return bounds that can be kept, in terms of energy really charged, and what of each need no plan can meet.

    What is charged elsewhere for one departure is there for later ones, so it counts against their bounds too.
    """
    least = np.maximum.accumulate(np.maximum(lower, 0), axis=1)
    most = np.minimum.accumulate(np.maximum(upper, least)[:, ::-1], axis=1)[:, ::-1]
    unmet = np.zeros_like(least)
    reach = np.zeros(len(least), dtype=np.int64)
    for segment in range(least.shape[1]):
        reach = np.minimum(most[:, segment], reach + capacity[:, segment])
        unmet[:, segment] = np.maximum(0, least[:, segment] - reach)
        reach = reach + unmet[:, segment]
    elsewhere = np.cumsum(unmet, axis=1)
    least, most = least - elsewhere, most - elsewhere
    return least, np.minimum.accumulate(most[:, ::-1], axis=1)[:, ::-1], unmet


def _least_by(lower: Grid, drawn: Grid) -> Grid:
    """Return the least total by each segment's end that keeps all lower bounds up to it."""
    total = np.cumsum(drawn, axis=1)
    return np.maximum(np.maximum.accumulate(lower - total, axis=1), 0) + total


def _most_by(upper: Grid, drawn: Grid) -> Grid:
    """Return the greatest total by each segment's end that keeps all upper bounds from it on."""
    total = np.cumsum(drawn, axis=1)
    return np.minimum.accumulate((upper - total)[:, ::-1], axis=1)[:, ::-1] + total
