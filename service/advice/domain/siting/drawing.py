"""A drawing of the drive from above, checked as it is put together: every fault of it is named at once.

Positions are whole decimetres from the top left corner, x to the right and y down the page, so that a point is
exactly where it was tapped. A wall is a line; what hangs on it (a door, a window, a stretch an outlet may go on) says
from where to where along it. Left and right of a wall are those of somebody walking from its start to its end.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import asdict, dataclass
from enum import StrEnum
from math import hypot
from typing import Any

from shapely import Polygon

from service.advice.domain.siting.assumed import OUTLET_HEIGHT_LEAST, OUTLET_HEIGHT_MOST
from service.common.errors import Fault
from service.households.domain.ranges import known_word, refuse, text_within

Spot = tuple[int, int]
"""A point [dm]."""

# Own bounds: larger than a drive, small enough to be worked out while somebody waits.
SIDE_MIN_DM, SIDE_MAX_DM = 40, 400
WALLS_MAX, HANGINGS_MAX, PLACES_MAX, AREAS_MAX, MARKS_MAX = 16, 16, 4, 12, 12
CORNERS_MIN, CORNERS_MAX = 3, 8
WALLS_LENGTH_MAX_DM = 800
CABLE_MIN_DM, CABLE_MAX_DM = 10, 200
HEIGHT_MIN_DM, HEIGHT_MAX_DM = int(OUTLET_HEIGHT_LEAST.value * 10), int(OUTLET_HEIGHT_MOST.value * 10)
LABEL_MAX = 40


class Face(StrEnum):
    """What one side of a wall looks on; an outlet goes outdoors or in a garage."""

    OUTDOORS = "outdoors"
    GARAGE = "garage"
    HOUSE = "house"


class OpeningKind(StrEnum):
    """What breaks a wall."""

    DOOR = "door"
    WINDOW = "window"


class AreaKind(StrEnum):
    """What the ground is used for."""

    PATH = "path"
    FOOTWAY = "footway"
    LAWN = "lawn"
    ESCAPE_ROUTE = "escape_route"
    STRIKE = "strike"


class MarkKind(StrEnum):
    """A thing at a point that an outlet keeps away from, or that somebody must look at."""

    GAS_METER = "gas_meter"
    TANK = "tank"
    METALWORK = "metalwork"


@dataclass(frozen=True, slots=True)
class Wall:
    """A straight piece of wall, and what each of its sides looks on."""

    start: Spot
    end: Spot
    left: str = Face.OUTDOORS
    right: str = Face.OUTDOORS

    @property
    def length_dm(self) -> float:
        """Return its length [dm]."""
        return hypot(self.end[0] - self.start[0], self.end[1] - self.start[1])


@dataclass(frozen=True, slots=True)
class Stretch:
    """From where to where along a wall [dm] an outlet may go; where none is drawn, any wall will do."""

    wall: int
    from_dm: int
    to_dm: int


@dataclass(frozen=True, slots=True)
class Opening:
    """A door or window, from where to where along a wall [dm]."""

    wall: int
    from_dm: int
    to_dm: int
    kind: str


@dataclass(frozen=True, slots=True)
class Place:
    """Where a car stands: from the middle of the side it drives in by to the middle of the other."""

    label: str
    start: Spot
    end: Spot
    width_dm: int = 24

    @property
    def length_dm(self) -> float:
        """Return its length [dm]."""
        return hypot(self.end[0] - self.start[0], self.end[1] - self.start[1])


@dataclass(frozen=True, slots=True)
class Area:
    """A piece of ground, corner by corner."""

    kind: str
    corners: tuple[Spot, ...]


@dataclass(frozen=True, slots=True)
class Mark:
    """A thing at a point."""

    kind: str
    at: Spot


@dataclass(frozen=True, slots=True)
class Drawing:
    """A drive; ``cable_dm`` is a cable to reckon with instead of the cars' own [dm], None where theirs count.

    Raises ``Rejected`` with every fault, named by its path in the drawing.
    """

    width_dm: int = 160
    depth_dm: int = 120
    walls: tuple[Wall, ...] = ()
    stretches: tuple[Stretch, ...] = ()
    openings: tuple[Opening, ...] = ()
    places: tuple[Place, ...] = ()
    areas: tuple[Area, ...] = ()
    marks: tuple[Mark, ...] = ()
    consumer_unit: Spot | None = None
    outlet_height_dm: int = 10
    cable_dm: int | None = None
    car_length_dm: int = 45
    car_width_dm: int = 19

    def __post_init__(self) -> None:
        refuse(
            _metres("width_m", self.width_dm, SIDE_MIN_DM, SIDE_MAX_DM),
            _metres("depth_m", self.depth_dm, SIDE_MIN_DM, SIDE_MAX_DM),
            _metres("outlet_height_m", self.outlet_height_dm, HEIGHT_MIN_DM, HEIGHT_MAX_DM),
            _metres("car_length_m", self.car_length_dm, 20, 70),
            _metres("car_width_m", self.car_width_dm, 10, 30),
            () if self.cable_dm is None else _metres("cable_m", self.cable_dm, CABLE_MIN_DM, CABLE_MAX_DM),
            () if self.consumer_unit is None else self._inside("consumer_unit", self.consumer_unit),
            self._wall_faults(),
            self._hanging_faults("stretches", self.stretches),
            self._hanging_faults("openings", self.openings),
            self._place_faults(),
            self._area_faults(),
            self._mark_faults(),
        )

    def to_json(self) -> dict[str, Any]:
        """Return the drawing as a value that json.dumps accepts."""
        return asdict(self)

    @classmethod
    def from_json(cls, value: dict[str, Any]) -> Drawing:
        """Return the drawing that ``to_json`` wrote."""
        return drawing_of(value)

    def _inside(self, field: str, spot: Spot) -> Iterator[Fault]:
        if not (0 <= spot[0] <= self.width_dm and 0 <= spot[1] <= self.depth_dm):
            yield Fault(field, [spot[0] / 10, spot[1] / 10], "lies outside the drawing")

    def _wall_faults(self) -> Iterator[Fault]:
        yield from _not_more("walls", self.walls, WALLS_MAX)
        for at, wall in enumerate(self.walls):
            yield from self._inside(f"walls.{at}.start", wall.start)
            yield from self._inside(f"walls.{at}.end", wall.end)
            yield from known_word(f"walls.{at}.left", wall.left, Face)
            yield from known_word(f"walls.{at}.right", wall.right, Face)
            if wall.start == wall.end:
                yield Fault(f"walls.{at}.end", _shown(wall.end), "must be another point than the start")
        if sum(wall.length_dm for wall in self.walls) > WALLS_LENGTH_MAX_DM:
            yield Fault("walls", len(self.walls), f"must not be longer than {WALLS_LENGTH_MAX_DM // 10} m in all")

    def _hanging_faults(self, field: str, hangings: Sequence[Stretch | Opening]) -> Iterator[Fault]:
        yield from _not_more(field, hangings, HANGINGS_MAX)
        for at, each in enumerate(hangings):
            if isinstance(each, Opening):
                yield from known_word(f"{field}.{at}.kind", each.kind, OpeningKind)
            if not 0 <= each.wall < len(self.walls):
                yield Fault(f"{field}.{at}.wall", each.wall, "is not a wall of the drawing")
                continue
            if not 0 <= each.from_dm < each.to_dm:
                yield Fault(f"{field}.{at}.to_m", each.to_dm / 10, "must lie beyond where it begins")
            elif each.to_dm > self.walls[each.wall].length_dm + 1:
                yield Fault(f"{field}.{at}.to_m", each.to_dm / 10, "lies beyond the end of its wall")

    def _place_faults(self) -> Iterator[Fault]:
        yield from _not_more("places", self.places, PLACES_MAX)
        for at, place in enumerate(self.places):
            yield from text_within(f"places.{at}.label", place.label, LABEL_MAX, is_required=True)
            yield from self._inside(f"places.{at}.start", place.start)
            yield from self._inside(f"places.{at}.end", place.end)
            yield from _metres(f"places.{at}.width_m", place.width_dm, 15, 60)
            if not 30 <= place.length_dm <= 100:
                rule = "must lie between 3 and 10 m from where the car drives in"
                yield Fault(f"places.{at}.end", _shown(place.end), rule)

    def _area_faults(self) -> Iterator[Fault]:
        yield from _not_more("areas", self.areas, AREAS_MAX)
        for at, area in enumerate(self.areas):
            yield from known_word(f"areas.{at}.kind", area.kind, AreaKind)
            for position, corner in enumerate(area.corners):
                yield from self._inside(f"areas.{at}.corners.{position}", corner)
            if not CORNERS_MIN <= len(area.corners) <= CORNERS_MAX:
                rule = f"must have {CORNERS_MIN} to {CORNERS_MAX} corners"
                yield Fault(f"areas.{at}.corners", len(area.corners), rule)
            elif not Polygon(area.corners).is_valid or Polygon(area.corners).area == 0:
                rule = "must go round one piece of ground without crossing itself"
                yield Fault(f"areas.{at}.corners", len(area.corners), rule)

    def _mark_faults(self) -> Iterator[Fault]:
        yield from _not_more("marks", self.marks, MARKS_MAX)
        for at, mark in enumerate(self.marks):
            yield from known_word(f"marks.{at}.kind", mark.kind, MarkKind)
            yield from self._inside(f"marks.{at}.at", mark.at)


def drawing_of(value: dict[str, Any]) -> Drawing:
    """Build a drawing from plain values as the API and the store hold them; raises ``Rejected``."""
    lists: dict[str, type] = {
        "walls": Wall, "stretches": Stretch, "openings": Opening, "places": Place, "areas": Area, "marks": Mark,
    }  # fmt: skip
    given = dict(value)
    for name, kind in lists.items():
        given[name] = tuple(kind(**_spots(each)) for each in given.get(name, ()))
    return Drawing(**_spots(given))


def _spots(value: dict[str, Any]) -> dict[str, Any]:
    """Return the same with pairs of numbers as points."""
    spots = {name: tuple(value[name]) for name in ("start", "end", "at", "consumer_unit") if value.get(name)}
    corners = {"corners": tuple(tuple(each) for each in value["corners"])} if "corners" in value else {}
    return {**value, **spots, **corners}


def _metres(field: str, value_dm: int, low_dm: int, high_dm: int) -> Iterator[Fault]:
    if not low_dm <= value_dm <= high_dm:
        yield Fault(field, value_dm / 10, f"must lie between {low_dm / 10:g} and {high_dm / 10:g} m")


def _not_more(field: str, items: Sequence[object], most: int) -> Iterator[Fault]:
    if len(items) > most:
        yield Fault(field, len(items), f"must be at most {most}")


def _shown(spot: Spot) -> list[float]:
    return [spot[0] / 10, spot[1] / 10]
