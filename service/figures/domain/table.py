"""A table of figures as the operator brings it: read whole, every bad line named, nothing taken from a bad one."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator, Mapping
from datetime import date
from decimal import Decimal
from typing import Final

from service.common.errors import Fault, Rejected
from service.figures.domain.recording import RecordedFigure
from service.figures.domain.shipped import COLUMNS

ROWS_MAX: Final = 2000
"""Own bound: more rows at once than all subjects together hold in twenty years."""

_DAY: Final = re.compile(r"\d{4}-\d{2}-\d{2}", re.ASCII)
_NUMBER: Final = re.compile(r"-?\d{1,12}(\.\d{1,12})?", re.ASCII)


def read_recorded(text: str) -> tuple[RecordedFigure, ...]:
    """Return the figures of a table whose first line names ``COLUMNS``.

    Raises
    ------
    Rejected
        With every fault of every line; a field is "line 3, value".  Also where two lines give one figure twice.
    """
    rows = csv.reader(text.removeprefix("\ufeff").splitlines(), strict=True)
    faults: list[Fault] = []
    found: dict[tuple[str, str, date], tuple[int, RecordedFigure]] = {}
    try:
        if tuple(next(rows, ())) != COLUMNS:
            raise Rejected(Fault("line 1", "", f"must be {','.join(COLUMNS)}"))
        for row in rows:
            where = f"line {rows.line_num}"
            if not any(row):
                continue
            try:
                figure = _figure(row)
            except Rejected as error:
                faults += (_on_line(fault, where) for fault in error.faults)
                continue
            named = (figure.name, figure.key, figure.from_on)
            if named in found:
                rule = f"gives the same figure from the same day as line {found[named][0]}"
                faults.append(Fault(where, figure.name, rule))
            found[named] = (rows.line_num, figure)
    except csv.Error as error:
        raise Rejected(*faults, Fault(f"line {rows.line_num}", "", f"is not CSV: {error}")) from error
    if not found and not faults:
        raise Rejected(Fault("", "", "the table holds no figure"))
    if len(found) > ROWS_MAX:
        faults.append(Fault("", len(found), f"must be at most {ROWS_MAX} figures at once"))
    if faults:
        raise Rejected(*faults)
    return tuple(figure for _, figure in found.values())


def read_figure(values: Mapping[str, str]) -> RecordedFigure:
    """Return one figure from the text of each of ``COLUMNS``; raises ``Rejected`` with all faults."""
    faults = [Fault(name, values[name], rule) for name, rule in _shape_faults(values)]
    if faults:
        raise Rejected(*faults)
    until_on = date.fromisoformat(values["until_on"]) if values["until_on"] else None
    return RecordedFigure(
        values["name"], values["key"], date.fromisoformat(values["from_on"]), until_on, Decimal(values["value"]),
        values["unit"], values["standing"], values["source"],
    )


def _figure(row: list[str]) -> RecordedFigure:
    if len(row) != len(COLUMNS):
        raise Rejected(Fault("", len(row), f"must have {len(COLUMNS)} columns"))
    return read_figure({name: text.strip() for name, text in zip(COLUMNS, row, strict=True)})


def _shape_faults(values: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    for name in ("from_on", "until_on"):
        if (name == "from_on" or values[name]) and not _is_day(values[name]):
            yield name, "must be a day such as 2026-09-01"
    if not _NUMBER.fullmatch(values["value"]):
        yield "value", "must be a plain decimal number such as 7 or 0.177"


def _is_day(text: str) -> bool:
    try:
        return bool(_DAY.fullmatch(text) and date.fromisoformat(text))
    except ValueError:
        return False


def _on_line(fault: Fault, where: str) -> Fault:
    return Fault(f"{where}, {fault.field}" if fault.field else where, fault.value, fault.rule)
