"""Which position comes first: cars, ways round, crossings, cable on the ground, fixed run, in that order."""

import numpy as np
import pytest

from service.advice.domain.siting.candidates import Positions, Refusal, Side, Stretch
from service.advice.domain.siting.score import apart, placings, ranked
from service.advice.domain.siting.search import Found
from service.advice.domain.siting.shapes import Line

LIMIT_M = 5.0
FAR = np.inf


def found(*positions: list[list[list[tuple[float, float]]]], runs: list[float], refused: list[bool]) -> Found:
    """Positions given as [car][place][way] -> (least way, least way clear of paths)."""
    ways = np.moveaxis(np.array(positions), 0, -2)  # (car, place, way, position, which)
    number = len(positions)
    line = Line((0.0, 0.0), (1.0, 0.0), (0.0, -1.0), 100.0)
    return Found(
        Positions(
            [Stretch(0, Side.LEFT, "outdoors", line, 0.0, 100.0)],
            np.zeros(number, dtype=np.int64),
            np.arange(number, dtype=float),
            np.array([[at * 10.0, 0.0] for at in range(number)]),
        ),
        {Refusal.TANK: np.array(refused)},
        ways[..., 0],
        ways[..., 1],
        np.full(ways.shape[0], LIMIT_M),
        np.array(runs),
    )


def clear(length: float) -> tuple[float, float]:
    return length, length


OUT = [clear(9), clear(9)]
BOTH, ONE, ACROSS = [clear(4), clear(4)], [clear(1), clear(9)], [(4, 9), clear(4)]


@pytest.mark.parametrize(
    ("better", "worse"),
    [
        ([[BOTH] * 2, [ONE] * 2], [[BOTH] * 2, [OUT] * 2]),  # two cars before one, though with less cable
        ([[BOTH]], [[ONE]]),  # both ways round before less cable
        ([[BOTH]], [[ACROSS]]),  # no crossing
        ([[[clear(4), clear(3.8)]]], [[BOTH]]),  # less cable
    ],
)
def test_what_comes_first(better: list[list[list[tuple[float, float]]]], worse: object) -> None:
    order = ranked(found(worse, better, runs=[1, 99], refused=[False, False])).order  # type: ignore[arg-type]
    assert order.tolist() == [1, 0]


def test_where_all_else_is_equal_the_shorter_fixed_run_decides_and_one_not_known_comes_last() -> None:
    order = ranked(found([[BOTH]], [[BOTH]], [[BOTH]], runs=[FAR, 8, 7], refused=[False] * 3))
    assert order.order.tolist() == [2, 1, 0]


def test_a_refused_position_has_no_rank() -> None:
    assert ranked(found([[BOTH]], [[ONE]], runs=[1, 1], refused=[True, False])).order.tolist() == [1]


def test_each_car_stands_in_a_place_of_its_own() -> None:
    # The first place is better for both; together they reach most where the first car gives way.
    first, second = [BOTH, BOTH], [BOTH, OUT]
    order = ranked(found([first, second], runs=[1], refused=[False]))
    assert (order.cars[0], order.ways[0], order.placing[:, 0].tolist()) == (2, 4, [1, 0])


def test_more_cars_than_places_leave_some_out() -> None:
    assert sorted(placings(2, 1)) == [(-1, 0), (0, -1)]
    assert len(list(placings(3, 4))) == 24


def test_runners_up_lie_apart() -> None:
    positions = found([[BOTH]], [[BOTH]], runs=[1, 1], refused=[False, False])
    positions.positions.points[1] = [0.5, 0]
    assert apart(positions, [0, 1], 5) == [0]
    positions.positions.points[1] = [1.0, 0]
    assert apart(positions, [0, 1], 5) == [0, 1]
