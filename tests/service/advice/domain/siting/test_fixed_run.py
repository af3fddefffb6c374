"""The fixed cable runs along walls that meet."""

import numpy as np
import pytest

from service.advice.domain.siting.drawing import Drawing, Spot, Wall
from service.advice.domain.siting.fixed_run import WallRuns

U_SHAPE = (Wall((20, 60), (20, 20)), Wall((20, 20), (80, 20)), Wall((80, 20), (80, 60)))


def run_m(unit: Spot | None, wall: int, offset_m: float, walls: tuple[Wall, ...] = U_SHAPE) -> float:
    return float(WallRuns(Drawing(walls=walls, consumer_unit=unit)).lengths_m(wall, np.array([offset_m]))[0])


def test_along_one_wall_it_is_the_distance() -> None:
    assert run_m((20, 50), 0, 3.0) == pytest.approx(2.0)


def test_round_corners_the_walls_between_count() -> None:
    assert run_m((20, 50), 2, 3.0) == pytest.approx(3 + 6 + 3)


def test_a_unit_beside_its_wall_adds_the_way_to_it() -> None:
    assert run_m((30, 50), 0, 3.0) == pytest.approx(1 + 2)


def test_walls_that_cross_are_joined_where_they_do() -> None:
    crossing = (Wall((0, 50), (100, 50)), Wall((40, 0), (40, 100)))
    assert run_m((0, 50), 1, 8.0, crossing) == pytest.approx(4 + 3)


@pytest.mark.parametrize("unit", [None, (50, 50)])
def test_without_a_unit_near_a_wall_nothing_is_known(unit: Spot | None) -> None:
    assert run_m(unit, 0, 1.0) == np.inf


def test_a_wall_apart_is_not_reached() -> None:
    assert run_m((20, 50), 1, 1.0, (U_SHAPE[0], Wall((100, 100), (120, 100)))) == np.inf
