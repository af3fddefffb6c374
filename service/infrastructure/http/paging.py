"""Lists in pages: page and page_size in the query, the total in the body, sort keys out of a declared list."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import marshmallow as ma

from service.common.errors import Fault, Rejected
from service.infrastructure.http.fields import Choice, QueryNumber, StrictSchema

USUAL_SIZE = 50
GREATEST_SIZE = 200
LAST_PAGE = 1_000_000  # own bound: keeps the offset inside what a database takes


class PageQuery(StrictSchema):
    """Which page; a feature's query schema inherits from this and adds its filters."""

    page = QueryNumber(load_default=1, minimum=1, maximum=LAST_PAGE, metadata={"description": "Counted from 1"})
    page_size = QueryNumber(load_default=USUAL_SIZE, minimum=1, maximum=GREATEST_SIZE)


@dataclass(frozen=True)
class Page:
    """One page of a list: what ``page_schema`` writes."""

    items: list[Any]
    total: int
    page: int
    page_size: int


@dataclass(frozen=True)
class SortKey:
    """One key to sort by, and which way."""

    name: str
    is_descending: bool


def page_schema(item: type[ma.Schema]) -> type[StrictSchema]:
    """Return the envelope {items, total, page, page_size} for a row's schema, named after it."""
    name = item.__name__.removesuffix("Schema") + "PageSchema"
    return type(
        name,
        (StrictSchema,),
        {
            "__doc__": "A page of a list; beyond the last page ``items`` is empty.",
            "__module__": item.__module__,
            "items": ma.fields.List(ma.fields.Nested(item), required=True),
            "total": ma.fields.Integer(required=True, metadata={"description": "Rows in all pages"}),
            "page": ma.fields.Integer(required=True),
            "page_size": ma.fields.Integer(required=True),
        },
    )


def sort_field(*names: str, usual: str) -> Choice:
    """Return the query field ``sort`` for a list that sorts by ``names``; a leading '-' means downwards."""
    keys = tuple(sign + name for name in names for sign in ("", "-"))
    if usual not in keys:
        raise ValueError(f"{usual!r} is not one of the sort keys {keys}")
    return Choice(keys, load_default=usual, metadata={"description": "A leading '-' sorts downwards"})


def sort_key(text: str, allowed: tuple[str, ...]) -> SortKey:
    """Read a sort key, refusing what is not declared."""
    name = text.removeprefix("-")
    if name not in allowed:
        raise Rejected(Fault("sort", text, "must be one of " + ", ".join(allowed) + ", with '-' for downwards"))
    return SortKey(name, text.startswith("-"))


def first_row(page: int, page_size: int) -> int:
    """Return the offset of a page's first row, counted from 0."""
    return (page - 1) * page_size
