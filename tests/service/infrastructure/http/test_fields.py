"""Fields: read strictly, written exactly, documented as they are."""

import re
from decimal import Decimal
from enum import Enum
from typing import Any

import marshmallow as ma
import pytest
from apispec import APISpec
from apispec.ext.marshmallow import MarshmallowPlugin

from service.infrastructure.http.fields import (
    Choice,
    DecimalText,
    Flag,
    Id,
    KilowattHours,
    Pence,
    Percent,
    QueryNumber,
    StrictSchema,
    Text,
    TextMap,
    WholeNumber,
)


class Colour(Enum):
    RED = "red"
    BLUE = "blue"


def documented(field: Any) -> dict[str, Any]:
    """Return the JSON schema of a field as the OpenAPI document shows it."""
    plugin = MarshmallowPlugin()
    APISpec("x", "1", "3.1.0", plugins=[plugin])
    assert plugin.converter is not None
    found: dict[str, Any] = plugin.converter.field2property(field)
    return found


GOOD: list[tuple[Any, Any, Any]] = [
    (Text(max_length=5), "grün", "grün"),
    (Text(max_length=9, is_lines=True), "a\n\tb", "a\n\tb"),
    (Id(), "0" * 32, "0" * 32),
    (Choice(("a", "b")), "a", "a"),
    (Choice(Colour), "red", Colour.RED),
    (Flag(), False, False),
    (WholeNumber(), 7, 7),
    (WholeNumber(minimum=-9), -9, -9),
    (Pence(), "28.35", 28_350_000),
    (Pence(), "-0.000001", -1),
    (Pence(), "0", 0),
    (DecimalText(decimals=1, maximum=1000), "42.5", Decimal("42.5")),
    (KilowattHours(), 50.5, 50_500),
    (KilowattHours(), 8, 8000),
    (KilowattHours(), 0.001, 1),
    (KilowattHours(minimum=None), -1.5, -1500),
    (Percent(maximum=100), 84.5, 845),
    (TextMap(), {"a": "b"}, {"a": "b"}),
]


@pytest.mark.parametrize(("field", "sent", "held"), GOOD, ids=lambda value: repr(value)[:30])
def test_good_values_are_read_and_written_back_unchanged(field: Any, sent: Any, held: Any) -> None:
    assert field.deserialize(sent) == held
    assert field._serialize(held, None, None) == sent
    assert field.write is None or field.write(held) == sent


BAD: list[tuple[Any, Any]] = [
    *[(Text(max_length=5), value) for value in ("toolong", 1, True, ["a"], "a\x00", "a\n", "\ud800", "\u2028")],
    (Text(max_length=5, min_length=1), ""),
    *[(Text(max_length=5, is_lines=True), value) for value in ("a\x00", "\x0b", "\x9f")],
    *[(Id(), value) for value in ("", "0" * 31, "0" * 33, "A" * 32, "0" * 31 + "\n", 0)],
    *[(Choice(Colour), value) for value in ("green", "RED", "", 1, ["red"])],
    *[(Flag(), value) for value in (0, 1, "true", "yes", "")],
    *[(WholeNumber(), value) for value in (-1, 2**53, 1.5, True, "1", float("inf"), float("nan"), None)],
    *[(QueryNumber(), value) for value in ("1.0", "1e3", " 1", "1_0", "+1", "٣", "", "9" * 30)],
    *[(Pence(), value) for value in ("1e3", "NaN", "Infinity", "1.0000001", "1,5", "", "0x1", 28.35, 1, "9" * 12)],
    (Pence(minimum_up=0), "-1"),
    (Pence(maximum_up=5_000_000), "5.000001"),
    *[(DecimalText(decimals=1, maximum=100), value) for value in ("1.25", "100.1", "-1", "1e1", "NaN", "", 1, ".5")],
    *[(KilowattHours(), value) for value in (-0.001, 0.0001, "1", True, float("inf"), float("nan"), 1e300, None)],
    (KilowattHours(maximum=200), 200.001),
    *[(Percent(maximum=100), value) for value in (100.1, 50.05, "50")],
    *[(TextMap(), value) for value in ([], {"a": 1}, "x")],
]


@pytest.mark.parametrize(("field", "value"), BAD, ids=lambda value: repr(value)[:30])
def test_bad_values_are_refused(field: Any, value: Any) -> None:
    with pytest.raises(ma.ValidationError):
        field.deserialize(value)


DOCUMENTED: list[tuple[Any, dict[str, Any]]] = [
    (Text(max_length=5), {"type": "string", "maxLength": 5, "minLength": 0}),
    (Id(), {"type": "string", "pattern": "^[0-9a-f]{32}$"}),
    (Choice(Colour), {"type": "string", "enum": ["red", "blue"]}),
    (Choice(Colour, allow_none=True), {"type": ["string", "null"], "enum": ["red", "blue", None]}),
    (Flag(), {"type": "boolean"}),
    (WholeNumber(maximum=9), {"type": "integer", "minimum": 0, "maximum": 9}),
    (Pence(), {"type": "string", "pattern": r"^-?[0-9]{1,12}(\.[0-9]{1,6})?$"}),
    (Pence(minimum_up=0), {"type": "string", "pattern": r"^[0-9]{1,12}(\.[0-9]{1,6})?$"}),
    (Pence(allow_none=True), {"type": ["string", "null"]}),
    (DecimalText(decimals=1, maximum=10), {"type": "string", "pattern": r"^[0-9]{1,12}(\.[0-9]{1,1})?$"}),
    (KilowattHours(maximum=200), {"type": "number", "minimum": 0, "maximum": 200}),
]


@pytest.mark.parametrize(("field", "expected"), DOCUMENTED, ids=lambda value: repr(value)[:30])
def test_the_document_says_what_a_field_takes(field: Any, expected: dict[str, Any]) -> None:
    found = documented(field)
    assert {name: found.get(name) for name in expected} == expected


@pytest.mark.parametrize(("field", "sent", "held"), [row for row in GOOD if "pattern" in documented(row[0])])
def test_good_values_match_the_documented_pattern(field: Any, sent: Any, held: Any) -> None:
    assert re.search(documented(field)["pattern"], sent)


@pytest.mark.parametrize("value", ["a\x00", "a\x1fb", "\x7f", "\x85", "\u2028"])
def test_the_documented_pattern_of_text_bars_control_characters(value: str) -> None:
    assert not re.search(documented(Text(max_length=5))["pattern"], value)


def test_a_query_flag_is_the_word_true_or_false() -> None:
    flag = Flag(is_query=True)
    assert [flag.deserialize("true"), flag.deserialize("false")] == [True, False]
    with pytest.raises(ma.ValidationError):
        flag.deserialize("1")


def test_every_whole_watt_hour_survives_the_way_through_json() -> None:
    field = KilowattHours()
    for energy_wh in range(0, 200_000, 7):
        assert field.deserialize(field.write(energy_wh)) == energy_wh


def test_a_nullable_field_reads_and_writes_null() -> None:
    class NullableSchema(StrictSchema):
        price = Pence(allow_none=True)
        energy = KilowattHours(allow_none=True)

    nothing = {"price": None, "energy": None}
    assert NullableSchema().load(nothing) == nothing
    assert NullableSchema().dump(nothing) == nothing
