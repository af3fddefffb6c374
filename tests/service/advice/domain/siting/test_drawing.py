"""A drawing is checked as it is put together: every fault is named at once, what is in order comes back as it was."""

import json
from typing import Any

import pytest

from service.advice.domain.siting.drawing import Area, Drawing, Mark, Opening, Place, Wall, drawing_of
from service.common.errors import Rejected
from tests.factories.drives import simple_drive


def faults_of(**values: Any) -> dict[str, str]:
    with pytest.raises(Rejected) as refused:
        Drawing(**values)
    return {fault.field: fault.rule for fault in refused.value.faults}


def test_what_is_stored_is_read_back_as_it_was() -> None:
    drawing = simple_drive()
    assert drawing_of(json.loads(json.dumps(drawing.to_json()))) == drawing


def test_an_empty_sheet_is_in_order() -> None:
    assert Drawing().walls == ()


def test_every_fault_is_named_at_once() -> None:
    found = faults_of(
        width_dm=39,
        outlet_height_dm=16,
        walls=(Wall((5, 5), (5, 5), left="attic"),),
        openings=(Opening(3, 0, 10, "door"), Opening(0, 0, 10, "hatch")),
        places=(Place(" ", (0, 0), (0, 20), 10),),
        areas=(Area("path", ((0, 0), (10, 10), (10, 0), (0, 10))), Area("moat", ((0, 0), (1, 1)))),
        marks=(Mark("tank", (50, 500)),),
        consumer_unit=(999, 0),
        cable_dm=5,
    )
    assert set(found) == {
        "width_m", "outlet_height_m", "walls.0.end", "walls.0.left", "openings.0.wall", "openings.1.kind",
        "openings.1.to_m", "places.0.label", "places.0.end", "places.0.width_m", "areas.0.corners", "areas.1.kind",
        "areas.1.corners", "marks.0.at", "consumer_unit", "cable_m",
    }  # fmt: skip


@pytest.mark.parametrize(("height_dm", "is_right"), [(4, False), (5, True), (15, True), (16, False)])
def test_the_height_of_the_outlet_keeps_its_range(height_dm: int, is_right: bool) -> None:
    if is_right:
        assert Drawing(outlet_height_dm=height_dm).outlet_height_dm == height_dm
    else:
        assert faults_of(outlet_height_dm=height_dm) == {"outlet_height_m": "must lie between 0.5 and 1.5 m"}


def test_a_thing_on_a_wall_ends_before_the_wall_does() -> None:
    wall = Wall((0, 0), (30, 40))
    assert Drawing(walls=(wall,), openings=(Opening(0, 40, 50, "window"),)).openings
    assert set(faults_of(walls=(wall,), openings=(Opening(0, 40, 52, "window"),))) == {"openings.0.to_m"}
    assert set(faults_of(walls=(wall,), openings=(Opening(0, 20, 20, "window"),))) == {"openings.0.to_m"}


def test_more_than_anybody_draws_is_refused() -> None:
    assert faults_of(walls=(Wall((0, 0), (1, 0)),) * 17) == {"walls": "must be at most 16"}
    assert faults_of(walls=(Wall((0, 0), (160, 0)),) * 8) == {"walls": "must not be longer than 80 m in all"}
