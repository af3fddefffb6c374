"""Exact quantities: checked against a range, looked up in a table's own rows, written for people.

Quantities are ``Decimal``, so that a value on a boundary (32 A in a cable of 32 A) compares as the books do.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from decimal import Decimal
from typing import Final, TypeVar

from service.common.errors import Fault, Rejected

Number = Decimal | int
Row = TypeVar("Row")

ZERO: Final = Decimal(0)
HUNDRED: Final = Decimal(100)
THOUSAND: Final = Decimal(1000)

# own bounds on what is asked; they lie beyond anything in a home
CURRENT_MAX_A: Final = 1000
LENGTH_MAX_M: Final = 1000


def checked(field: str, value: Number, low: Number, high: Number, unit: str = "") -> Decimal:
    """Return the value as Decimal; raises ``Rejected`` unless it is finite and low <= value <= high."""
    exact = Decimal(value)
    if not exact.is_finite() or not low <= exact <= high:
        raise Rejected(Fault(field, str(value), f"must lie between {low} and {high} {unit}".rstrip()))
    return exact


def positive(field: str, value: Number, high: Number, unit: str = "") -> Decimal:
    """Return the value as Decimal; raises ``Rejected`` unless it is finite and 0 < value <= high."""
    exact = checked(field, value, 0, high, unit)
    if exact == 0:
        raise Rejected(Fault(field, str(value), f"must be above 0 {unit}".rstrip()))
    return exact


def whole(field: str, value: int, low: int, high: int) -> int:
    """Return the whole number; raises ``Rejected`` unless low <= value <= high."""
    if not low <= value <= high:
        raise Rejected(Fault(field, value, f"must lie between {low} and {high}"))
    return value


def row_of(field: str, value: Number, rows: Mapping[Decimal, Row], table: str) -> Row:
    """Return the row of a table; raises ``Rejected`` for a value that is not one of its rows."""
    exact = Decimal(value)
    if not exact.is_finite() or exact not in rows:
        raise Rejected(Fault(field, str(value), f"must be one of {table}: {_listed(rows)}; no value between is read"))
    return rows[exact]


def row_at_or_above(
    field: str, value: Number, rows: Mapping[Decimal, Row], unit: str, table: str
) -> tuple[Decimal, Row]:
    """Return the first row at or above a value, and where it stands; raises ``Rejected`` beyond the table.

    Where rows fall with the value, this errs towards safety without interpolating.
    """
    exact = checked(field, value, min(rows), max(rows), f"{unit}, the rows of {table}")
    key = min(row for row in rows if row >= exact)
    return key, rows[key]


def plain(value: Number, decimals: int = 3) -> str:
    """Return a number as people write it, rounded to some decimals, without trailing zeros.

    >>> plain(Decimal("4.6720")), plain(Decimal(32)), plain(Decimal("1E+2"))
    ('4.672', '32', '100')
    """
    text = f"{Decimal(value):.{decimals}f}"
    return (text.rstrip("0").rstrip(".") if "." in text else text) or "0"


def with_unit(value: Number | None, unit: str) -> str:
    """Return a number with its unit, or "not known"."""
    return "not known" if value is None else f"{plain(value)} {unit}"


def _listed(values: Iterable[Decimal]) -> str:
    return ", ".join(plain(value) for value in sorted(values))
