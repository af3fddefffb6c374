"""The search against a plain second one on random drives, and by hand where the answer is plain to see."""

from collections import Counter
from random import Random

import pytest

from service.advice.domain.siting.score import ranked
from service.advice.domain.siting.search import CarAtHome, Search, limit_m
from tests.factories.drives import simple_drive
from tests.prove.drives import compare, our_best
from tests.prove.random_drives import random_drive

DRIVES = 40


def best_offset(drawing: object, *cars: CarAtHome) -> tuple[float, int]:
    found = Search(drawing, cars).found()  # type: ignore[arg-type]
    assert found is not None
    order = ranked(found)
    at = int(order.order[0])
    return float(found.positions.offsets_m[at]), int(order.ways[at])


def test_on_random_drives_nothing_better_is_found_by_trying_everything() -> None:
    rng = Random(20_261_129)
    seen: Counter[str] = Counter()
    for number in range(DRIVES):
        drawing, cars = random_drive(rng)
        assert compare(drawing, cars, our_best(drawing, cars), seen) == [], number
    assert seen["all"] and seen["some"] and seen["nobody"], "the drives must differ in what is reached"


def test_drop_rise_and_slack_are_no_cable_for_the_ground() -> None:
    assert limit_m(simple_drive(outlet_height_m=1.2), CarAtHome("1", "a", "nose", 5.0)) == pytest.approx(2.7)


def test_a_nose_port_is_best_fed_from_straight_before_it() -> None:
    drawing = simple_drive(openings=[], marks=[], areas=[], consumer_unit=None)
    offset, ways = best_offset(drawing, CarAtHome("1", "a", "nose", 4.0))
    assert (offset, ways) == (pytest.approx(5.0, abs=0.05), 1)


def test_a_cable_that_is_just_long_enough_reaches_between_the_steps_too() -> None:
    # The port in the left wing stands 4.04 m along the wall and 2.49 m before its face, so that with 2.4902 m for the
    # ground only the 3 cm to either side reach it: no step of 10 cm falls there, nor any with a shorter cable.
    drawing = simple_drive(openings=[], marks=[], areas=[], consumer_unit=None)
    reaching, short = (CarAtHome("1", "a", "front_left", 2.1 + ground) for ground in (2.4902, 2.4899))
    assert best_offset(drawing, reaching) == (pytest.approx(4.04, abs=0.04), 1)
    assert best_offset(drawing, short)[1] == 0


def test_without_a_wall_a_place_or_a_car_there_is_nothing_to_find() -> None:
    car = CarAtHome("1", "a", "nose", 5.0)
    assert Search(simple_drive(), []).found() is None
    assert Search(simple_drive(places=[]), [car]).found() is None
    assert Search(simple_drive(walls=[], openings=[]), [car]).found() is None
