"""Between checked values and rows: a row's columns bear the names of the value's fields."""

from __future__ import annotations

from dataclasses import asdict, fields, is_dataclass
from enum import Enum
from typing import Any, TypeVar

from service.common.errors import NotFound
from service.households.models import OfHousehold
from service.infrastructure.db.sessions import SchemeSession

Row = TypeVar("Row", bound=OfHousehold)
Details = TypeVar("Details")


def get_part(session: SchemeSession, model: type[Row], household_id: str, part_id: str, what: str) -> Row:
    """Return a part of a home; raises ``NotFound`` where this home has none by that id."""
    row = session.get(model, (session.scheme_id, part_id))
    if row is None or row.household_id != household_id:
        raise NotFound(f"This home has no such {what}.")
    return row


def read_details(kind: type[Details], row: object) -> Details:
    """Return a row's columns as the checked value they were written from."""
    return kind(**{field.name: getattr(row, field.name) for field in fields(kind)})  # type: ignore[arg-type]


def fill(row: object, details: Any, *, leaving_out: frozenset[str] = frozenset()) -> tuple[str, ...]:
    """Write a checked value into a row and return the names of the columns that differ now."""
    changed = []
    for field in fields(details):
        value = _as_stored(getattr(details, field.name))
        if field.name not in leaving_out and getattr(row, field.name, None) != value:
            setattr(row, field.name, value)
            changed.append(field.name)
    return tuple(changed)


def _as_stored(value: Any) -> Any:
    """Return a value as a column holds it: enums as their words, tuples of values as lists of JSON."""
    if isinstance(value, tuple):
        return [_as_stored(item) for item in value]
    if is_dataclass(value) and not isinstance(value, type):
        return {name: _as_stored(item) for name, item in asdict(value).items()}
    return value.value if isinstance(value, Enum) else value
