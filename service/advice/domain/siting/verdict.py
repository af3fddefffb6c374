"""From a drawing, the home's cars and its nation to where the outlet should go, with the working of it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np

from service.advice.domain.notifiable_work import notifiable_work
from service.advice.domain.siting import assumed
from service.advice.domain.siting.answers import Position, Reach, RefusedPart, Siting, Way
from service.advice.domain.siting.drawing import Drawing
from service.advice.domain.siting.fixed_cable import fixed_cables
from service.advice.domain.siting.ground import Floats
from service.advice.domain.siting.score import NO_RUN_DM, Ranked, apart, ranked
from service.advice.domain.siting.search import CarAtHome, Found, Search
from service.advice.domain.siting.steps import cable_step, ranking_step, reach_steps, search_steps
from service.advice.domain.siting.words import CONFIRM, REFUSAL_WORDS, passed, position_cautions, summary_of
from service.common.working import Step, Working

OTHERS_MOST: Final = 3
CARS_MOST: Final = 4
"""Own bound: more cars than anybody parks on a drive of four places, few enough to try every way of placing them."""


def site_outlet(drawing: Drawing, cars: Sequence[CarAtHome], not_known: Sequence[str], nation: str) -> Siting:
    """Return where the outlet should go.

    Parameters
    ----------
    cars
        Those whose port and cable are known.
    not_known : sequence of str
        What has to be found out, in words: a car that is not among ``cars`` is named there.
    """
    unknown = [*not_known, *_missing(drawing, cars)]
    if len(cars) > CARS_MOST:
        unknown.append(f"Only the first {CARS_MOST} cars are reckoned with.")
        cars = cars[:CARS_MOST]
    search = Search(drawing, cars)
    found = search.found()
    note = notifiable_work(nation)
    figures = {each.name: f"{each.words} ({each.source})" for each in assumed.ALL}
    steps: list[Step] = [cable_step(drawing, car) for car in cars]
    if found is None:
        summary = "Nothing can be said yet: " + (unknown[0] if unknown else "the drawing has no usable wall.")
        working = Working((*steps, note.step()))
        return Siting(summary, len(cars), None, (), (), (), tuple(unknown), (CONFIRM,), note, figures, working)
    order = ranked(found)
    steps += search_steps(found, figures)
    shown = [_position(search, found, order, at) for at in apart(found, order.order, OTHERS_MOST + 1)]
    reaching = [each for each in shown if each.cars_reached]
    best = reaching[0] if reaching else None
    others = tuple(reaching[1:])
    cables = fixed_cables(None if best is None else best.run_m)
    if best is not None:
        steps += [*reach_steps(drawing, best), ranking_step(reaching)]
        steps += [step for cable, working in cables for step in working.steps]
    return Siting(
        summary_of(
            len(cars),
            best.cars_reached if best else 0,
            best.ways_reached if best else 0,
            short_by_m=_short_by_m(found),
        ),
        len(cars),
        best,
        others,
        tuple(_refused_parts(found)),
        tuple(cable for cable, _ in cables) if best else (),
        tuple(unknown),
        (CONFIRM,),
        note,
        figures,
        Working((*steps, note.step())),
    )


def _missing(drawing: Drawing, cars: Sequence[CarAtHome]) -> list[str]:
    """Return what the drawing or the home does not say yet."""
    found = []
    if not drawing.walls:
        found.append("No wall is drawn.")
    if not drawing.places:
        found.append("No place for a car is drawn.")
    if not cars:
        found.append("No car of this home has both its port and the length of its cable known.")
    if drawing.consumer_unit is None:
        found.append("Where the consumer unit is: the fixed cable is not known.")
    return found


def _position(search: Search, found: Found, order: Ranked, at: int) -> Position:
    stretch = found.positions.stretches[int(found.positions.stretch[at])]
    point = (float(found.positions.points[at][0]), float(found.positions.points[at][1]))
    placing = tuple(int(place) for place in order.placing[:, at])
    reaches = tuple(
        _reach(search, found, at, (car, place, way), is_usual=placing[car] == place)
        for car in range(len(search.cars))
        for place in range(len(search.drawing.places))
        for way in (0, 1)
    )
    standing = tuple(sorted({place for place in placing if place >= 0}))
    run_dm = int(order.run_dm[at])
    return Position(
        wall=stretch.wall,
        side=stretch.side,
        face=str(stretch.face),
        offset_m=round(float(found.positions.offsets_m[at]), 2),
        at=(round(point[0], 2), round(point[1], 2)),
        cars_reached=int(order.cars[at]),
        ways_reached=int(order.ways[at]),
        crossings=int(order.crossings[at]),
        ground_m=int(order.ground_dm[at]) / 10,
        run_m=None if run_dm == NO_RUN_DM else run_dm / 10,
        reaches=reaches,
        cautions=tuple(position_cautions(search.drawing, stretch.face, point, standing)),
        why=_why(order, at, len(search.cars)),
    )


def _reach(search: Search, found: Found, at: int, which: tuple[int, int, int], *, is_usual: bool) -> Reach:
    car, place, way = which
    here = (*which, at)
    is_reached, is_crossing = bool(found.is_reached[here]), bool(found.is_crossing[here])
    is_clear = is_reached and not is_crossing
    ground, spreads = search.ways(is_clear=is_clear)[place]
    point = (float(found.positions.points[at][0]), float(found.positions.points[at][1]))
    route = tuple((round(x, 3), round(y, 3)) for x, y in ground.route(point, spreads[2 * car + way]))
    length = float(found.laid_m[here] if is_reached else found.lengths_m[here])
    known = np.isfinite(length)
    cable_m = search.cars[car].cable_m
    return Reach(
        car_id=search.cars[car].id,
        car_label=search.cars[car].label,
        place=place,
        place_label=search.drawing.places[place].label,
        way=Way.NOSE_IN if way == 0 else Way.NOSE_OUT,
        is_usual=is_usual,
        is_reached=is_reached,
        is_crossing=is_crossing,
        ground_m=round(length, 2) if known else None,
        needed_m=round(length + cable_m - float(found.limits_m[car]), 2) if known else None,
        cable_m=cable_m,
        route=route if is_reached else (),
        passes=tuple(passed(search.drawing, route, place)) if is_reached else (),
    )


def _why(order: Ranked, at: int, cars: int) -> str:
    """Return what a position was ranked by."""
    run = "" if order.run_dm[at] == NO_RUN_DM else f", {order.run_dm[at] / 10:.1f} m along walls to the consumer unit"
    crossed = int(order.crossings[at])
    paths = "no path crossed" if not crossed else f"a path crossed {crossed} time{'s' if crossed > 1 else ''}"
    reached = f"{int(order.cars[at])} of {cars} cars" if cars > 1 else f"{int(order.cars[at])} of 1 car"
    return (
        f"{reached} reached, {int(order.ways[at])} of {2 * cars} ways round, {paths},"
        f" {order.ground_dm[at] / 10:.1f} m of cable on the ground in all{run}"
    )


def _short_by_m(found: Found) -> float | None:
    """Return by how much the cable is too short at best [m]; None where no way is known at all."""
    allowed = ~found.is_refused
    over = (found.lengths_m - found.limits_m[:, None, None, None])[..., allowed]
    least = float(over.min(initial=np.inf))
    return least if np.isfinite(least) else None


def _refused_parts(found: Found) -> list[RefusedPart]:
    """Return the parts of walls that are refused, joined where positions that are refused follow each other."""
    parts = []
    for number, stretch in enumerate(found.positions.stretches):
        own = np.flatnonzero(found.positions.stretch == number)
        own = own[np.argsort(found.positions.offsets_m[own])]
        for reason, flags in found.refused.items():
            runs = np.split(own, np.flatnonzero(np.diff(flags[own].astype(int))) + 1) if len(own) else []
            for run in runs:
                if flags[run[0]]:
                    start, end = _ends_of(found.positions.offsets_m[own], found.positions.offsets_m[run])
                    parts.append(RefusedPart(stretch.wall, stretch.side, start, end, reason, REFUSAL_WORDS[reason]))
    return parts


def _ends_of(all_m: Floats, refused_m: Floats) -> tuple[float, float]:
    """Return from where to where a part is refused: up to the positions beside it that are not."""
    before, after = all_m[all_m < refused_m[0]], all_m[all_m > refused_m[-1]]
    start = before[-1] if len(before) else refused_m[0]
    end = after[0] if len(after) else refused_m[-1]
    return round(float(start), 1), round(float(end), 1)
