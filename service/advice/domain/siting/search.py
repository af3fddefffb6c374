"""The search: every position on every usable wall, each car in each place, nose in and nose out.

The length of the way to a port changes by no more than one goes along the wall, so between two positions tried the
reach can only begin or end where one of them is within a step of it. There the exact point is worked out and tried
too: no position that reaches more cars is missed between the steps.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from service.advice.domain.siting.assumed import PORT_HEIGHT, SLACK, STEP
from service.advice.domain.siting.candidates import (
    Positions,
    Refusal,
    Stretch,
    crossings,
    first_offsets,
    positions_on,
    refusals,
    usable_stretches,
)
from service.advice.domain.siting.drawing import Drawing
from service.advice.domain.siting.fixed_run import WallRuns
from service.advice.domain.siting.ground import Flags, Floats, Ground, Spread
from service.advice.domain.siting.shapes import Point, Shape, barred_shape, port_spot, to_go_round_shape

JUST_M = 1e-9  # a cable that is exactly long enough reaches
_step = float(STEP.value)


@dataclass(frozen=True, slots=True)
class CarAtHome:
    """A car whose port and cable are known; ``cable_m`` is how long the cable is."""

    id: str
    label: str
    port: str
    cable_m: float


@dataclass(frozen=True, slots=True)
class Found:
    """What the search found: arrays over (car, place, way, position); way 0 is nose in, way 1 nose out.

    ``lengths_m`` is the least way, ``clear_m`` the least that crosses no path; infinite where there is none.
    """

    positions: Positions
    refused: dict[Refusal, Flags]
    lengths_m: Floats
    clear_m: Floats
    limits_m: Floats
    runs_m: Floats

    @property
    def is_reached(self) -> Flags:
        """Return whether the cable is long enough."""
        return self.lengths_m <= self.limits_m[:, None, None, None] + JUST_M

    @property
    def is_crossing(self) -> Flags:
        """Return whether it is long enough only across a path."""
        return self.is_reached & ~(self.clear_m <= self.limits_m[:, None, None, None] + JUST_M)

    @property
    def laid_m(self) -> Floats:
        """Return the length on the ground as it would be laid: round the paths where the cable is long enough."""
        return np.where(self.is_crossing, self.lengths_m, self.clear_m)

    @property
    def is_refused(self) -> Flags:
        """Return whether any reason refuses the position."""
        flags: Flags = np.logical_or.reduce(list(self.refused.values()))
        return flags


def limit_m(drawing: Drawing, car: CarAtHome) -> float:
    """Return how much of a car's cable is left for the ground: less the drop, the rise and the slack."""
    return car.cable_m - drawing.outlet_height_dm / 10 - float(PORT_HEIGHT.value) - float(SLACK.value)


