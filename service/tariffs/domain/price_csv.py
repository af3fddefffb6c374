"""Half-hourly prices from CSV text: every fault is named by its row and column.

Header ``starts_at,price_pence_per_kwh`` and, if prices differ by region, ``region``; columns in
any order. Times are RFC 3339 with an offset, so a file says by itself which instant it means.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime

from service.common.errors import Fault, Rejected
from service.common.money import parse_pence
from service.common.slots import slot_index, slot_start

STARTS_AT, PRICE, REGION = "starts_at", "price_pence_per_kwh", "region"
ROWS_MAX = 500_000  # own bound: a year of half-hours in 28 regions
FAULTS_MAX = 100
REGION_LENGTH_MAX = 40
YEARS = range(2000, 2101)

_RFC_3339 = re.compile(
    r"[0-9]{4}-[0-9]{2}-[0-9]{2}[Tt ][0-9]{2}:[0-9]{2}:[0-9]{2}(\.[0-9]+)?([Zz]|[+-][0-9]{2}:[0-9]{2})"
)


@dataclass(frozen=True)
class MissingPrices:
    """Consecutive slots [first_slot, end_slot) that a region lacks inside the file's covered range."""

    region: str | None
    first_slot: int
    end_slot: int

    @property
    def words(self) -> str:
        """The gap as text, in UTC: a file knows no household's zone."""
        start, end = slot_start(self.first_slot), slot_start(self.end_slot)
        count = self.end_slot - self.first_slot
        where = f"region {self.region}: " if self.region else ""
        plural = "half-hour" if count == 1 else "half-hours"
        return f"{where}no price from {start:%Y-%m-%dT%H:%MZ} to {end:%Y-%m-%dT%H:%MZ} ({count} {plural})"


@dataclass(frozen=True)
class ParsedPrices:
    """Prices [micro-pence per kWh] by region (None where the file has none) and slot, and the gaps."""

    prices: Mapping[str | None, Mapping[int, int]]
    missing: tuple[MissingPrices, ...]


def parse_price_csv(text: str) -> ParsedPrices:
    """Return the prices in a CSV text.

    A byte order mark, CRLF ends and blank lines are accepted. The covered range runs from the
    first to the last half-hour that any region has.

    Raises
    ------
    Rejected
        With fields "header" or "rows.<position from 0>.<column>" and the line number in the rule:
        wrong header, cells missing or left over, a time not RFC 3339 or without offset or not on a
        half-hour, a price not plain decimal pence, a half-hour given twice, no rows, too many.
    """
    prices: dict[str | None, dict[int, int]] = {}
    faults: list[Fault] = []
    rows = 0
    try:
        for row in _rows(text.removeprefix("\ufeff")):
            rows += 1
            faults.extend(_row_faults(row, prices))
            _stop_if_hopeless(row, len(faults))
    except Rejected as rejected:
        faults.extend(rejected.faults)
    if faults:
        raise Rejected(*faults)
    if not rows:
        raise Rejected(Fault("rows", 0, "must hold at least one price"))
    return ParsedPrices(prices, tuple(_gaps(prices)))


def _stop_if_hopeless(row: _Row, fault_count: int) -> None:
    if fault_count >= FAULTS_MAX:
        raise Rejected(Fault("rows", row.line, f"reading stopped at line {row.line} after {fault_count} faults"))
    if row.position >= ROWS_MAX:
        raise Rejected(Fault("rows", row.line, f"must be at most {ROWS_MAX} rows"))


@dataclass(frozen=True)
class _Row:
    """A row's position among the price rows, its line in the file, and its cells by column.

    ``misfit`` says why there are no cells.
    """

    position: int
    line: int
    cells: Mapping[str, str]
    misfit: str = ""

    def fault(self, column: str, value: object, rule: str) -> Fault:
        return Fault(f"rows.{self.position}.{column}", value, f"line {self.line}, {column}: {rule}")


def _rows(text: str) -> Iterator[_Row]:
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    try:
        columns = _columns(next(reader, []))
        filled = (cells for cells in reader if any(cell.strip() for cell in cells))
        for position, cells in enumerate(filled):
            if len(cells) == len(columns):
                by_column = dict(zip(columns, (cell.strip() for cell in cells), strict=True))
                yield _Row(position, reader.line_num, by_column)
            else:
                yield _Row(position, reader.line_num, {}, f"must hold {len(columns)} cells, not {len(cells)}")
    except csv.Error as error:
        raise Rejected(Fault("rows", reader.line_num, f"line {reader.line_num} is not CSV: {error}")) from error


def _columns(header: list[str]) -> list[str]:
    columns = [name.strip() for name in header]
    if sorted(columns) not in (sorted([STARTS_AT, PRICE]), sorted([STARTS_AT, PRICE, REGION])):
        rule = f"line 1: must be {STARTS_AT},{PRICE} and, where prices differ by region, {REGION}"
        raise Rejected(Fault("header", ",".join(columns)[:200], rule))
    return columns


def _row_faults(row: _Row, prices: dict[str | None, dict[int, int]]) -> Iterator[Fault]:
    """Store a row's price, or yield why it cannot be."""
    if row.misfit:
        yield Fault(f"rows.{row.position}", None, f"line {row.line}: {row.misfit}")
        return
    slot: int | None = None
    region = row.cells.get(REGION) or None
    if region and len(region) > REGION_LENGTH_MAX:
        yield row.fault(REGION, region[:REGION_LENGTH_MAX], f"must have at most {REGION_LENGTH_MAX} characters")
    try:
        slot = _slot_of(row.cells[STARTS_AT])
    except ValueError as error:
        yield row.fault(STARTS_AT, row.cells[STARTS_AT][:60], str(error))
    try:
        price_up = parse_pence(row.cells[PRICE])
    except Rejected as rejected:
        yield row.fault(PRICE, row.cells[PRICE][:60], rejected.faults[0].rule)
        return
    if slot is None:
        return
    if slot in prices.setdefault(region, {}):
        yield row.fault(STARTS_AT, row.cells[STARTS_AT], "this half-hour already has a price in this file")
    prices[region].setdefault(slot, price_up)


def _slot_of(text: str) -> int:
    """Return the slot that starts at an RFC 3339 time; raises ValueError with the rule it breaks."""
    match = _RFC_3339.fullmatch(text)
    if match is None:
        raise ValueError("must be an RFC 3339 time with its offset, such as 2026-03-29T00:30:00Z")
    try:
        instant = datetime.fromisoformat(text.upper())
    except ValueError:
        raise ValueError("is not a time that exists") from None
    if instant.year not in YEARS:
        raise ValueError(f"must lie in the years {YEARS.start} to {YEARS.stop - 1}")
    slot = slot_index(instant)
    if slot_start(slot) != instant or (match[1] or "").strip(".0"):  # datetime drops a seventh decimal
        raise ValueError("must fall on a whole half-hour")
    return slot


def _gaps(prices: Mapping[str | None, Mapping[int, int]]) -> Iterator[MissingPrices]:
    first = min(min(by_slot) for by_slot in prices.values())
    end = max(max(by_slot) for by_slot in prices.values()) + 1
    for region, by_slot in prices.items():
        expected = first
        for slot in (*sorted(by_slot), end):
            if slot > expected:
                yield MissingPrices(region, expected, slot)
            expected = slot + 1
