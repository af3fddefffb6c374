"""Upgrades as CSV (RFC 4180, UTF-8 with a mark for spreadsheets), line by line."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator

from service.advice.documents.upgrades_lines import HEADS, Cell, line, looks_active, one_line
from service.advice.domain.budget_ranking import RankedHome

BYTE_ORDER_MARK = "\ufeff"


def upgrades_csv(rows: Iterable[RankedHome]) -> Iterator[bytes]:
    """Yield the export a line at a time; text that looks like a formula gets an apostrophe before it."""
    yield _written(HEADS, BYTE_ORDER_MARK)
    for row in rows:
        yield _written([_cell(cell) for cell in line(row)])


def _cell(cell: Cell) -> str:
    if not isinstance(cell, str):
        return "" if cell is None else str(cell)
    text = one_line(cell)
    return f"'{text}" if looks_active(text) else text


def _written(cells: Iterable[str], before: str = "") -> bytes:
    text = io.StringIO(newline="")
    csv.writer(text, lineterminator="\r\n").writerow(cells)
    return (before + text.getvalue()).encode()
