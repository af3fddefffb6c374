"""The lines of the desk's export, for both formats: text stays text, whatever it begins with."""

from __future__ import annotations

import re
from datetime import date, datetime
from typing import Final, TypeAlias

from service.reporting.domain.safety_file import readable
from service.reporting.operations import DeskRow

Cell: TypeAlias = str | int | date | None

HEADS: Final = (
    "Home", "Area", "Clearance", "Since", "Next recheck", "Days left", "Overdue", "Missing", "Told", "Whom", "Read",
    "Unread notices", "Open visit", "Visit agreed on", "Last inspection", "Last check",
)
# Line ends and control characters, and what XML (1.0, section 2.2) cannot hold: one would spoil a whole workbook.
_CONTROL: Final = re.compile(r"[\x00-\x1f\x7f-\x9f\u2028\u2029\ufeff\ufffe\uffff]+")
# What a spreadsheet takes for the start of a formula, behind blanks too, and in full width.
_ACTIVE: Final = re.compile(r"^[\s\u00a0]*[=+\-@＝＋－＠]")


def line(row: DeskRow) -> tuple[Cell, ...]:
    """Return one home's cells in the order of ``HEADS``; an instant stands as its date in UTC."""
    told, visit = row.details.told, row.details.visit
    return (
        row.reference, row.area, readable(row.clearance), row.since_on, row.next_recheck_on, row.days_left,
        row.overdue_count, "; ".join(row.details.missing), _day(row.told_at), told.name if told else None,
        _day(told.read_at) if told else None, row.unread_count, readable(visit.state) if visit else None,
        visit.agreed_on if visit else None, row.last_inspection_on, _day(row.last_check_at),
    )


def one_line(text: str) -> str:
    """Return text without control characters and line ends, which some readers take for a new cell or row."""
    return _CONTROL.sub(" ", text)


def looks_active(text: str) -> bool:
    """Tell whether a spreadsheet might run the text as a formula."""
    return bool(_ACTIVE.match(text))


def _day(instant: datetime | None) -> date | None:
    return instant.date() if instant else None
