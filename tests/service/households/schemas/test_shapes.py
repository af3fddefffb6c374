"""Exact decimals as JSON numbers, and changes that leave fields out."""

import json
from decimal import Decimal
from typing import Any

import marshmallow as ma
import pytest

from service.households.schemas.homes import ContractChangeSchema, HomeChangeSchema, HomeEntrySchema
from service.households.schemas.shapes import DecimalNumber


@pytest.mark.parametrize(
    ("text", "expected"), [("3.6", "3.6"), ("4", "4"), ("4.0", "4"), ("0.1", "0.1"), ("-2.25", "-2.25")]
)
def test_a_number_is_held_as_it_was_written(text: str, expected: str) -> None:
    assert DecimalNumber(decimals=2).deserialize(json.loads(text)) == Decimal(expected)


@pytest.mark.parametrize(
    "value", ["3.6", True, None, [], 3.666, 1e-7, 1e300, float("inf"), float("nan"), 10**400, 12_345_678_901]
)
def test_what_is_no_such_number_is_refused(value: Any) -> None:
    with pytest.raises(ma.ValidationError):
        DecimalNumber(decimals=2).deserialize(value)


def test_whole_decimals_are_written_without_a_fraction() -> None:
    assert [DecimalNumber.write(Decimal(text)) for text in ("4.00", "3.60")] == [4, 3.6]


def test_an_entry_fills_in_what_is_usual_and_a_change_does_not() -> None:
    entry = HomeEntrySchema().load({"reference": "H-1", "member_name": "Ada", "nation": "wales"})
    assert entry["zone"] == "Europe/London"
    assert HomeChangeSchema().load({}) == {}
    assert HomeChangeSchema().load({"region": None}) == {"region": None}


def test_what_is_nested_in_a_change_is_sent_whole() -> None:
    with pytest.raises(ma.ValidationError) as refused:
        ContractChangeSchema().load({"windows": [{"band": "night"}]})
    assert set(refused.value.messages["windows"][0]) == {"starts_at", "ends_at"}
