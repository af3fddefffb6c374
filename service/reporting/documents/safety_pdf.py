"""The safety file as a PDF: the same file gives the same bytes, whenever and wherever it is made.

fpdf2 lays tables over page breaks with their heads repeated, and embeds only the letters in use. What would
differ from one making to the next (the date of making, the file's id) is set from the file itself.
"""

from __future__ import annotations

import hashlib
from pathlib import Path
from typing import Any, Final

from fpdf import FPDF
from fpdf.enums import TableBordersLayout, TableCellFillMode, XPos, YPos
from fpdf.fonts import FontFace

from service.reporting.domain.safety_file import Part, SafetyFile, Table

FONTS: Final = Path(__file__).parent / "fonts"
FAMILY: Final = "DejaVu"
MARGIN_MM: Final = 14
PAGE_NUMBER_MM: Final = 24
BODY_PT, SMALL_PT, HEAD_PT, TITLE_PT = 9, 7, 12, 18
INK, SOFT, SHADE = (30, 26, 34), (90, 82, 98), (238, 235, 241)
WIDEST_SHARE: Final = 4.5
"""How many times the narrowest column a wide one may be."""


class _Sheet(FPDF):
    """Pages of A4 on their side, each with the file's name and its number."""

    def __init__(self, file: SafetyFile) -> None:
        super().__init__(orientation="landscape", format="A4")
        self.file = file
        self.set_margin(MARGIN_MM)
        self.set_auto_page_break(auto=True, margin=MARGIN_MM + 4)
        self.add_font(FAMILY, "", FONTS / "DejaVuSans.ttf")
        self.add_font(FAMILY, "B", FONTS / "DejaVuSans-Bold.ttf")
        self.set_creation_date(file.at)
        self.set_title(file.title)
        self.set_lang("en-GB")
        self.set_producer("Plugward")
        self.alias_nb_pages("{pages}")

    def footer(self) -> None:
        """Write the file's name, its instant, and the page's number out of how many."""
        self.set_y(-MARGIN_MM + 2)
        self.set_font(FAMILY, "", SMALL_PT)
        self.set_text_color(*SOFT)
        self.cell(0, 4, f"{self.file.title}, as at {self.file.as_at}. Recorded, not certified.")
        # Not set to the right: the width of the count is not known yet.
        self.set_x(self.w - MARGIN_MM - PAGE_NUMBER_MM)
        self.cell(0, 4, f"Page {self.page_no()} of {{pages}}")

    def file_id(self) -> str:
        """Return an id made of what the file holds, where the usual one is made of the hour of making."""
        digest = hashlib.sha256(repr(self.file).encode()).hexdigest()[:32].upper()
        return f"<{digest}><{digest}>"

    def line_of(self, text: str, size_pt: int, *, style: str = "", colour: tuple[int, int, int] = INK) -> None:
        """Write a run of text over the whole width."""
        self.set_font(FAMILY, style, size_pt)
        self.set_text_color(*colour)
        self.multi_cell(0, size_pt * 0.48, text, new_x=XPos.LMARGIN, new_y=YPos.NEXT, align="L")


def safety_pdf(file: SafetyFile) -> bytes:
    """Return the file as a PDF."""
    sheet = _Sheet(file)
    sheet.add_page()
    sheet.line_of(file.title, TITLE_PT, style="B")
    sheet.line_of(f"As at {file.as_at} ({file.zone})", HEAD_PT, colour=SOFT)
    sheet.ln(3)
    sheet.line_of(file.is_not, BODY_PT)
    for part in file.parts:
        _write_part(sheet, part)
    _keep_together(sheet, 40)
    _heading(sheet, "What this file cannot show")
    for limit in file.limits:
        sheet.line_of(f"•  {limit}", BODY_PT)
        sheet.ln(1)
    return bytes(sheet.output())


def _heading(sheet: _Sheet, title: str) -> None:
    sheet.ln(5)
    sheet.start_section(title)
    sheet.line_of(title, HEAD_PT, style="B")
    sheet.ln(1)


def _keep_together(sheet: _Sheet, height_mm: float) -> None:
    """Begin a page where a heading would stand alone at the foot of this one."""
    if sheet.will_page_break(height_mm):
        sheet.add_page()


def _write_part(sheet: _Sheet, part: Part) -> None:
    _keep_together(sheet, 32)
    _heading(sheet, part.title)
    for note in part.notes:
        sheet.line_of(note, BODY_PT, colour=SOFT)
    for name, value in part.facts:
        sheet.line_of(f"{name}: {value}", BODY_PT)
    for table in part.tables:
        _write_table(sheet, table)


def _write_table(sheet: _Sheet, table: Table) -> None:
    _keep_together(sheet, 26)
    sheet.ln(2)
    sheet.line_of(table.title, BODY_PT, style="B")
    if not table.rows:
        sheet.line_of(table.empty, BODY_PT, colour=SOFT)
        return
    if table.held_back:
        told = f"The newest {len(table.rows)} of {table.total} are listed; {table.held_back} earlier ones are kept."
        sheet.line_of(told, BODY_PT, colour=SOFT)
    sheet.ln(1)
    sheet.set_font(FAMILY, "", SMALL_PT)
    sheet.set_text_color(*INK)
    sheet.set_draw_color(*SOFT)
    with sheet.table(
        borders_layout=TableBordersLayout.HORIZONTAL_LINES,
        cell_fill_color=SHADE,
        cell_fill_mode=TableCellFillMode.NONE,
        col_widths=_widths(table),
        headings_style=FontFace(emphasis="BOLD", fill_color=SHADE),
        line_height=SMALL_PT * 0.5,
        padding=0.8,
        text_align="LEFT",
        wrapmode="WORD",
    ) as laid:
        for cells in (table.heads, *table.rows):
            row: Any = laid.row()
            for cell in cells:
                row.cell(cell)


def _widths(table: Table) -> tuple[float, ...]:
    """Return the columns' shares of the width: by their usual text, and never less than their longest word."""
    shares = []
    for place, head in enumerate(table.heads):
        texts = [head, *(row[place] for row in table.rows)]
        usual = sum(map(len, texts)) / len(texts)
        word = max(len(word) for text in texts for word in text.split() or [""])
        shares.append(max(usual**0.75, min(word, 30) * 0.55, 3.0))
    narrowest = min(shares)
    return tuple(min(share, narrowest * WIDEST_SHARE) for share in shares)
