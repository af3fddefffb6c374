"""The figures that come with the service: one readable table a subject, read once."""

from __future__ import annotations

import csv
from datetime import date
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Final

from service.figures.domain.book import Figure, Standing

FOLDER: Final = Path(__file__).parent.parent / "shipped"
COLUMNS: Final = ("name", "key", "from_on", "until_on", "value", "unit", "standing", "source")


@cache
def shipped_figures() -> tuple[Figure, ...]:
    """Return the figures of every table in ``shipped/``."""
    return tuple(figure for path in sorted(FOLDER.glob("*.csv")) for figure in read_table(path.read_text("utf-8")))


def read_table(text: str) -> tuple[Figure, ...]:
    """Return the figures of one table, whose first line names ``COLUMNS``; raises ``ValueError`` with the line."""
    rows = csv.DictReader(text.splitlines(), strict=True)
    if tuple(rows.fieldnames or ()) != COLUMNS:
        raise ValueError(f"the first line must be {','.join(COLUMNS)}")
    found = []
    for row in rows:
        try:
            found.append(_figure(row))
        except (ArithmeticError, TypeError, ValueError) as error:
            raise ValueError(f"line {rows.line_num}: {error or 'not a number'}") from error
    return tuple(found)


def _figure(row: dict[str, str]) -> Figure:
    if not (row["name"] and row["unit"] and row["source"]):
        raise ValueError("name, unit and source must be given")
    value = Decimal(row["value"])
    if not value.is_finite():
        raise ValueError("the value must be a number")
    until_on = date.fromisoformat(row["until_on"]) if row["until_on"] else None
    standing = Standing(row["standing"])
    from_on = date.fromisoformat(row["from_on"])
    return Figure(row["name"], row["key"], from_on, until_on, value, row["unit"], standing, row["source"])
