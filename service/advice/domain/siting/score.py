"""Which of the positions is best.

More cars reached come first, then more ways round, then fewer crossings of a path, then the shortest cable on the
ground, then the shortest fixed run.

Every car stands in a place of its own where there are enough. A position that reaches every car both ways round has
the most of the first two counts that there are. Lengths are compared by whole decimetres,
and exactly only where all else is equal.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations, permutations
from typing import Final

import numpy as np
import numpy.typing as npt

from service.advice.domain.siting.ground import Floats
from service.advice.domain.siting.search import Found

Wholes = npt.NDArray[np.int64]
NO_RUN_DM: Final = 1_000_000
"""What a fixed run that is not known counts as."""
APART_M: Final = 1.0
"""Own choice: a runner-up is at least so far from what is better."""


@dataclass(frozen=True, slots=True)
class Ranked:
    """Positions by rank; ``order`` are indexes, the best first, without those refused."""

    order: Wholes
    cars: Wholes
    ways: Wholes
    crossings: Wholes
    ground_dm: Wholes
    run_dm: Wholes
    # which place each car stands in at each position, -1: in none
    placing: Wholes


def ranked(found: Found) -> Ranked:
    """Rank the positions.

    Notes
    -----
    At each position the cars are given the places in which most is reached there, by the same order of questions.
    """
    reached, laid = found.is_reached, np.where(found.is_reached, found.laid_m, 0.0)
    ways = reached.sum(axis=2)
    crossings = found.is_crossing.sum(axis=2)
    ground_m = laid.sum(axis=2)
    best: tuple[Wholes, ...] | None = None
    for placing in placings(*ways.shape[:2]):
        counted = _totals(placing, ways, crossings, ground_m)
        best = counted if best is None else _better(best, counted)
    if best is None:
        raise ValueError("there are no places")
    cars, neg_ways, crossed, ground_dm, ground_m_at, placed = best
    run_dm = np.where(np.isfinite(found.runs_m), found.runs_m * 10, NO_RUN_DM).round().astype(np.int64)
    order = np.lexsort(
        (found.positions.offsets_m, found.positions.stretch, ground_m_at, run_dm, ground_dm, crossed, neg_ways, cars)
    )
    order = order[~found.is_refused[order]]
    return Ranked(order, -cars, -neg_ways, crossed, ground_dm, run_dm, placed)


def apart(found: Found, order: Sequence[int] | Wholes, most: int) -> list[int]:
    """Return the best positions that lie apart from each other, the best first."""
    kept: list[int] = []
    for at in order:
        gaps = [np.hypot(*(found.positions.points[at] - found.positions.points[other])) for other in kept]
        if all(gap >= APART_M for gap in gaps):
            kept.append(int(at))
        if len(kept) == most:
            break
    return kept


def placings(cars: int, places: int) -> Iterator[tuple[int, ...]]:
    """Yield every way of giving cars a place of their own, -1 for cars left over.

    >>> list(placings(1, 2)), list(placings(2, 1))
    ([(0,), (1,)], [(0, -1), (-1, 0)])
    """
    if cars <= places:
        yield from permutations(range(places), cars)
        return
    for standing in combinations(range(cars), places):
        for own in permutations(range(places)):
            given = dict(zip(standing, own, strict=True))
            yield tuple(given.get(car, -1) for car in range(cars))


def _totals(placing: tuple[int, ...], ways: Wholes, crossings: Wholes, ground_m: Floats) -> tuple[Wholes, ...]:
    """Return (-cars, -ways, crossings, ground [dm], ground [m], placing) at each position: less is better."""
    standing = [(car, place) for car, place in enumerate(placing) if place >= 0]
    own = np.array([ways[car, place] for car, place in standing])
    ground = np.array([ground_m[car, place] for car, place in standing]).sum(axis=0)
    placed = np.repeat(np.array(placing, dtype=np.int64)[:, None], own.shape[1], axis=1)
    return (
        -(own > 0).sum(axis=0),
        -own.sum(axis=0),
        np.array([crossings[car, place] for car, place in standing]).sum(axis=0),
        (ground * 10).round().astype(np.int64),
        ground,
        placed,
    )


def _better(one: tuple[Wholes, ...], other: tuple[Wholes, ...]) -> tuple[Wholes, ...]:
    """Return position by position whichever totals come first; the one, where they are equal."""
    is_other = np.zeros(one[0].shape, dtype=bool)
    is_tied = np.ones(one[0].shape, dtype=bool)
    for left, right in zip(one[:4], other[:4], strict=True):
        is_other |= is_tied & (right < left)
        is_tied &= right == left
    return tuple(np.where(is_other, right, left) for left, right in zip(one, other, strict=True))
