"""The shortest way of a cable on the ground, against lengths worked out by hand."""

from math import hypot, inf

import numpy as np
import pytest
from shapely import Polygon, box, unary_union

from service.advice.domain.siting.ground import Ground


def ground(*shapes: Polygon, longest_m: float = 30.0) -> Ground:
    return Ground(unary_union(shapes), width_m=20, depth_m=20, longest_m=longest_m)


def length(of: Ground, start: tuple[float, float], end: tuple[float, float]) -> float:
    return float(of.lengths(np.array([start]), [of.spread(end)])[0, 0])


def test_with_nothing_in_the_way_it_is_straight() -> None:
    assert length(ground(box(9, 9, 10, 10)), (1, 1), (4, 5)) == pytest.approx(5)


def test_it_bends_at_the_corners_of_what_it_goes_round() -> None:
    of = ground(box(5, 2, 7, 10))
    over = hypot(2, 3) + 2 + hypot(3, 3)
    assert length(of, (3, 5), (10, 5)) == pytest.approx(over)
    route = of.route((3, 5), of.spread((10, 5)))
    assert route == [(3, 5), (5, 2), (7, 2), (10, 5)]


def test_a_hollow_is_gone_round_at_its_outer_corners() -> None:
    horseshoe = Polygon([(4, 4), (10, 4), (10, 10), (8, 10), (8, 6), (6, 6), (6, 10), (4, 10)])
    assert length(ground(horseshoe), (7, 7), (12, 7)) == pytest.approx(hypot(1, 3) + 2 + hypot(2, 3))


def test_what_it_may_touch_is_no_obstacle_but_what_touches_each_other_is_closed() -> None:
    wall = box(5, 0, 6, 10)
    assert length(ground(wall), (5, 2), (5, 8)) == pytest.approx(6)
    assert length(ground(wall, box(5, 10, 6, 20)), (3, 10), (8, 10)) == inf


def test_nothing_goes_round_the_edge_of_the_sheet_or_begins_inside_a_thing() -> None:
    across = box(-1, 9, 21, 10)
    assert length(ground(across), (5, 5), (5, 15)) == inf
    assert length(ground(box(4, 4, 6, 6)), (5, 5), (1, 1)) == inf
    assert ground(across).route((5, 5), ground(across).spread((5, 15))) == []


def test_ways_longer_than_any_cable_are_not_looked_for() -> None:
    assert length(ground(box(9, 9, 10, 10), longest_m=4), (1, 1), (4, 5)) == inf
