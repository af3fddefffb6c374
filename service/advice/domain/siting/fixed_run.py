"""How far the fixed cable has to go along the walls from the consumer unit to an outlet.

Walls that meet, or come within ``JOIN_M`` of each other, are one way for the cable. What goes up and down is added
by whoever reckons with the run.
"""

from __future__ import annotations

from itertools import combinations
from typing import Final

import numpy as np
import shapely
from shapely import LineString

from service.advice.domain.siting.drawing import Drawing
from service.advice.domain.siting.ground import Floats
from service.advice.domain.siting.shapes import line_of

JOIN_M: Final = 0.15
UNIT_TO_WALL_MAX_M: Final = 2.0
_Node = tuple[int, float]


class WallRuns:
    """Runs along the walls of a drawing from its consumer unit; none where it has no unit near a wall."""

    def __init__(self, drawing: Drawing) -> None:
        self._nodes: list[_Node] = []
        self._lengths_m: Floats = np.zeros(0)
        self._lines = [LineString([line_of(w).start, line_of(w).at(line_of(w).length_m)]) for w in drawing.walls]
        if drawing.consumer_unit is None or not drawing.walls:
            return
        unit = shapely.Point(drawing.consumer_unit[0] / 10, drawing.consumer_unit[1] / 10)
        gaps_m = [line.distance(unit) for line in self._lines]
        nearest = int(np.argmin(gaps_m))
        if gaps_m[nearest] <= UNIT_TO_WALL_MAX_M:
            self._join(nearest, self._lines[nearest].project(unit), gaps_m[nearest])

    def lengths_m(self, wall: int, offsets_m: Floats) -> Floats:
        """Return the runs [m] to points along a wall; infinite where no wall leads there or no unit is drawn."""
        own = [at for at, node in enumerate(self._nodes) if node[0] == wall]
        if not own:
            return np.full(len(offsets_m), np.inf)
        places = np.array([self._nodes[at][1] for at in own])
        runs: Floats = (np.abs(offsets_m[:, None] - places) + self._lengths_m[own]).min(axis=1)
        return runs

    def _join(self, unit_wall: int, unit_offset_m: float, gap_m: float) -> None:
        """Give every place where walls meet its run from the unit."""
        joints: list[tuple[int, int, float]] = []
        nodes: list[_Node] = [(unit_wall, unit_offset_m)]
        for one, other in combinations(range(len(self._lines)), 2):
            between = shapely.shortest_line(self._lines[one], self._lines[other])
            if between.length <= JOIN_M:
                here, there = (shapely.Point(each) for each in between.coords)
                nodes += [(one, self._lines[one].project(here)), (other, self._lines[other].project(there))]
                joints.append((len(nodes) - 2, len(nodes) - 1, between.length))
        steps = np.full((len(nodes), len(nodes)), np.inf)
        for a, b in combinations(range(len(nodes)), 2):
            if nodes[a][0] == nodes[b][0]:
                steps[a, b] = steps[b, a] = abs(nodes[a][1] - nodes[b][1])
        for a, b, length in joints:
            steps[a, b] = steps[b, a] = min(steps[a, b], length)
        self._nodes, self._lengths_m = nodes, _least(steps, gap_m)


def _least(steps: Floats, start_m: float) -> Floats:
    """Return the least way from node 0, which begins at ``start_m``, to each node."""
    lengths = np.full(len(steps), np.inf)
    lengths[0] = start_m
    for _ in range(len(steps)):
        better: Floats = np.minimum(lengths, (lengths[:, None] + steps).min(axis=0))
        if (better == lengths).all():
            break
        lengths = better
    return lengths
