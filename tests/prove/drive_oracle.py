"""A second, plain way to the best place for an outlet: every few centimetres of every wall, everything tried.

It has its own geometry: obstacles are convex polygons as lists of corners, a way is barred where clipping it by the
half-planes of a polygon leaves something, and ways are found by relaxing until nothing changes. It shares the stated
figures with the service (how thick a wall is, how high a port), written down here once more, and no code.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import permutations
from math import hypot
from typing import Any

import numpy as np

from service.advice.domain.siting.drawing import Drawing
from service.advice.domain.siting.search import CarAtHome

WALL_HALF_M, OFF_M, DOORSTEP_M, SETBACK_M = 0.06, 0.01, 0.9, 0.8
PORT_HEIGHT_M, SLACK_M = 0.8, 0.3
GAS_M, TANK_M = 1.0, 3.0
TOUCH_M = 1e-7
Polygon = np.ndarray[Any, Any]


@dataclass(frozen=True)
class Judged:
    """What a position comes to: cars reached, ways round, crossings, metres on the ground."""

    cars: int
    ways: int
    crossings: int
    ground_m: float

    @property
    def counts(self) -> tuple[int, int, int]:
        """Return what is better where it is greater."""
        return self.cars, self.ways, -self.crossings


class Oracle:
    """One drive with its cars; ``limits`` may be made a little longer or shorter to see what hangs by a thread."""

    def __init__(self, drawing: Drawing, cars: Sequence[CarAtHome]) -> None:
        self.drawing, self.cars = drawing, cars
        self.limits = [car.cable_m - drawing.outlet_height_dm / 10 - PORT_HEIGHT_M - SLACK_M for car in cars]
        walls = [
            _along(_m(w.start), _m(w.end), -WALL_HALF_M, _far(w) + WALL_HALF_M, WALL_HALF_M) for w in drawing.walls
        ]
        footways = [_grown(_area(a)) for a in drawing.areas if a.kind == "footway"]
        paths = [_grown(_area(a)) for a in drawing.areas if a.kind in ("path", "escape_route")]
        paths += [
            _grown(_along(_m(w.start), _m(w.end), o.from_dm / 10, o.to_dm / 10, DOORSTEP_M))
            for o in drawing.openings
            if o.kind == "door"
            for w in [drawing.walls[o.wall]]
        ]
        self.hard = [[*walls, *footways, _grown(self._body(place))] for place in drawing.places]
        self.soft = [[*each, *paths] for each in self.hard]

    def positions(self, step_m: float) -> np.ndarray[Any, Any]:
        """Return every position that is not refused, as rows (x, y, wall, side, offset)."""
        rows = []
        for at, wall in enumerate(self.drawing.walls):
            start, end, far = _m(wall.start), _m(wall.end), _far(wall)
            for side, face in ((1, wall.left), (-1, wall.right)):
                if face == "house":
                    continue
                for offset in [*np.arange(0.0, far, step_m), far]:
                    if self._is_usable(at, offset):
                        x, y = _off(start, end, offset, side * WALL_HALF_M)
                        if self.is_allowed(x, y):
                            rows.append((x, y, at, side, offset))
        return np.array(rows).reshape(-1, 5)

    def is_allowed(self, x: float, y: float) -> bool:
        """Tell whether nothing refuses a point."""
        if not (0 <= x <= self.drawing.width_dm / 10 and 0 <= y <= self.drawing.depth_dm / 10):
            return False
        for mark in self.drawing.marks:
            kept = {"gas_meter": GAS_M, "tank": TANK_M}.get(mark.kind, 0.0)
            if hypot(x - mark.at[0] / 10, y - mark.at[1] / 10) < kept - 1e-9:
                return False
        return not any(_holds(_area(a), x, y) for a in self.drawing.areas if a.kind in ("escape_route", "strike"))

    def judge(self, points: np.ndarray[Any, Any], *, longer_m: float = 0.0) -> list[Judged]:
        """Return what each point (n, 2) comes to with the cars placed as well as can be, with so much more cable."""
        ways = np.array([self._ways(place, points) for place in range(len(self.drawing.places))])
        found = []
        for at in range(len(points)):
            best: Judged | None = None
            for placing in _placings(len(self.cars), len(self.drawing.places)):
                judged = self._judge_placing(placing, ways[..., at], longer_m)
                if best is None or _key(judged) > _key(best):
                    best = judged
            if best is not None:
                found.append(best)
        return found

    def _judge_placing(self, placing: Sequence[int | None], ways: Any, longer_m: float) -> Judged:
        cars = count = crossings = 0
        ground = 0.0
        for car, place in enumerate(placing):
            reached = 0
            for way in (0, 1):
                if place is None:
                    continue
                hard, soft = ways[place, 0, car, way], ways[place, 1, car, way]
                limit = self.limits[car] + longer_m
                if hard <= limit:
                    reached += 1
                    crossings += soft > limit
                    ground += soft if soft <= limit else hard
            cars += reached > 0
            count += reached
        return Judged(cars, count, crossings, ground)

    def _ways(self, place: int, points: np.ndarray[Any, Any]) -> np.ndarray[Any, Any]:
        """Return (hard or soft, car, way, point)."""
        return np.array(
            [
                [[self._lengths(polygons, self._port(car, place, way), points) for way in (0, 1)] for car in self.cars]
                for polygons in (self.hard[place], self.soft[place])
            ]
        )

    def _lengths(self, polygons: list[Polygon], target: tuple[float, float], points: Any) -> np.ndarray[Any, Any]:
        size = np.array([self.drawing.width_dm, self.drawing.depth_dm]) / 10
        corners = np.concatenate(polygons)
        corners = corners[(corners > 0).all(axis=1) & (corners < size).all(axis=1)]
        nodes = np.concatenate([[target], corners])
        between = _seen(polygons, nodes, nodes)
        least = np.full(len(nodes), np.inf)
        least[0] = 0.0
        while True:
            relaxed = np.minimum(least, (between + least[:, None]).min(axis=0))
            if (relaxed == least).all():
                break
            least = relaxed
        return (_seen(polygons, np.asarray(points, dtype=float), nodes) + least).min(axis=1)

    def _is_usable(self, wall: int, offset: float) -> bool:
        """Tell whether a piece of wall with some width is usable there: a single point between two things is not."""
        return any(self._is_free(wall, offset) and self._is_free(wall, offset + to) for to in (-1e-4, 1e-4))

    def _is_free(self, wall: int, offset: float) -> bool:
        far = _far(self.drawing.walls[wall])
        if not 0 <= offset <= far:
            return False
        stretches = [(s.from_dm / 10, min(s.to_dm / 10, far)) for s in self.drawing.stretches if s.wall == wall]
        if self.drawing.stretches and not any(start <= offset <= end for start, end in stretches):
            return False
        gaps = [(o.from_dm / 10, o.to_dm / 10) for o in self.drawing.openings if o.wall == wall]
        return not any(start < offset < end for start, end in gaps)

    def _body(self, place: Any) -> Polygon:
        far = _far(place)
        length, width = self._size(place)
        return _along(_m(place.start), _m(place.end), (far - length) / 2, (far + length) / 2, width / 2)

    def _size(self, place: Any) -> tuple[float, float]:
        return min(self.drawing.car_length_dm / 10, _far(place)), min(self.drawing.car_width_dm, place.width_dm) / 10

    def _port(self, car: CarAtHome, at: int, way: int) -> tuple[float, float]:
        place = self.drawing.places[at]
        length, width = self._size(place)
        facing = 1 if way == 0 else -1
        if car.port in ("nose", "tail"):
            ahead, aside = (length / 2 + OFF_M) * (1 if car.port == "nose" else -1), 0.0
        else:
            front, left = car.port.split("_")
            ahead = max(length / 2 - SETBACK_M, 0.0) * (1 if front == "front" else -1)
            aside = (width / 2 + OFF_M) * (1 if left == "left" else -1)
        return _off(_m(place.start), _m(place.end), _far(place) / 2 + facing * ahead, facing * aside)


def _key(judged: Judged) -> tuple[int, int, int, float]:
    return (*judged.counts, -judged.ground_m)


def _placings(cars: int, places: int) -> Iterable[tuple[int | None, ...]]:
    slots: list[int | None] = [*range(places), *[None] * max(0, cars - places)]
    return set(permutations(slots, cars))


def _m(spot: tuple[int, int]) -> tuple[float, float]:
    return spot[0] / 10, spot[1] / 10


def _far(line: Any) -> float:
    return hypot(line.end[0] - line.start[0], line.end[1] - line.start[1]) / 10


def _off(start: Any, end: Any, ahead: float, left: float) -> tuple[float, float]:
    """Return the point so far along a line and so far to its left, with y down the page."""
    far = hypot(end[0] - start[0], end[1] - start[1])
    ux, uy = (end[0] - start[0]) / far, (end[1] - start[1]) / far
    return start[0] + ahead * ux + left * uy, start[1] + ahead * uy - left * ux


def _along(start: Any, end: Any, first: float, last: float, half: float) -> Polygon:
    return _wound([_off(start, end, *each) for each in ((first, half), (last, half), (last, -half), (first, -half))])


def _area(area: Any) -> Polygon:
    return _wound([_m(corner) for corner in area.corners])


def _wound(corners: Sequence[tuple[float, float]]) -> Polygon:
    """Return corners in the sense in which the outside is to the right of each edge."""
    points = np.array(corners, dtype=float)
    turned = np.roll(points, -1, axis=0)
    twice = (points[:, 0] * turned[:, 1] - points[:, 1] * turned[:, 0]).sum()
    return points if twice > 0 else points[::-1]


def _planes(polygon: Polygon) -> tuple[Any, Any]:
    """Return outward normals and offsets: inside is normal . x < offset."""
    edges = np.roll(polygon, -1, axis=0) - polygon
    normals = np.stack([edges[:, 1], -edges[:, 0]], axis=1) / np.hypot(edges[:, 0], edges[:, 1])[:, None]
    return normals, (normals * polygon).sum(axis=1)


def _grown(polygon: Polygon) -> Polygon:
    """Return the polygon with every edge moved out by ``OFF_M``."""
    normals, offsets = _planes(polygon)
    moved = offsets + OFF_M
    before = np.roll(np.arange(len(polygon)), 1)
    return np.array(
        [np.linalg.solve(np.stack([normals[b], normals[a]]), [moved[b], moved[a]]) for a, b in enumerate(before)]
    )


def _holds(polygon: Polygon, x: float, y: float) -> bool:
    normals, offsets = _planes(polygon)
    return bool((normals @ np.array([x, y]) <= offsets).all())


def _seen(polygons: list[Polygon], starts: Any, ends: Any) -> np.ndarray[Any, Any]:
    """Return straight lengths (starts, ends), infinite where a polygon is in the way."""
    ways = ends[None, :, :] - starts[:, None, :]
    lengths = np.hypot(ways[..., 0], ways[..., 1])
    is_barred = np.zeros(lengths.shape, dtype=bool)
    for polygon in polygons:
        normals, offsets = _planes(polygon)
        enters, leaves = np.zeros(lengths.shape), np.ones(lengths.shape)
        for normal, offset in zip(normals, offsets - TOUCH_M, strict=True):
            room = (offset - starts @ normal)[:, None]
            pace = ways @ normal
            with np.errstate(divide="ignore", invalid="ignore"):
                at = np.where(pace != 0, room / pace, 0.0)
            leaves = np.where(pace > 0, np.minimum(leaves, at), leaves)
            enters = np.where(pace < 0, np.maximum(enters, at), enters)
            leaves = np.where((pace == 0) & (room <= 0), -1.0, leaves)
        is_barred |= enters < leaves
    return np.where(is_barred, np.inf, lengths)
