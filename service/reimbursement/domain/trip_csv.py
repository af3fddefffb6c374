"""Business trips from CSV text: every fault is named by its line and column, and one fault stores nothing.

Header ``date,car,from,to,reason,miles`` in any order; ``car`` is the car's label, dates are YYYY-MM-DD.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

from service.common.errors import Rejected
from service.reimbursement.domain.trip_details import TripDetails, check_driven

COLUMNS = ("date", "car", "from", "to", "reason", "miles")
ROWS_MAX = 2000
FAULTS_MAX = 100
"""Own bounds: years of trips, and as many faults as anybody mends in one go."""

_FIELDS = {"on_date": "date", "origin": "from", "destination": "to", "reason": "reason", "miles": "miles"}
_MILES = re.compile(r"[0-9]{1,6}(\.[0-9]{1,6})?")
_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_CONTROL = re.compile(r"[\x00-\x1f\x7f-\x9f\u2028\u2029]")


@dataclass(frozen=True)
class CsvFault:
    """What is wrong where: the header is line 1, and an empty column means the whole line."""

    line: int
    column: str
    value: str
    rule: str


@dataclass(frozen=True)
class CsvTrip:
    """A trip of a line that is in order."""

    line: int
    vehicle_id: str
    vehicle_label: str
    details: TripDetails


@dataclass
class ReadTrips:
    """What a text holds: its trips, and its faults."""

    trips: list[CsvTrip] = field(default_factory=list)
    faults: list[CsvFault] = field(default_factory=list)
    row_count: int = 0


def read_trips(text: str, cars: Mapping[str, str], *, today: date) -> ReadTrips:
    """Return the trips and faults of a CSV text; ``cars`` is label -> vehicle id, ``today`` the home's local day."""
    found = ReadTrips()
    reader = csv.reader(io.StringIO(text.removeprefix("\ufeff"), newline=""), strict=True)
    try:
        columns = [name.strip().lower() for name in next(reader, [])]
        if sorted(columns) != sorted(COLUMNS):
            found.faults.append(CsvFault(1, "", ",".join(columns)[:200], f"must be {','.join(COLUMNS)}"))
            return found
        for cells in reader:
            if not any(cell.strip() for cell in cells):
                continue
            found.row_count += 1
            if found.row_count > ROWS_MAX:
                found.faults.append(CsvFault(reader.line_num, "", "", f"must be at most {ROWS_MAX} trips"))
                break
            _read_row(found, reader.line_num, columns, cells, cars, today)
            if len(found.faults) >= FAULTS_MAX:
                found.faults.append(CsvFault(reader.line_num, "", "", f"reading stopped after {FAULTS_MAX} faults"))
                break
    except csv.Error as error:
        found.faults.append(CsvFault(reader.line_num, "", "", f"is not CSV: {error}"))
    if not found.row_count and not found.faults:
        found.faults.append(CsvFault(1, "", "", "must be followed by at least one trip"))
    return found


def _read_row(
    found: ReadTrips, line: int, columns: list[str], cells: list[str], cars: Mapping[str, str], today: date
) -> None:
    if len(cells) != len(columns):
        found.faults.append(CsvFault(line, "", "", f"must hold {len(columns)} cells, not {len(cells)}"))
        return
    row = dict(zip(columns, (cell.strip() for cell in cells), strict=True))
    faults = list(_cell_faults(line, row, cars))
    if faults:
        found.faults += faults
        return
    try:
        details = TripDetails(
            date.fromisoformat(row["date"]), row["from"], row["to"], row["reason"], Decimal(row["miles"])
        )
        check_driven(details, today=today)
    except Rejected as rejected:
        found.faults += [
            CsvFault(line, _FIELDS[fault.field], row[_FIELDS[fault.field]][:60], fault.rule)
            for fault in rejected.faults
        ]
        return
    found.trips.append(CsvTrip(line, cars[row["car"]], row["car"], details))


def _cell_faults(line: int, row: Mapping[str, str], cars: Mapping[str, str]) -> Iterator[CsvFault]:
    """Yield what keeps a row from being read at all."""
    if not _is_date(row["date"]):
        yield CsvFault(line, "date", row["date"][:60], "must be a date YYYY-MM-DD")
    if row["car"] not in cars:
        named = ", ".join(sorted(cars)) or "none"
        yield CsvFault(line, "car", row["car"][:60], f"must be the label of one of the home's cars: {named}")
    if not _MILES.fullmatch(row["miles"]):
        yield CsvFault(line, "miles", row["miles"][:60], "must be a plain decimal number of miles, such as 42.5")
    for column in ("from", "to", "reason"):
        if _CONTROL.search(row[column]):
            yield CsvFault(line, column, row[column][:60], "must not hold control characters")


def _is_date(text: str) -> bool:
    try:
        return bool(_DATE.fullmatch(text)) and 1970 <= date.fromisoformat(text).year <= 2100
    except ValueError:
        return False
