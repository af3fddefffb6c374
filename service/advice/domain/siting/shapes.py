"""A drawing as shapes in metres: what a cable may not go through, what it should not cross, where ports are."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import hypot
from typing import Any, Final

import shapely
from shapely import LineString, Polygon

from service.advice.domain.siting.assumed import CLEARANCE, DOORSTEP, PORT_SETBACK, WALL_HALF
from service.advice.domain.siting.drawing import Area, AreaKind, Drawing, OpeningKind, Place, Spot, Wall
from service.households.domain.equipment import PortPosition

Point = tuple[float, float]
"""A point [m]."""
Shape = Any
"""A shapely geometry in metres; shapely has no types of its own."""

MITRE_LIMIT: Final = 1000.0  # corners stay corners, however sharp
# Kinds of ground that no cable may lie across, and that it should go round where it can.
BARRED: Final = frozenset({AreaKind.FOOTWAY})
TO_GO_ROUND: Final = frozenset({AreaKind.PATH, AreaKind.ESCAPE_ROUTE})
_FRONT: Final = frozenset({PortPosition.FRONT_LEFT, PortPosition.FRONT_RIGHT})
_LEFT: Final = frozenset({PortPosition.FRONT_LEFT, PortPosition.REAR_LEFT})
_wall_half, _clearance = float(WALL_HALF.value), float(CLEARANCE.value)
_setback, _doorstep = float(PORT_SETBACK.value), float(DOORSTEP.value)


@dataclass(frozen=True, slots=True)
class Line:
    """A straight line in metres: where it starts, its direction, the normal to its left, its length."""

    start: Point
    along: Point
    left: Point
    length_m: float

    @classmethod
    def between(cls, start: Spot, end: Spot) -> Line:
        """Return the line from one point of a drawing to another."""
        across, down = (end[0] - start[0]) / 10, (end[1] - start[1]) / 10
        length = hypot(across, down)
        along = (across / length, down / length)
        # y runs down the page: left of somebody who walks along it is (y, -x)
        return cls((start[0] / 10, start[1] / 10), along, (along[1], -along[0]), length)

    def at(self, offset_m: float, left_m: float = 0.0) -> Point:
        """Return the point at an offset along the line and to its left [m]."""
        return (
            self.start[0] + offset_m * self.along[0] + left_m * self.left[0],
            self.start[1] + offset_m * self.along[1] + left_m * self.left[1],
        )

    def box(self, from_m: float, to_m: float, half_width_m: float) -> Polygon:
        """Return the rectangle along a part of the line, to both sides of it."""
        corners = ((from_m, half_width_m), (to_m, half_width_m), (to_m, -half_width_m), (from_m, -half_width_m))
        return Polygon([self.at(*corner) for corner in corners])


def line_of(wall: Wall | Place) -> Line:
    """Return the line of a wall, or of a parking place in the direction in which a car drives in."""
    return Line.between(wall.start, wall.end)


def area_shape(area: Area) -> Polygon:
    """Return an area as drawn."""
    return Polygon([(x / 10, y / 10) for x, y in area.corners])


def walls_shape(drawing: Drawing) -> Shape:
    """Return the walls, as thick as ``WALL_HALF`` says and joined where they meet."""
    lines = [LineString([(w.start[0] / 10, w.start[1] / 10), (w.end[0] / 10, w.end[1] / 10)]) for w in drawing.walls]
    return shapely.unary_union(
        [line.buffer(_wall_half, cap_style="square", join_style="mitre", mitre_limit=MITRE_LIMIT) for line in lines]
    )


def car_shape(drawing: Drawing, place: Place) -> Polygon:
    """Return the body of a car in the middle of a place; it never sticks out of the place."""
    line = line_of(place)
    length, width = _car_size(drawing, place, line)
    middle = line.length_m / 2
    return line.box(middle - length / 2, middle + length / 2, width / 2)


def place_shape(place: Place) -> Polygon:
    """Return a parking place."""
    line = line_of(place)
    return line.box(0, line.length_m, place.width_dm / 20)


def port_spot(drawing: Drawing, place: Place, port: str, *, is_nose_in: bool) -> Point:
    """Return where a plug goes in, just off the body; left and right are those of the driver's seat."""
    line = line_of(place)
    length, width = _car_size(drawing, place, line)
    middle, facing = line.length_m / 2, 1 if is_nose_in else -1
    if port in (PortPosition.NOSE, PortPosition.TAIL):
        ahead = facing if port == PortPosition.NOSE else -facing
        return line.at(middle + ahead * (length / 2 + _clearance))
    ahead = facing if port in _FRONT else -facing
    side = facing if port in _LEFT else -facing
    return line.at(middle + ahead * max(length / 2 - _setback, 0), side * (width / 2 + _clearance))


def doorsteps(drawing: Drawing) -> list[Polygon]:
    """Return the ground in front of and behind each door."""
    return [
        line_of(drawing.walls[each.wall]).box(each.from_dm / 10, each.to_dm / 10, _doorstep)
        for each in drawing.openings
        if each.kind == OpeningKind.DOOR
    ]


def barred_shape(drawing: Drawing, place: Place) -> Shape:
    """Return what no cable to a car in that place goes through: walls, its own body, a public footway."""
    return shapely.unary_union([walls_shape(drawing), _grown([car_shape(drawing, place), *_areas(drawing, BARRED)])])


def to_go_round_shape(drawing: Drawing) -> Shape:
    """Return what a cable should not cross: paths, escape routes, doorsteps."""
    return _grown([*_areas(drawing, TO_GO_ROUND), *doorsteps(drawing)])


def _areas(drawing: Drawing, kinds: frozenset[AreaKind]) -> Iterable[Polygon]:
    return (area_shape(area) for area in drawing.areas if area.kind in kinds)


def _grown(shapes: Iterable[Polygon]) -> Shape:
    """Return shapes with the clearance that a cable keeps from them, joined where they meet."""
    return shapely.unary_union(
        [each.buffer(_clearance, join_style="mitre", mitre_limit=MITRE_LIMIT) for each in shapes]
    )


def _car_size(drawing: Drawing, place: Place, line: Line) -> tuple[float, float]:
    return min(drawing.car_length_dm / 10, line.length_m), min(drawing.car_width_dm, place.width_dm) / 10