class Search:
    """One drawing and the cars of its home; a part of it is worked out once and kept."""

    def __init__(self, drawing: Drawing, cars: Sequence[CarAtHome]) -> None:
        self.drawing, self.cars = drawing, cars
        self.limits_m: Floats = np.array([limit_m(drawing, car) for car in cars], dtype=float)
        around = to_go_round_shape(drawing)
        barred = [barred_shape(drawing, place) for place in drawing.places]
        self.ground = [self._ground(each) for each in barred]
        self.clear_ground = [self._ground(shapely.union(each, around)) for each in barred]
        self.spreads = self._spreads(self.ground)
        self.clear_spreads = self._spreads(self.clear_ground)

    def found(self) -> Found | None:
        """Return what every position reaches; None where there is no usable wall, no place or no car to reckon with."""
        stretches = usable_stretches(self.drawing)
        if not stretches or not self.cars or not self.drawing.places:
            return None
        first = positions_on(self.drawing, stretches, first_offsets(self.drawing, stretches))
        lengths, clear = self._lengths(first.points)
        between = self._between(stretches, first, lengths, clear)
        more = positions_on(self.drawing, stretches, between)
        more_lengths, more_clear = self._lengths(more.points)
        positions = Positions(
            stretches,
            np.concatenate([first.stretch, more.stretch]),
            np.concatenate([first.offsets_m, more.offsets_m]),
            np.concatenate([first.points, more.points]),
        )
        return Found(
            positions,
            refusals(self.drawing, positions.points),
            np.concatenate([lengths, more_lengths], axis=-1),
            np.concatenate([clear, more_clear], axis=-1),
            self.limits_m,
            self._runs(positions),
        )

    def _ground(self, shape: Shape) -> Ground:
        longest = max(self.limits_m.max(initial=0.0), 0.0) + 2 * _step
        return Ground(shape, width_m=self.drawing.width_dm / 10, depth_m=self.drawing.depth_dm / 10, longest_m=longest)

    def _spreads(self, grounds: Sequence[Ground]) -> list[list[Spread]]:
        """Return for each place the ways to each port: car by car, nose in, then nose out."""
        return [
            [ground.spread(self._port(car, at, way)) for car in self.cars for way in (0, 1)]
            for at, ground in enumerate(grounds)
        ]

    def _port(self, car: CarAtHome, place: int, way: int) -> Point:
        return port_spot(self.drawing, self.drawing.places[place], car.port, is_nose_in=way == 0)

    def _lengths(self, points: Floats) -> tuple[Floats, Floats]:
        """Return the least ways, and the least clear of paths, shape (cars, places, 2, points)."""
        found = []
        for grounds, spreads in ((self.ground, self.spreads), (self.clear_ground, self.clear_spreads)):
            by_place = [ground.lengths(points, own) for ground, own in zip(grounds, spreads, strict=True)]
            shaped = np.array(by_place).reshape(len(self.drawing.places), len(self.cars), 2, len(points))
            found.append(np.swapaxes(shaped, 0, 1))
        return found[0], found[1]

    def _between(
        self, stretches: Sequence[Stretch], first: Positions, lengths: Floats, clear: Floats
    ) -> list[list[float]]:
        """Return for each stretch the exact offsets at which a reach may begin or end between two steps."""
        offsets: list[set[float]] = [set() for _ in stretches]
        for values, spreads in ((lengths, self.ways(is_clear=False)), (clear, self.ways(is_clear=True))):
            for car, place, way in np.ndindex(values.shape[:3]):
                limit = float(self.limits_m[car])
                close = np.abs(values[car, place, way] - limit) <= _step
                ground, spread = spreads[place][0], spreads[place][1][2 * car + way]
                for at in np.flatnonzero(close):
                    stretch = stretches[int(first.stretch[at])]
                    here = float(first.offsets_m[at])
                    for each in _reach_ends(stretch, ground, spread, limit):
                        if abs(each - here) <= _step and stretch.from_m < each < stretch.to_m:
                            offsets[int(first.stretch[at])].add(each)
        return [sorted(each) for each in offsets]

    def ways(self, *, is_clear: bool) -> list[tuple[Ground, list[Spread]]]:
        """Return the grounds and ways of the places, clear of paths or not."""
        grounds = self.clear_ground if is_clear else self.ground
        spreads = self.clear_spreads if is_clear else self.spreads
        return list(zip(grounds, spreads, strict=True))

    def _runs(self, positions: Positions) -> Floats:
        runs = WallRuns(self.drawing)
        found = np.full(len(positions.offsets_m), np.inf)
        for at, stretch in enumerate(positions.stretches):
            own = positions.stretch == at
            found[own] = runs.lengths_m(stretch.wall, positions.offsets_m[own])
        return found


def _reach_ends(stretch: Stretch, ground: Ground, spread: Spread, limit: float) -> list[float]:
    """Return the offsets at which a way over some corner, or straight, is exactly as long as the limit."""
    ends = crossings(stretch, spread.target, limit) if limit > 0 else []
    for corner, beyond in zip(ground.corners, spread.lengths_m, strict=True):
        if beyond < limit:
            ends += crossings(stretch, (float(corner[0]), float(corner[1])), limit - float(beyond))
    return ends
