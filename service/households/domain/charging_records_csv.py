"""Charging records from CSV text: every fault is named by its line and column.

Header ``starts_at,ends_at,energy_kwh,place`` and, if wanted, ``vehicle,outlet,is_metered,paid_pence,external_id,note``;
columns in any order. A time is RFC 3339 with its offset, or ``YYYY-MM-DD HH:MM`` on the home's own clock; one that
the clock shows twice or never is refused. Car and outlet go by the names they have in the home.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from decimal import Decimal
from typing import Any, Final
from zoneinfo import ZoneInfo

from service.common.errors import Fault, Rejected
from service.common.units import WH_PER_KWH
from service.households.domain.charging_records import ChargingDetails
from service.households.domain.equipment import ChargingPlace, RecordSource

NEEDED: Final = ("starts_at", "ends_at", "energy_kwh", "place")
OPTIONAL: Final = ("vehicle", "outlet", "is_metered", "paid_pence", "external_id", "note")
ROWS_MAX: Final = 2_000
"""Own bound: five charges a day for a year."""
FAULTS_MAX: Final = 100
EARLIEST_YEAR, LATEST_YEAR = 1970, 2100
"""Own bound: keeps every zone conversion inside what datetime holds."""
YES, NO = ("yes", "true", "1"), ("no", "false", "0", "")

_OFFSET = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}[Tt ][0-9]{2}:[0-9]{2}(:[0-9]{2})?([Zz]|[+-][0-9]{2}:[0-9]{2})")
_LOCAL = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}[Tt ][0-9]{2}:[0-9]{2}(:[0-9]{2})?")
_KWH = re.compile(r"[0-9]{1,5}(\.[0-9]{1,3})?")
_PENCE = re.compile(r"[0-9]{1,9}")
_COLUMN_OF: Final = {"vehicle_id": "vehicle", "outlet_id": "outlet"}


@dataclass(frozen=True)
class Names:
    """What the home's cars and outlets are called (name -> id), and its clock."""

    vehicles: Mapping[str, str]
    outlets: Mapping[str, str]
    zone: ZoneInfo


@dataclass(frozen=True)
class RowPlace:
    """Where a record stands in what is read: its position from 0, and how a person finds it ("line 5")."""

    position: int
    words: str

    def fault(self, found: Fault) -> Fault:
        """Return a fault of the record as the reader of the file finds it: by row and column."""
        name, _, rest = found.field.partition(".")
        column = ".".join(part for part in (_COLUMN_OF.get(name, name), rest) if part)
        return Fault(f"rows.{self.position}.{column}", found.value, f"{self.words}, {column}: {found.rule}")


@dataclass(frozen=True)
class ImportedRow:
    """A record that was read, and where."""

    at: RowPlace
    details: ChargingDetails


def parse_charging_csv(text: str, names: Names) -> tuple[ImportedRow, ...]:
    """Return the records of a CSV text.

    A byte order mark, CRLF ends and blank lines are accepted. Without a column ``vehicle`` the home must have one car.

    Raises
    ------
    Rejected
        With fields "header" or "rows.<position from 0>.<column>" and the line in the rule; every fault, 100 at most.
    """
    found: list[ImportedRow] = []
    faults: list[Fault] = []
    count = 0
    try:
        for position, line, cells in _rows(text.removeprefix("\ufeff")):
            count += 1
            row = _read(RowPlace(position, f"line {line}"), cells, names)
            if isinstance(row, ImportedRow):
                found.append(row)
            else:
                faults.extend(row)
            if len(faults) >= FAULTS_MAX or count > ROWS_MAX:
                break
    except Rejected as rejected:
        faults.extend(rejected.faults)
    if count > ROWS_MAX:
        faults.append(Fault("rows", count, f"must be at most {ROWS_MAX} rows"))
    if faults:
        raise Rejected(*faults[:FAULTS_MAX])
    if not count:
        raise Rejected(Fault("rows", 0, "must hold at least one record"))
    return tuple(found)


def _rows(text: str) -> Iterator[tuple[int, int, Mapping[str, str]]]:
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    try:
        columns = _columns(next(reader, []))
        filled = (cells for cells in reader if any(cell.strip() for cell in cells))
        for position, cells in enumerate(filled):
            if len(cells) != len(columns):
                rule = f"line {reader.line_num}: must hold {len(columns)} cells, not {len(cells)}"
                raise Rejected(Fault(f"rows.{position}", len(cells), rule))
            yield position, reader.line_num, dict(zip(columns, (cell.strip() for cell in cells), strict=True))
    except csv.Error as error:
        raise Rejected(Fault("rows", reader.line_num, f"line {reader.line_num} is not CSV: {error}")) from error


