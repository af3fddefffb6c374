"""A home's half-hourly meter readings from CSV text, in the shapes that meters and suppliers hand out.

Such files have no standard. Nothing about one is guessed: whoever sends it says how it is laid out, on which clock it
is, whether a time is the start or the end of its half-hour, and its unit. On a day of a clock change a line of 48
values does not say which of them was lost or doubled, and is refused.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal, InvalidOperation
from enum import StrEnum
from itertools import pairwise
from typing import Final
from zoneinfo import ZoneInfo

from service.common.errors import Fault, Rejected
from service.common.slots import SLOT_S, local_day_slots, slot_index, slot_start
from service.common.units import WH_PER_KWH

LINES_MAX: Final = 40_000
"""Own bound: two years of half-hours and some."""
HALF_HOUR_MAX_WH: Final = 50_000
"""Own bound: what three phases of 100 A give in a half-hour is less."""
FAULTS_MAX: Final = 100
EARLIEST_YEAR, LATEST_YEAR = 1970, 2100
"""Own bound: keeps every zone conversion inside what datetime holds."""
_SLOT: Final = timedelta(seconds=SLOT_S)
_TRIES: Final = ("%Y-%m-%dT%H:%M:%S", "%Y-%m-%dT%H:%M", "%Y-%m-%d %H:%M:%S", "%Y-%m-%d %H:%M")


class Layout(StrEnum):
    """How a file is laid out: time and energy on each line, or a day and all its half-hours."""

    HALF_HOUR_A_LINE = "half_hour_a_line"
    DAY_A_LINE = "day_a_line"


class FileClock(StrEnum):
    """The clock of a file's times: each with its own offset, UTC throughout, or the wall clock at the home."""

    STATED = "stated"
    UTC = "utc"
    LOCAL = "local"


class Marks(StrEnum):
    """What a time stands for."""

    START = "start"
    END = "end"


class Unit(StrEnum):
    """The unit of the values."""

    KWH = "kwh"
    WH = "wh"


@dataclass(frozen=True)
class HouseFile:
    """A file's text with all that it does not say of itself."""

    text: str
    layout: str
    clock: str
    marks: str = Marks.START
    unit: str = Unit.KWH

    def __post_init__(self) -> None:
        faults = [
            Fault(name, value, f"must be one of {', '.join(kind)}")
            for name, value, kind in (
                ("layout", self.layout, Layout),
                ("clock", self.clock, FileClock),
                ("marks", self.marks, Marks),
                ("unit", self.unit, Unit),
            )
            if value not in list(kind)
        ]
        if self.layout == Layout.DAY_A_LINE and self.clock == FileClock.STATED:
            faults.append(Fault("clock", self.clock, "a line a day has no offset: say whether days are UTC or local"))
        if faults:
            raise Rejected(*faults)


def parse_house_file(file: HouseFile, zone: ZoneInfo) -> dict[int, int]:
    """Return energy by half-hour: {slot: Wh}, rounded to a whole Wh, a half up.

    The first line is a heading and is not read. On a line a half-hour the first cell is the time, the second the
    energy; further cells are left alone. On a line a day the first cell is the date, the others are its half-hours.

    Raises
    ------
    Rejected
        Naming ``rows.<position>.<column>`` with the line: up to ``FAULTS_MAX`` faults.
    """
    found: dict[int, int] = {}
    faults: list[Fault] = []
    for row in _rows(file.text):
        try:
            pairs = _day(row, file, zone) if file.layout == Layout.DAY_A_LINE else _half_hour(row, file, zone)
            for slot, energy_wh in pairs:
                if slot in found:
                    raise row.wrong("time", slot_start(slot).isoformat(), "this half-hour stands in the file already")
                found[slot] = energy_wh
        except Rejected as error:
            faults.extend(error.faults)
        if len(faults) >= FAULTS_MAX:
            break
    if not faults and not found:
        faults.append(Fault("text", None, "must hold at least one line below its heading"))
    if faults:
        raise Rejected(*faults[:FAULTS_MAX])
    return found


def gaps_of(readings: Mapping[int, int]) -> list[tuple[int, int]]:
    """Return the half-hours that are missing between the first and the last: [(first, end), ...]."""
    slots = sorted(readings)
    return [(before + 1, after) for before, after in pairwise(slots) if after > before + 1]


@dataclass(frozen=True)
class _Row:
    """A line below the heading, with its place among them and its number in the file."""

    position: int
    line: int
    cells: list[str]

    def wrong(self, column: str, value: object, rule: str) -> Rejected:
        return Rejected(Fault(f"rows.{self.position}.{column}", value, f"line {self.line}, {column}: {rule}"))


