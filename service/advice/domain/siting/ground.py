"""The shortest way of a cable on the ground round what it may not go through.

A shortest way bends only at corners of what it goes round. So the corners that see each other are joined, the least
way from the end of the cable to each corner is found once (Dijkstra), and a way from any other point is the least of
"straight to a corner that it sees, and on from there". Nothing goes round the edge of the drawing.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
import numpy.typing as npt
import shapely

from service.advice.domain.siting.shapes import Point, Shape

Floats = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]

TOUCH_M: Final = 1e-7  # a cable may touch what it goes round
LINES_AT_ONCE: Final = 200_000


@dataclass(frozen=True, slots=True)
class Spread:
    """Ways to one point [m]: from each corner (infinite where there is none), and which corner comes next (-1: it)."""

    target: Point
    lengths_m: Floats
    next_corner: npt.NDArray[np.int64]


class Ground:
    """Ground with things on it; ways longer than ``longest_m`` are not looked for."""

    def __init__(self, barred: Shape, *, width_m: float, depth_m: float, longest_m: float) -> None:
        self._solid = barred.buffer(-TOUCH_M, join_style="mitre", mitre_limit=1000.0)
        shapely.prepare(self._solid)
        self._longest_m = longest_m
        corners = np.unique(shapely.get_coordinates(barred), axis=0).reshape(-1, 2)
        inside = (corners > 0).all(axis=1) & (corners < np.array([width_m, depth_m])).all(axis=1)
        self.corners: Floats = corners[inside]
        self._between = self._seen_lengths(self.corners, self.corners)

    def spread(self, target: Point) -> Spread:
        """Return the ways from every corner to a point."""
        lengths = self._seen_lengths(np.array([target]), self.corners)[0]
        following = np.full(len(lengths), -1, dtype=np.int64)
        is_done = np.zeros(len(lengths), dtype=bool)
        for _ in range(len(lengths)):
            nearest = int(np.argmin(np.where(is_done, np.inf, lengths)))
            if is_done[nearest] or not np.isfinite(lengths[nearest]):
                break
            is_done[nearest] = True
            over = lengths[nearest] + self._between[nearest]
            is_shorter = over < lengths
            lengths = np.where(is_shorter, over, lengths)
            following[is_shorter] = nearest
        return Spread(target, lengths, following)

    def lengths(self, points: Floats, spreads: Sequence[Spread]) -> Floats:
        """Return the ways [m] from points (n, 2) to the targets of spreads, shape (spreads, n); infinite: none."""
        if not len(points):
            return np.full((len(spreads), 0), np.inf)
        onwards = np.array([each.lengths_m for each in spreads]).min(axis=0, initial=np.inf)
        to_corners = self._seen_lengths(points, self.corners, onwards)
        direct = self._seen_lengths(np.array([each.target for each in spreads]).reshape(-1, 2), points)
        over = [(to_corners + each.lengths_m).min(axis=1, initial=np.inf) for each in spreads]
        least: Floats = np.minimum(direct, np.array(over).reshape(len(spreads), len(points)))
        return least

    def route(self, point: Point, spread: Spread) -> list[Point]:
        """Return the shortest way from a point to a spread's target, bend by bend; empty where there is none."""
        here = np.array([point])
        to_corners = self._seen_lengths(here, self.corners)[0] + spread.lengths_m
        direct = self._seen_lengths(here, np.array([spread.target]))[0, 0]
        first = int(np.argmin(to_corners)) if len(to_corners) else -1
        over = to_corners[first] if len(to_corners) else np.inf
        if not np.isfinite(min(over, direct)):
            return []
        bends: list[Point] = []
        corner = -1 if direct <= over else first
        while corner != -1:
            bends.append((float(self.corners[corner][0]), float(self.corners[corner][1])))
            corner = int(spread.next_corner[corner])
        return _without_repeats([point, *bends, spread.target])

    def _seen_lengths(self, starts: Floats, ends: Floats, onwards: Floats | float = 0.0) -> Floats:
        """Return the straight lengths between points that see each other, shape (starts, ends); else infinite.

        Where a length with the least way ``onwards`` from its end is longer than any cable, nobody looks.
        """
        gaps = starts[:, None, :] - ends[None, :, :]
        lengths: Floats = np.hypot(gaps[..., 0], gaps[..., 1])
        is_near = lengths + onwards <= self._longest_m
        near = np.argwhere(is_near)
        for first in range(0, len(near), LINES_AT_ONCE):
            pairs = near[first : first + LINES_AT_ONCE]
            lines = shapely.linestrings(np.stack([starts[pairs[:, 0]], ends[pairs[:, 1]]], axis=1))
            hidden = pairs[shapely.intersects(self._solid, lines)]
            lengths[hidden[:, 0], hidden[:, 1]] = np.inf
        lengths[~is_near] = np.inf
        return lengths


def _without_repeats(way: list[Point]) -> list[Point]:
    """Return a way without points that are hardly apart: a position may stand on a corner."""
    kept = way[:1]
    for point in way[1:]:
        if np.hypot(point[0] - kept[-1][0], point[1] - kept[-1][1]) > 1e-3:
            kept.append(point)
    return kept
