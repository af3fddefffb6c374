"""Shapes of tariffs: what is read, in which units, and how it is written back."""

from typing import Any

import marshmallow as ma
import pytest

from service.common.calendar import DayKind
from service.tariffs.operations import read_sheets
from service.tariffs.schemas import SheetSchema, WindowSchema
from tests.factories.tariffs import EVERY_DAY, EVERY_MONTH, draft_json


def test_a_sheet_is_read_in_micro_pence_and_minutes() -> None:
    [sheet] = draft_json()["sheets"]
    loaded = SheetSchema().load(sheet)
    assert loaded["standing_up_per_day"] == 48_200_000
    night, day = loaded["bands"]
    assert (night["price_up"], day["price_up"], day["is_otherwise"]) == (9_500_000, 31_000_000, True)
    assert night["windows"] == [
        {"starts_at_min": 30, "ends_at_min": 330, "day_kinds": list(DayKind), "months": EVERY_MONTH}
    ]


def test_a_sheet_is_written_as_it_was_read_whatever_the_order_of_its_sets() -> None:
    [sheet] = draft_json()["sheets"]
    window = sheet["bands"][0]["windows"][0]
    window["day_kinds"], window["months"] = EVERY_DAY[::-1], [12, 1]
    written = SheetSchema().dump(read_sheets([SheetSchema().load(sheet)])[0])
    window["day_kinds"], window["months"] = EVERY_DAY, [1, 12]
    assert written == sheet


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("starts_at", "24:00"),
        ("starts_at", "7:30"),
        ("ends_at", "05:45"),
        ("ends_at", 330),
        ("day_kinds", ["weekday", "weekday"]),
        ("day_kinds", ["Monday"]),
        ("day_kinds", "weekday"),
        ("months", []),
        ("months", [0]),
        ("months", [1.5]),
        ("months", ["1"]),
        ("months", [*EVERY_MONTH, 1]),
    ],
)
def test_a_window_of_another_shape_is_refused_at_its_field(field: str, value: Any) -> None:
    with pytest.raises(ma.ValidationError) as caught:
        WindowSchema().load({"starts_at": "00:30", "ends_at": "05:30", field: value})
    assert list(caught.value.normalized_messages()) == [field]
