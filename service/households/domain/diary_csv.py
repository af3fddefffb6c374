"""Days of a diary from CSV text: every fault is named by its line and column, and one faulty row refuses the text.

Header ``on,miles``, columns in either order; a day as 2026-11-24, miles with at most one decimal.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from service.common.errors import Fault, Rejected
from service.households.domain.diary_days import DAYS_MAX, DiaryEntry

ON, MILES = "on", "miles"
FAULTS_MAX = 100
_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_MILES = re.compile(r"[0-9]{1,6}(\.[0-9]+)?")
_SHOWN = 60


def parse_diary_csv(text: str, *, today: date) -> tuple[DiaryEntry, ...]:
    """Return the days of a CSV text in the order of the text.

    A byte order mark, CRLF ends and blank lines are accepted.

    Raises
    ------
    Rejected
        With fields "header" or "rows.<position from 0>.<column>" and the line number in the rule: wrong header, cells
        missing or left over, a day that is none, lies ahead or stands twice, miles that are none or too many, no
        rows, too many.
    """
    days: dict[date, DiaryEntry] = {}
    faults: list[Fault] = []
    rows = 0
    try:
        for row in _rows(text.removeprefix("\ufeff")):
            rows += 1
            faults.extend(_row_faults(row, days, today))
            if len(faults) >= FAULTS_MAX or rows > DAYS_MAX:
                faults.append(Fault("rows", row.line, f"reading stopped at line {row.line}: at most {DAYS_MAX} days"))
                break
    except Rejected as rejected:
        faults.extend(rejected.faults)
    if faults:
        raise Rejected(*faults)
    if not days:
        raise Rejected(Fault("rows", 0, "must hold at least one day"))
    return tuple(days.values())


@dataclass(frozen=True)
class _Row:
    """A row's position among the days, its line in the text, its cells by column; ``misfit``: why it has none."""

    position: int
    line: int
    cells: Mapping[str, str]
    misfit: str = ""

    def fault(self, column: str, rule: str) -> Fault:
        return Fault(
            f"rows.{self.position}.{column}", self.cells[column][:_SHOWN], f"line {self.line}, {column}: {rule}"
        )


def _rows(text: str) -> Iterator[_Row]:
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    try:
        columns = [name.strip().lower() for name in next(reader, [])]
        if sorted(columns) != sorted([ON, MILES]):
            raise Rejected(Fault("header", ",".join(columns)[:200], f"line 1: must be {ON},{MILES}"))
        filled = (cells for cells in reader if any(cell.strip() for cell in cells))
        for position, cells in enumerate(filled):
            if len(cells) == len(columns):
                by_column = dict(zip(columns, (cell.strip() for cell in cells), strict=True))
                yield _Row(position, reader.line_num, by_column)
            else:
                yield _Row(position, reader.line_num, {}, f"must hold {len(columns)} cells, not {len(cells)}")
    except csv.Error as error:
        raise Rejected(Fault("rows", reader.line_num, f"line {reader.line_num} is not CSV: {error}")) from error


def _row_faults(row: _Row, days: dict[date, DiaryEntry], today: date) -> Iterator[Fault]:
    """Keep a row's day, or yield why it cannot be."""
    if row.misfit:
        yield Fault(f"rows.{row.position}", None, f"line {row.line}: {row.misfit}")
        return
    day = _day_of(row.cells[ON])
    if day is None:
        yield row.fault(ON, "must be a day such as 2026-11-24")
    elif day > today:
        yield row.fault(ON, "must not lie ahead")
    elif day in days:
        yield row.fault(ON, "this day stands in the text already")
    if not _MILES.fullmatch(row.cells[MILES]):
        yield row.fault(MILES, "must be miles such as 31 or 31.5")
        return
    try:
        entry = DiaryEntry(day or today, Decimal(row.cells[MILES]))
    except Rejected as rejected:
        for fault in rejected.faults:
            yield row.fault(MILES, fault.rule)
        return
    if day is not None:
        days.setdefault(day, entry)


def _day_of(text: str) -> date | None:
    if not _DAY.fullmatch(text):
        return None
    try:
        return date.fromisoformat(text)
    except ValueError:
        return None
