"""The positions on walls that an outlet could have, and those that are refused, each with the reason.

Positions stand every ``STEP`` along what is usable of a wall, at its end, where a refused part begins or ends, and
where something that no cable goes through, or that it should go round, meets the wall.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from math import hypot
from typing import Final

import numpy as np
import shapely
from shapely import LineString

from service.advice.domain.siting.assumed import GAS_METER, STEP, TANK, WALL_HALF
from service.advice.domain.siting.drawing import AreaKind, Drawing, Face, MarkKind
from service.advice.domain.siting.ground import Flags, Floats
from service.advice.domain.siting.shapes import (
    Line,
    Point,
    Shape,
    area_shape,
    barred_shape,
    line_of,
    to_go_round_shape,
)

_NUDGE_M: Final = 1e-6
_wall_half, _step = float(WALL_HALF.value), float(STEP.value)


class Side(StrEnum):
    """Which side of a wall, as seen by somebody who walks from its start to its end."""

    LEFT = "left"
    RIGHT = "right"


class Refusal(StrEnum):
    """Why no outlet goes there."""

    GAS_METER = "gas_meter"
    TANK = "tank"
    ESCAPE_ROUTE = "escape_route"
    STRIKE = "strike"


_KEPT_M: Final = {Refusal.GAS_METER: float(GAS_METER.value), Refusal.TANK: float(TANK.value)}
_MARKS: Final = {Refusal.GAS_METER: MarkKind.GAS_METER, Refusal.TANK: MarkKind.TANK}
_AREAS: Final = {Refusal.ESCAPE_ROUTE: AreaKind.ESCAPE_ROUTE, Refusal.STRIKE: AreaKind.STRIKE}


@dataclass(frozen=True, slots=True)
class Stretch:
    """A usable part of one side of a wall, from where to where along it [m]."""

    wall: int
    side: Side
    face: str
    line: Line
    from_m: float
    to_m: float

    def point(self, offset_m: float) -> Point:
        """Return the point on the face of the wall."""
        return self.line.at(offset_m, _wall_half if self.side is Side.LEFT else -_wall_half)


@dataclass(frozen=True, slots=True)
class Positions:
    """Positions to try: which stretch each is on, how far along its wall [m], and where that is [m]."""

    stretches: Sequence[Stretch]
    stretch: np.ndarray[tuple[int], np.dtype[np.int64]]
    offsets_m: Floats
    points: Floats


def usable_stretches(drawing: Drawing) -> list[Stretch]:
    """Return the parts of walls that an outlet may go on: no door, no window, no wall of a room."""
    found = []
    for at, wall in enumerate(drawing.walls):
        line = line_of(wall)
        parts = list(_parts(drawing, at, line.length_m))
        for side, face in ((Side.LEFT, wall.left), (Side.RIGHT, wall.right)):
            if face != Face.HOUSE:
                found += [Stretch(at, side, face, line, start, end) for start, end in parts]
    return found


def positions_on(drawing: Drawing, stretches: Sequence[Stretch], offsets: Sequence[Sequence[float]]) -> Positions:
    """Return positions at offsets along each stretch; those outside the drawing are left out."""
    which = np.array([at for at, each in enumerate(offsets) for _ in each], dtype=np.int64)
    flat = np.array([offset for each in offsets for offset in each], dtype=float)
    points = np.array([stretches[at].point(offset) for at, offset in zip(which, flat, strict=True)]).reshape(-1, 2)
    inside = (points >= 0).all(axis=1) & (points <= [drawing.width_dm / 10, drawing.depth_dm / 10]).all(axis=1)
    return Positions(stretches, which[inside], flat[inside], points[inside])


def first_offsets(drawing: Drawing, stretches: Sequence[Stretch]) -> list[list[float]]:
    """Return the offsets to try on each stretch: every step, its end, and where anything changes all at once."""
    things = [to_go_round_shape(drawing), *(barred_shape(drawing, place) for place in drawing.places)]
    outlines = shapely.unary_union([thing.boundary for thing in things])
    found = []
    for stretch in stretches:
        steps = int((stretch.to_m - stretch.from_m) / _step + 1e-9)
        regular = [stretch.from_m + at * _step for at in range(steps + 1)]
        edges = [*_edges_of_refusals(drawing, stretch), *_meetings(stretch, outlines)]
        found.append(sorted({*regular, stretch.to_m, *(e for e in edges if stretch.from_m < e < stretch.to_m)}))
    return found


def refusals(drawing: Drawing, points: Floats) -> dict[Refusal, Flags]:
    """Return for each reason which of the points it refuses; who keeps exactly the distance is not refused."""
    spots = shapely.points(points)
    found: dict[Refusal, Flags] = {}
    for reason, kind in _MARKS.items():
        flags = np.zeros(len(points), dtype=bool)
        for mark in drawing.marks:
            if mark.kind == kind:
                gaps = np.hypot(points[:, 0] - mark.at[0] / 10, points[:, 1] - mark.at[1] / 10)
                flags |= gaps < _KEPT_M[reason] - 1e-9
        found[reason] = flags
    for reason, area_kind in _AREAS.items():
        flags = np.zeros(len(points), dtype=bool)
        for area in drawing.areas:
            if area.kind == area_kind:
                flags |= shapely.intersects(area_shape(area), spots)
        found[reason] = flags
    return found


def _parts(drawing: Drawing, wall: int, length_m: float) -> Iterator[tuple[float, float]]:
    """Yield what is usable along a wall: the stretches drawn there, or all of it where none is drawn at all."""
    drawn = [(each.from_dm / 10, min(each.to_dm / 10, length_m)) for each in drawing.stretches if each.wall == wall]
    if not drawing.stretches:
        drawn = [(0.0, length_m)]
    gaps = sorted((each.from_dm / 10, each.to_dm / 10) for each in drawing.openings if each.wall == wall)
    for start, end in drawn:
        at = start
        for gap_start, gap_end in gaps:
            if gap_end <= at or gap_start >= end:
                continue
            if gap_start > at:
                yield at, gap_start
            at = max(at, gap_end)
        if at < end:
            yield at, end


def _edges_of_refusals(drawing: Drawing, stretch: Stretch) -> Iterator[float]:
    for reason, kind in _MARKS.items():
        for mark in drawing.marks:
            if mark.kind == kind:
                yield from crossings(stretch, (mark.at[0] / 10, mark.at[1] / 10), _KEPT_M[reason])
    for area in drawing.areas:
        if area.kind in _AREAS.values():
            for offset in _meetings(stretch, area_shape(area).boundary):
                yield from (offset - _NUDGE_M, offset + _NUDGE_M)


def _meetings(stretch: Stretch, outlines: Shape) -> Iterator[float]:
    """Yield the offsets at which the face of a stretch meets outlines."""
    start = stretch.point(stretch.from_m)
    face = LineString([start, stretch.point(stretch.to_m)])
    for x, y in shapely.get_coordinates(face.intersection(outlines)):
        yield stretch.from_m + hypot(x - start[0], y - start[1])


def crossings(stretch: Stretch, centre: Point, radius_m: float) -> list[float]:
    """Return the offsets along a wall at which its face is exactly a distance away from a point."""
    origin = stretch.point(0.0)
    across, down = centre[0] - origin[0], centre[1] - origin[1]
    foot = across * stretch.line.along[0] + down * stretch.line.along[1]
    rest = radius_m**2 - (across**2 + down**2 - foot**2)
    return [] if rest < 0 else [foot - rest**0.5, foot + rest**0.5]