def _columns(header: Sequence[str]) -> list[str]:
    columns = [name.strip() for name in header]
    strange = [name for name in columns if name not in NEEDED + OPTIONAL]
    missing = [name for name in NEEDED if name not in columns]
    if strange or missing or len(set(columns)) < len(columns):
        rule = f"line 1: must name {', '.join(NEEDED)} and, if wanted, {', '.join(OPTIONAL)}, each once"
        raise Rejected(Fault("header", ",".join(columns)[:200], rule))
    return columns


def _read(at: RowPlace, cells: Mapping[str, str], names: Names) -> ImportedRow | list[Fault]:
    """Return a row's record, or why it cannot be one."""
    values: dict[str, Any] = {"source": RecordSource.CSV.value}
    faults: list[Fault] = []
    for column, (name, read) in _READERS.items():
        try:
            values[name] = read(cells.get(column, ""), names)
        except ValueError as error:
            faults.append(at.fault(Fault(column, cells.get(column, "")[:60], str(error))))
    if faults:
        return faults
    try:
        return ImportedRow(at, ChargingDetails(**values))
    except Rejected as error:
        return [at.fault(fault) for fault in error.faults]


def read_instant(text: str, zone: ZoneInfo) -> datetime:
    """Return the UTC instant of a time with its offset, or of one on the home's clock.

    Raises
    ------
    ValueError
        With the rule it breaks: another form, a time that does not exist, or one that the clock shows twice.
    """
    if not _OFFSET.fullmatch(text) and not _LOCAL.fullmatch(text):
        raise ValueError("must be a time such as 2026-11-24 22:30 on the home's clock, or 2026-11-24T22:30:00Z")
    try:
        read = datetime.fromisoformat(text.upper())
    except ValueError:
        raise ValueError("is not a time that exists") from None
    if not EARLIEST_YEAR <= read.year <= LATEST_YEAR:
        raise ValueError(f"must lie in the years {EARLIEST_YEAR} to {LATEST_YEAR}")
    if read.tzinfo is not None:
        return read.astimezone(UTC)
    first, second = (read.replace(tzinfo=zone, fold=fold).astimezone(UTC) for fold in (0, 1))
    if first.astimezone(zone).replace(tzinfo=None) != read:
        raise ValueError("is skipped by the clock change of that day: write it with its offset")
    if first != second:
        raise ValueError("is shown twice by the clock change of that day: write it with its offset, such as +01:00")
    return first


def _kwh(text: str, _names: Names) -> int:
    if not _KWH.fullmatch(text):
        raise ValueError("must be a plain decimal number of kWh with at most three decimals, such as 7.25")
    return int(Decimal(text) * WH_PER_KWH)


def _place(text: str, _names: Names) -> str:
    if text not in [place.value for place in ChargingPlace]:
        raise ValueError("must be one of: " + ", ".join(place.value for place in ChargingPlace))
    return text


def _vehicle(text: str, names: Names) -> str:
    if not text and len(names.vehicles) == 1:
        return next(iter(names.vehicles.values()))
    return _named(text, names.vehicles, "the name of one of the home's cars")


def _outlet(text: str, names: Names) -> str | None:
    return _named(text, names.outlets, "empty or the name of one of the home's outlets") if text else None


def _named(text: str, known: Mapping[str, str], what: str) -> str:
    if text not in known:
        raise ValueError(f"must be {what}: " + ", ".join(sorted(known)))
    return known[text]


def _flag(text: str, _names: Names) -> bool:
    if text.lower() not in YES + NO:
        raise ValueError("must be yes or no")
    return text.lower() in YES


def _pence(text: str, _names: Names) -> int | None:
    if text and not _PENCE.fullmatch(text):
        raise ValueError("must be a whole number of pence")
    return int(text) if text else None


_READERS: Final[Mapping[str, tuple[str, Callable[[str, Names], Any]]]] = {
    "starts_at": ("starts_at", lambda text, names: read_instant(text, names.zone)),
    "ends_at": ("ends_at", lambda text, names: read_instant(text, names.zone)),
    "energy_kwh": ("energy_wh", _kwh),
    "place": ("place", _place),
    "vehicle": ("vehicle_id", _vehicle),
    "outlet": ("outlet_id", _outlet),
    "is_metered": ("is_metered", _flag),
    "paid_pence": ("paid_pence", _pence),
    "external_id": ("external_id", lambda text, _names: text or None),
    "note": ("note", lambda text, _names: text),
}
