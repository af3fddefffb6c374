"""Where an outlet may go, and where none does."""

import numpy as np
import pytest

from service.advice.domain.siting.candidates import Refusal, Side, refusals, usable_stretches
from service.advice.domain.siting.drawing import Area, Drawing, Mark, Opening, Stretch, Wall

WALL = Wall((10, 20), (90, 20))


def parts(**more: object) -> list[tuple[float, float]]:
    found = usable_stretches(Drawing(walls=(WALL,), **more))  # type: ignore[arg-type]
    return [(each.from_m, each.to_m) for each in found if each.side is Side.LEFT]


def test_doors_and_windows_are_left_out() -> None:
    assert parts() == [(0, 8)]
    assert parts(openings=(Opening(0, 20, 30, "door"), Opening(0, 70, 80, "window"))) == [(0, 2), (3, 7)]
    assert parts(openings=(Opening(0, 0, 80, "window"),)) == []


def test_where_stretches_are_drawn_only_they_count() -> None:
    assert parts(stretches=(Stretch(0, 10, 40),), openings=(Opening(0, 20, 30, "door"),)) == [(1, 2), (3, 4)]


def test_a_side_that_looks_on_a_room_takes_no_outlet() -> None:
    found = usable_stretches(Drawing(walls=(Wall((10, 20), (90, 20), left="house", right="garage"),)))
    assert [(each.side, each.face) for each in found] == [(Side.RIGHT, "garage")]


@pytest.mark.parametrize(
    ("mark", "distance_m", "reason"), [("gas_meter", 1.0, Refusal.GAS_METER), ("tank", 3.0, Refusal.TANK)]
)
def test_who_keeps_exactly_the_distance_is_not_refused(mark: str, distance_m: float, reason: Refusal) -> None:
    drawing = Drawing(marks=(Mark(mark, (50, 50)),))
    points = np.array([[5 + distance_m, 5], [5 + distance_m - 0.01, 5]])
    assert refusals(drawing, points)[reason].tolist() == [False, True]


def test_metalwork_refuses_nothing_by_itself() -> None:
    found = refusals(Drawing(marks=(Mark("metalwork", (50, 50)),)), np.array([[5.0, 5.0]]))
    assert not any(flags.any() for flags in found.values())


@pytest.mark.parametrize("kind", ["escape_route", "strike"])
def test_ground_that_refuses_does_so_up_to_its_edge(kind: str) -> None:
    square = Area(kind, ((10, 10), (20, 10), (20, 20), (10, 20)))
    points = np.array([[1.5, 1.5], [2.0, 1.5], [2.01, 1.5]])
    assert refusals(Drawing(areas=(square,)), points)[Refusal(kind)].tolist() == [True, True, False]
