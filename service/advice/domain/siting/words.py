"""How a place for the outlet is said: plain words, each caution with where its figure comes from."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import shapely
from shapely import LineString

from service.advice.domain.siting import assumed
from service.advice.domain.siting.candidates import Refusal
from service.advice.domain.siting.drawing import AreaKind, Drawing, Face, MarkKind, OpeningKind
from service.advice.domain.siting.shapes import Point, Shape, area_shape, car_shape, doorsteps, line_of, place_shape

CONFIRM: Final = (
    "For the electrician to confirm: this is reckoned from a drawing and from what was entered. It certifies nothing;"
    " the rules where you live and a licensed electrician on site decide."
)
_LONG_ENOUGH_M: Final = 0.05  # own choice: less than that only brushes a corner

AREA_WORDS: Final = {
    AreaKind.PATH: "a path",
    AreaKind.FOOTWAY: "a public footway",
    AreaKind.LAWN: "the lawn",
    AreaKind.ESCAPE_ROUTE: "an escape route",
}
REFUSAL_WORDS: Final = {
    Refusal.GAS_METER: f"nearer than {assumed.GAS_METER.words} to a gas meter ({assumed.GAS_METER.source})",
    Refusal.TANK: f"nearer than {assumed.TANK.words} to a tank ({assumed.TANK.source})",
    Refusal.ESCAPE_ROUTE: "on an escape route",
    Refusal.STRIKE: "where a car could run into it",
}


def passed(drawing: Drawing, route: tuple[Point, ...], place: int) -> Iterator[str]:
    """Yield in words what a way on the ground lies across."""
    if len(route) < 2:
        return
    line = LineString(route)
    kinds = [area.kind for area in drawing.areas if _is_across(line, area_shape(area))]
    yield from dict.fromkeys(words for kind, words in AREA_WORDS.items() if kind in kinds)
    if any(_is_across(line, step) for step in doorsteps(drawing)):
        yield "in front of a door"
    for opening in drawing.openings:
        wall = line_of(drawing.walls[opening.wall])
        window = wall.box(opening.from_dm / 10, opening.to_dm / 10, 0.1)
        if opening.kind == OpeningKind.WINDOW and _is_across(line, window):
            yield "along a window: never through one that shuts on it"
            break
    others = [each for at, each in enumerate(drawing.places) if at != place and _is_across(line, place_shape(each))]
    yield from (f"through {each.label}, where another car may stand on it" for each in others)


def position_cautions(drawing: Drawing, face: str, at: Point, places: tuple[int, ...]) -> Iterator[str]:
    """Yield what an electrician has to look at in a position; ``places`` are where cars stand."""
    if face == Face.OUTDOORS:
        yield (
            "Outdoors: the outlet has to keep rain out with the plug in it, IP44 at least (published for outdoor"
            " sockets in general; for charging 722.512.2, from memory), and be protected from knocks."
        )
        yield (
            "Outdoors on an earth shared with the network (PME), a broken neutral can make the car's body live: the"
            " electrician has to answer for it (BS 7671 722.411.4.1, not confirmed in the edition in force)."
        )
    elif face == Face.GARAGE:
        yield "In a garage: no cable under a door that shuts on it, nothing that burns beside it, and a smoke alarm."
    for number, metal in enumerate((m for m in drawing.marks if m.kind == MarkKind.METALWORK), start=1):
        spot = shapely.Point(metal.at[0] / 10, metal.at[1] / 10)
        near = [f"the outlet ({_metres(spot.distance(shapely.Point(at)))})"]
        gaps = [spot.distance(car_shape(drawing, drawing.places[place])) for place in places]
        near += [f"{drawing.places[p].label} ({_metres(gap)})" for p, gap in zip(places, gaps, strict=True)]
        close = [spot.distance(shapely.Point(at)), *gaps]
        named = [words for words, gap in zip(near, close, strict=True) if gap <= float(assumed.ARMS_REACH.value)]
        if named:
            yield (
                f"Metalwork {number} may be on another earth and can be touched together with {' and '.join(named)}:"
                f" within {assumed.ARMS_REACH.words} ({assumed.ARMS_REACH.source})."
            )


def summary_of(cars: int, reached: int, ways: int, *, short_by_m: float | None) -> str:
    """Return what the best position does, or by how much the cable is too short."""
    if not reached:
        if short_by_m is None:
            return "No position on these walls reaches a car with the cables there are."
        return f"No position on these walls reaches a car: the cable is at least {_metres(short_by_m)} too short."
    if ways == 2 * cars:
        every = "the car" if cars == 1 else f"all {cars} cars"
        return f"From here the cable reaches {every}, nose in and nose out."
    if cars == 1:
        return "From here the cable reaches the car one way round only."
    return f"From here the cable reaches {reached} of {cars} cars, {ways} of {2 * cars} ways round."


def _is_across(line: LineString, shape: Shape) -> bool:
    return bool(line.intersection(shape).length > _LONG_ENOUGH_M)


def _metres(value_m: float) -> str:
    return f"{value_m:.1f} m"
