"""A small drive: a house front with a door, one place before it, a path, a gas meter, and the public footway."""

from __future__ import annotations

from typing import Any

from service.advice.domain.siting.drawing import Drawing, drawing_of
from service.advice.schemas.drives import DrawingSchema

DRIVE_BODY: dict[str, Any] = {
    "width_m": 12,
    "depth_m": 12,
    "walls": [
        {"start": [1, 2], "end": [9, 2], "left": "house", "right": "outdoors"},
        {"start": [9, 2], "end": [9, 4], "left": "outdoors", "right": "house"},
    ],
    "stretches": [],
    "openings": [
        {"wall": 0, "from_m": 1, "to_m": 2, "kind": "door"},
        {"wall": 0, "from_m": 5, "to_m": 6.5, "kind": "window"},
    ],
    "places": [{"label": "By the house", "start": [6, 8.5], "end": [6, 3.5], "width_m": 2.4}],
    "areas": [
        {"kind": "path", "corners": [[2, 2], [3, 2], [3, 9], [2, 9]]},
        {"kind": "footway", "corners": [[0, 9.5], [12, 9.5], [12, 11], [0, 11]]},
    ],
    "marks": [{"kind": "gas_meter", "at": [8.5, 2]}],
    "consumer_unit": [2.5, 1.8],
    "outlet_height_m": 1,
    "cable_m": None,
    "car_length_m": 4.5,
    "car_width_m": 1.9,
}


def simple_drive(**changes: Any) -> Drawing:
    """Return the drive, with some of its fields as the API names them changed."""
    return drawing_of(DrawingSchema().load({**DRIVE_BODY, **changes}))
