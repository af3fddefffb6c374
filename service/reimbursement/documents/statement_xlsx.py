"""A statement as a workbook: text is typed as text, so nothing in it runs; the same document gives the same bytes."""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Mapping
from datetime import datetime
from decimal import Decimal
from typing import Any, Final

from openpyxl import Workbook
from openpyxl.cell import WriteOnlyCell

from service.reimbursement.documents.statement_lines import HEADS, Cell, lines, one_line

WIDTHS: Final = {"A": 12, "B": 24, "C": 10, "D": 34, "E": 34, "F": 24, "G": 12, "H": 16, "I": 40, "K": 44, "M": 13}
EARLIEST: Final = (1980, 1, 1, 0, 0, 0)
"""What a ZIP archive (APPNOTE 4.4.6) can hold as its earliest time: the hour of writing must not be in the bytes."""
_STAMPS: Final = re.compile(rb"(<dcterms:(created|modified)[^>]*>)[^<]*(</dcterms:)")


def statement_xlsx(document: Mapping[str, Any], *, made_at: datetime) -> bytes:
    """Return the workbook; ``made_at`` is when the statement was made, whenever the file is."""
    book = Workbook(write_only=True)
    sheet = book.create_sheet(f"Statement {document['month']}-{document['ordinal']}")
    sheet.freeze_panes = "C2"
    for column, width in WIDTHS.items():
        sheet.column_dimensions[column].width = width
    sheet.append([_cell(sheet, head) for head in HEADS])
    for row in lines(document):
        sheet.append([_cell(sheet, cell) for cell in row])
    file = io.BytesIO()
    book.save(file)
    return _without_the_hour(file, made_at)


def _cell(sheet: Any, value: Cell) -> Any:
    if isinstance(value, Decimal):
        cell = WriteOnlyCell(sheet, value=value)
        cell.number_format = "0.00" if value.as_tuple().exponent == -2 else "0.0"
        return cell
    if not isinstance(value, str):
        return value
    cell = WriteOnlyCell(sheet, value=one_line(value))
    cell.data_type = "s"  # also where it begins with "=": openpyxl would make a formula of it
    return cell


def _without_the_hour(file: io.BytesIO, made_at: datetime) -> bytes:
    """Return the archive packed again with set times: the library writes the hour of saving into both."""
    stamp = f"{made_at:%Y-%m-%dT%H:%M:%SZ}".encode()
    packed = io.BytesIO()
    with zipfile.ZipFile(file) as was, zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as now:
        for entry in was.infolist():
            content = was.read(entry)
            if entry.filename == "docProps/core.xml":
                content = _STAMPS.sub(rb"\g<1>" + stamp + rb"\g<3>", content)
            info = zipfile.ZipInfo(entry.filename, EARLIEST)
            info.compress_type = zipfile.ZIP_DEFLATED
            now.writestr(info, content)
    return packed.getvalue()
