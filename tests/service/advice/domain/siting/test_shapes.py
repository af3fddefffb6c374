"""Where a car's port is, nose in and nose out, and what stands in a cable's way."""

import pytest

from service.advice.domain.siting.drawing import Drawing, Place, Wall
from service.advice.domain.siting.shapes import car_shape, port_spot, walls_shape

UP = Place("up the page", (50, 90), (50, 40))  # its nose points to the top when it stands nose in
SHEET = Drawing(places=(UP,), car_length_dm=45, car_width_dm=19)

PORTS = {
    # nose in: 4.5 m of car in the middle of 5 m, from 4.25 to 8.75; left of the driver is the left of the page
    "nose": (5.0, 4.24), "tail": (5.0, 8.76),
    "front_left": (4.04, 5.05), "front_right": (5.96, 5.05),
    "rear_left": (4.04, 7.95), "rear_right": (5.96, 7.95),
}  # fmt: skip


@pytest.mark.parametrize("port", PORTS)
def test_a_port_stands_where_the_driver_says(port: str) -> None:
    assert port_spot(SHEET, UP, port, is_nose_in=True) == pytest.approx(PORTS[port])


@pytest.mark.parametrize("port", PORTS)
def test_the_other_way_round_it_stands_opposite(port: str) -> None:
    x, y = PORTS[port]
    assert port_spot(SHEET, UP, port, is_nose_in=False) == pytest.approx((10 - x, 13 - y))


def test_a_car_is_never_larger_than_its_place() -> None:
    small = Place("small", (0, 50), (40, 50), 15)
    assert car_shape(Drawing(places=(small,)), small).bounds == pytest.approx((0, 4.25, 4, 5.75))


def test_walls_that_meet_leave_no_gap_at_the_corner() -> None:
    corner = walls_shape(Drawing(walls=(Wall((10, 10), (50, 10)), Wall((50, 10), (50, 40)))))
    assert corner.geom_type == "Polygon"
    assert corner.bounds == pytest.approx((0.94, 0.94, 5.06, 4.06))