def _rows(text: str) -> Iterator[_Row]:
    reader = csv.reader(io.StringIO(text.removeprefix("\ufeff"), newline=""), strict=True)
    try:
        next(reader, None)
        filled = (cells for cells in reader if any(cell.strip() for cell in cells))
        for position, cells in enumerate(filled):
            if position >= LINES_MAX:
                raise Rejected(Fault("text", reader.line_num, f"must have at most {LINES_MAX} lines"))
            yield _Row(position, reader.line_num, [cell.strip() for cell in cells])
    except csv.Error as error:
        raise Rejected(Fault("text", reader.line_num, f"line {reader.line_num} is not CSV: {error}")) from error


def _half_hour(row: _Row, file: HouseFile, zone: ZoneInfo) -> Iterator[tuple[int, int]]:
    if len(row.cells) < 2:
        raise row.wrong("time", len(row.cells), "must be followed by the energy")
    instant = _instant(row, row.cells[0], file.clock, zone)
    if file.marks == Marks.END:
        instant -= _SLOT
    slot = slot_index(instant)
    if slot_start(slot) != instant:
        raise row.wrong("time", row.cells[0][:60], "must fall on a whole half-hour")
    yield slot, _energy_wh(row, "energy", row.cells[1], file.unit)


def _day(row: _Row, file: HouseFile, zone: ZoneInfo) -> Iterator[tuple[int, int]]:
    try:
        day = date.fromisoformat(row.cells[0])
    except ValueError:
        raise row.wrong("date", row.cells[0][:60], "must be a date such as 2026-03-29") from None
    _check_year(row, "date", day)
    slots = local_day_slots(day, ZoneInfo("UTC") if file.clock == FileClock.UTC else zone)
    values = row.cells[1:]
    while len(values) > len(slots) and not values[-1]:
        values.pop()
    if len(values) != len(slots):
        rule = f"{day} has {len(slots)} half-hours at this home, and the line {len(values)} values"
        raise row.wrong("date", row.cells[0], rule + (": which is which?" if len(slots) != 48 else ""))
    for place, (slot, value) in enumerate(zip(slots, values, strict=True), start=1):
        yield slot, _energy_wh(row, f"half-hour {place}", value, file.unit)


def _instant(row: _Row, text: str, clock: str, zone: ZoneInfo) -> datetime:
    if clock == FileClock.STATED:
        try:
            stated = datetime.fromisoformat(text)
        except ValueError:
            stated = None
        if stated is None or stated.tzinfo is None:
            raise row.wrong("time", text[:60], "must be a time with its offset, such as 2026-03-29T00:30:00+00:00")
        _check_year(row, "time", stated)
        return stated.astimezone(UTC)
    wall = _wall(text)
    if wall is None:
        raise row.wrong("time", text[:60], "must be a time without offset, such as 2026-03-29T00:30")
    _check_year(row, "time", wall)
    if clock == FileClock.UTC:
        return wall.replace(tzinfo=UTC)
    first, second = (wall.replace(tzinfo=zone, fold=fold).astimezone(UTC) for fold in (0, 1))
    if first != second:
        is_missing = first.astimezone(zone).replace(tzinfo=None) != wall
        rule = "does not exist at this home that day" if is_missing else "comes twice at this home that day: send UTC"
        raise row.wrong("time", text[:60], rule)
    return first


def _check_year(row: _Row, column: str, day: date) -> None:
    if not EARLIEST_YEAR <= day.year <= LATEST_YEAR:
        raise row.wrong(column, row.cells[0][:60], f"must lie in the years {EARLIEST_YEAR} to {LATEST_YEAR}")


def _wall(text: str) -> datetime | None:
    for pattern in _TRIES:
        try:
            return datetime.strptime(text, pattern)  # noqa: DTZ007 - a time on a clock that the sender names
        except ValueError:
            continue
    return None


def _energy_wh(row: _Row, column: str, text: str, unit: str) -> int:
    try:
        value = Decimal(text)
    except InvalidOperation:
        raise row.wrong(column, text[:60], "must be a number with a decimal point") from None
    # Compared before it is multiplied: what is no number, or is a monstrous one, cannot be.
    factor = WH_PER_KWH if unit == Unit.KWH else 1
    if not value.is_finite() or not 0 <= value <= Decimal(HALF_HOUR_MAX_WH) / factor:
        rule = f"must lie between 0 and {HALF_HOUR_MAX_WH // WH_PER_KWH} kWh in a half-hour"
        raise row.wrong(column, text[:60], rule)
    return int(value * factor + Decimal("0.5"))
