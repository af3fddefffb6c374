"""Upgrades as a workbook: text is typed as text, so nothing in it runs; dates and numbers are what they are."""

from __future__ import annotations

import tempfile
from collections.abc import Iterable, Iterator
from typing import Any

from openpyxl import Workbook
from openpyxl.cell import WriteOnlyCell

from service.advice.documents.upgrades_lines import HEADS, Cell, line, one_line
from service.advice.domain.budget_ranking import RankedHome

PIECE_BYTES = 64 * 1024
IN_MEMORY_BYTES = 1024 * 1024
WIDTHS = {"B": 12, "C": 14, "E": 44, "F": 15, "H": 22, "I": 30, "J": 17, "K": 23, "L": 16, "M": 80, "N": 13}


def upgrades_xlsx(rows: Iterable[RankedHome]) -> Iterator[bytes]:
    """Yield the workbook piece by piece; it is laid down in a file first, never whole in memory."""
    book = Workbook(write_only=True)
    sheet = book.create_sheet("Upgrades")
    sheet.freeze_panes = "C2"
    for column, width in WIDTHS.items():
        sheet.column_dimensions[column].width = width
    sheet.append([_cell(sheet, head) for head in HEADS])
    for row in rows:
        sheet.append([_cell(sheet, cell) for cell in line(row)])
    with tempfile.SpooledTemporaryFile(max_size=IN_MEMORY_BYTES) as file:
        book.save(file)
        file.seek(0)
        while piece := file.read(PIECE_BYTES):
            yield piece


def _cell(sheet: Any, value: Cell) -> Any:
    if not isinstance(value, str):
        return value
    cell = WriteOnlyCell(sheet, value=one_line(value))
    cell.data_type = "s"  # also where it begins with "=": openpyxl would make a formula of it
    return cell
