"""A member's copy of a claim as a PDF, with where each trip began and ended; the same claim gives the same bytes."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any, Final

from fpdf import FPDF
from fpdf.enums import TableBordersLayout, XPos, YPos
from fpdf.fonts import FontFace

# The one set of fonts that documents embed stands with the safety file's.
FONTS: Final = Path(__file__).parents[2] / "reporting" / "documents" / "fonts"
FAMILY: Final = "DejaVu"
MARGIN_MM: Final = 14
PAGE_NUMBER_MM: Final = 24
BODY_PT, SMALL_PT, HEAD_PT, TITLE_PT = 9, 7, 12, 18
INK, SOFT, SHADE = (30, 26, 34), (90, 82, 98), (238, 235, 241)
LINE_HEADS: Final = ("Day", "Car", "From", "To", "Purpose", "Miles", "How", "Pounds")
LINE_WIDTHS: Final = (11, 12, 20, 20, 24, 8, 30, 9)
FIGURE_HEADS: Final = ("Figure", "From", "Value", "Source")
FIGURE_WIDTHS: Final = (22, 11, 20, 70)


@dataclass(frozen=True)
class ClaimCopy:
    """A claim as its copy shows it; instants in the home's own zone."""

    claim_id: str
    name: str
    reference: str
    month: str
    ordinal: int
    state: str
    sent_at: datetime
    decided_at: datetime | None
    corrects_id: str | None
    reckoning: Mapping[str, Any]

    @property
    def title(self) -> str:
        """Return what stands at the head of the copy."""
        return f"Business miles of {self.name}, {self.month}" + (f" ({self.ordinal})" if self.ordinal > 1 else "")


class _Sheet(FPDF):
    """Pages of A4 on their side, each with the claim's name and its number."""

    def __init__(self, copy: ClaimCopy) -> None:
        super().__init__(orientation="landscape", format="A4")
        self.claim = copy
        self.set_margin(MARGIN_MM)
        self.set_auto_page_break(auto=True, margin=MARGIN_MM + 4)
        self.add_font(FAMILY, "", FONTS / "DejaVuSans.ttf")
        self.add_font(FAMILY, "B", FONTS / "DejaVuSans-Bold.ttf")
        self.set_creation_date(copy.sent_at)
        self.set_title(copy.title)
        self.set_lang("en-GB")
        self.set_producer("Plugward")
        self.alias_nb_pages("{pages}")

    def footer(self) -> None:
        """Write the claim's name and the page's number out of how many."""
        self.set_y(-MARGIN_MM + 2)
        self.set_font(FAMILY, "", SMALL_PT)
        self.set_text_color(*SOFT)
        self.cell(0, 4, f"{self.claim.title}. Claim {self.claim.claim_id}. Not tax advice.")
        self.set_x(self.w - MARGIN_MM - PAGE_NUMBER_MM)
        self.cell(0, 4, f"Page {self.page_no()} of {{pages}}")

    def file_id(self) -> str:
        """Return an id made of what the copy holds, where the usual one is made of the hour of making."""
        digest = hashlib.sha256(repr(self.claim).encode()).hexdigest()[:32].upper()
        return f"<{digest}><{digest}>"

    def line_of(self, text: str, size_pt: int, *, style: str = "", colour: tuple[int, int, int] = INK) -> None:
        """Write a run of text over the whole width."""
        self.set_font(FAMILY, style, size_pt)
        self.set_text_color(*colour)
        self.multi_cell(0, size_pt * 0.48, text, new_x=XPos.LMARGIN, new_y=YPos.NEXT, align="L")

    def rows_of(self, heads: Sequence[str], widths: Sequence[int], rows: Sequence[Sequence[str]]) -> None:
        """Write a table whose head stands on each page."""
        self.ln(1)
        self.set_font(FAMILY, "", SMALL_PT)
        self.set_text_color(*INK)
        self.set_draw_color(*SOFT)
        with self.table(
            borders_layout=TableBordersLayout.HORIZONTAL_LINES,
            col_widths=tuple(widths),
            headings_style=FontFace(emphasis="BOLD", fill_color=SHADE),
            line_height=SMALL_PT * 0.5,
            padding=0.8,
            text_align="LEFT",
            wrapmode="WORD",
        ) as laid:
            for cells in (heads, *rows):
                row: Any = laid.row()
                for cell in cells:
                    row.cell(cell)


def claim_pdf(copy: ClaimCopy) -> bytes:
    """Return the copy as a PDF."""
    reckoning = copy.reckoning
    sheet = _Sheet(copy)
    sheet.add_page()
    sheet.line_of(copy.title, TITLE_PT, style="B")
    sheet.line_of(f"Home {copy.reference}. {_where_it_stands(copy)}", HEAD_PT, colour=SOFT)
    sheet.ln(3)
    sheet.rows_of(LINE_HEADS, LINE_WIDTHS, [_line(line) for line in reckoning["lines"]])
    sheet.ln(2)
    total = f"{reckoning['miles']} miles, {_pounds(reckoning['total_pence'])} pounds in all"
    sheet.line_of(total, HEAD_PT, style="B")
    sheet.ln(4)
    sheet.line_of("Figures that it was worked out with", HEAD_PT, style="B")
    sheet.rows_of(FIGURE_HEADS, FIGURE_WIDTHS, [_figure(each) for each in reckoning["figures"]])
    sheet.ln(3)
    for note in ("rounding_rule", "tax_note", "vat_note", "caution"):
        sheet.line_of(reckoning[note], BODY_PT, colour=SOFT)
        sheet.ln(1)
    return bytes(sheet.output())


def _where_it_stands(copy: ClaimCopy) -> str:
    words = f"Sent {copy.sent_at:%Y-%m-%d %H:%M}; {copy.state}"
    words += f" since {copy.decided_at:%Y-%m-%d %H:%M}." if copy.decided_at else "."
    return f"{words} Takes the place of claim {copy.corrects_id}." if copy.corrects_id else words


def _line(line: Mapping[str, Any]) -> tuple[str, ...]:
    return (
        line["on_date"] or "", line["vehicle_label"], line["origin"], line["destination"],
        line["reason"] or line["kind"].replace("_", " "), line["miles"], line["text"], _pounds(line["pence"]),
    )  # fmt: skip


def _figure(figure: Mapping[str, Any]) -> tuple[str, ...]:
    value = f"{figure['value']} {figure['unit']}"
    return figure["name"].replace("_", " "), figure["from_on"], value, f"{figure['source']} ({figure['standing']})"


def _pounds(pence: int) -> str:
    pounds, rest = divmod(abs(pence), 100)
    return f"{'-' if pence < 0 else ''}{pounds}.{rest:02d}"
