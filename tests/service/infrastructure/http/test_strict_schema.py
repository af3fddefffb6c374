"""The fast dump gives what marshmallow's own gives, for everything it may meet."""

from dataclasses import dataclass
from datetime import UTC, date, datetime
from typing import Any

import marshmallow as ma
import pytest
from marshmallow import fields as ma_fields

from service.infrastructure.http.fields import (
    CalendarDate,
    Choice,
    Flag,
    Id,
    Instant,
    KilowattHours,
    LocalTime,
    Pence,
    StrictSchema,
    Text,
    WholeNumber,
)


def fields_of_every_kind() -> dict[str, Any]:
    return {
        "id": Id(),
        "name": Text(max_length=9),
        "price": Pence(allow_none=True),
        "energy": KilowattHours(),
        "at": Instant(),
        "on": CalendarDate(),
        "time": LocalTime(),
        "kind": Choice(("a", "b")),
        "flag": Flag(),
        "count": WholeNumber(),
        "numbers": ma_fields.List(KilowattHours()),
        "texts": ma_fields.List(Text(max_length=3)),
        "renamed": ma_fields.String(data_key="other", attribute="source"),
        "dotted": ma_fields.String(attribute="inner.value"),
        "with_default": ma_fields.Integer(dump_default=5),
        "worked_out": ma_fields.Function(lambda row: "worked out"),
        "load_only": ma_fields.String(load_only=True),
        "real": ma_fields.Float(),
    }


FastPart = type("FastPart", (StrictSchema,), fields_of_every_kind())
SlowPart = type("SlowPart", (ma.Schema,), fields_of_every_kind())
ROW = {
    "id": "0" * 32,
    "name": "n",
    "price": 28_350_000,
    "energy": 50_500,
    "at": datetime(2026, 1, 2, tzinfo=UTC),
    "on": date(2026, 1, 2),
    "time": 450,
    "kind": "a",
    "flag": True,
    "count": 3,
    "numbers": [1, None, 1000],
    "texts": ["a", "b"],
    "source": "s",
    "inner": {"value": "v"},
    "load_only": "hidden",
    "real": 1.5,
}


def schemas(part: type[ma.Schema], base: type[ma.Schema]) -> type[ma.Schema]:
    return type(
        "Whole",
        (base,),
        {
            "one": ma_fields.Nested(part),
            "many": ma_fields.List(ma_fields.Nested(part)),
            "also_many": ma_fields.Nested(part, many=True),
            "absent": ma_fields.Nested(part),
        },
    )


@dataclass
class Attributes:
    one: Any
    many: Any
    also_many: Any
    absent: Any = None


@pytest.mark.parametrize("changed", [{}, {"price": None}, {"name": None, "numbers": None}, {"texts": []}])
def test_the_fast_dump_equals_marshmallows_own(changed: dict[str, Any]) -> None:
    row = {**ROW, **changed}
    lacking = {name: value for name, value in row.items() if name not in ("energy", "source")}
    fast, slow = schemas(FastPart, StrictSchema)(), schemas(SlowPart, ma.Schema)()
    for whole in (
        {"one": row, "many": [row, lacking], "also_many": [row], "absent": None},
        {"one": row},
        Attributes(row, [row], []),
    ):
        assert fast.dump(whole) == slow.dump(whole)
    assert fast.dump([{"one": row}] * 3, many=True) == slow.dump([{"one": row}] * 3, many=True)


def test_rows_with_attributes_dump_like_dictionaries() -> None:
    names = [name for name in ROW if name not in ("inner",)]
    row = dataclass(type("Row", (), {"__annotations__": dict.fromkeys(names, Any)}))(**{n: ROW[n] for n in names})
    fast = type("Fast", (StrictSchema,), {"id": Id(), "price": Pence(), "missing": Text(max_length=1)})()
    assert fast.dump(row) == {"id": "0" * 32, "price": "28.35"}


def test_schemas_with_hooks_go_the_ordinary_way() -> None:
    class HookedSchema(StrictSchema):
        name = Text(max_length=3)

        @ma.post_dump
        def shout(self, data: dict[str, Any], **kwargs: Any) -> dict[str, Any]:
            return {"name": data["name"].upper()}

    class ParentSchema(StrictSchema):
        child = ma_fields.Nested(HookedSchema)

    assert ParentSchema().dump({"child": {"name": "a"}}) == {"child": {"name": "A"}}


def test_only_and_exclude_are_respected() -> None:
    assert set(FastPart(only=("id", "name")).dump(ROW)) == {"id", "name"}
    assert "id" not in FastPart(exclude=("id",)).dump(ROW)


def test_unknown_names_are_refused_at_every_depth() -> None:
    class InnerSchema(StrictSchema):
        name = Text(max_length=3)

    class OuterSchema(StrictSchema):
        inner = ma_fields.List(ma_fields.Nested(InnerSchema))

    with pytest.raises(ma.ValidationError) as refusal:
        OuterSchema().load({"inner": [{"name": "a", "scheme_id": "x"}], "role": "boss"})
    assert refusal.value.messages == {"inner": {0: {"scheme_id": ["Unknown field."]}}, "role": ["Unknown field."]}
