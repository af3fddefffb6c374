"""A statement as CSV (RFC 4180, UTF-8 with a mark for spreadsheets)."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Mapping
from datetime import date
from decimal import Decimal
from typing import Any

from service.reimbursement.documents.statement_lines import HEADS, Cell, lines, looks_active, one_line

BYTE_ORDER_MARK = "\ufeff"


def statement_csv(document: Mapping[str, Any]) -> bytes:
    """Return the statement's lines; text that looks like a formula gets an apostrophe before it."""
    text = io.StringIO(newline="")
    text.write(BYTE_ORDER_MARK)
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow(HEADS)
    writer.writerows(_cells(row) for row in lines(document))
    return text.getvalue().encode()


def _cells(row: Iterable[Cell]) -> list[str]:
    return [_cell(cell) for cell in row]


def _cell(cell: Cell) -> str:
    if cell is None:
        return ""
    if isinstance(cell, str):
        text = one_line(cell)
        return f"'{text}" if looks_active(text) else text
    return cell.isoformat() if isinstance(cell, date) else f"{Decimal(cell):f}"
