"""Tariffs of the demo: versions with their rate sheets, and half-hourly prices grown from day patterns.

Every sheet passes the same domain rules as one that an administrator types in.
"""

from __future__ import annotations

import csv
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path
from typing import Any

from service.cli.seed.files import Moment, Node, SeedError, stable_id
from service.common.calendar import DayKind
from service.common.errors import Rejected
from service.common.money import parse_pence
from service.common.slots import local_day_slots, local_of
from service.tariffs import models
from service.tariffs.domain.rate_bands import RateSheet, Window, check_sheets
from service.tariffs.domain.terms import TariffClock, TariffKind, Version, check_versions
from service.tariffs.operations import read_sheets

NOON = time(12, tzinfo=UTC)


@dataclass(frozen=True)
class TariffRows:
    """The rows of one tariff, each list after the one it refers to."""

    tariff: models.Tariff
    versions: list[models.TariffVersion]
    sheets: list[models.RateSheet]
    bands: list[models.RateBand]
    prices: list[models.HalfHourPrice]
    version_terms: tuple[Version, ...]

    def in_order(self) -> list[list[Any]]:
        """Return the lists in the order in which they must be stored."""
        return [[self.tariff], self.versions, self.sheets, self.bands, self.prices]


def tariff_id_of(name: str) -> str:
    """Return the id of a seeded tariff."""
    return stable_id("tariff", name)


def tariff_rows(root: Node, moment: Moment, folder: Path, *, published_by: str) -> TariffRows:
    """Return the rows of one tariff file; raises ``SeedError``."""
    root.object("name", "shows", "kind", "clock", "versions", optional=("prices",))
    name, kind = root.name("name"), root.word("kind", TariffKind)
    versions = [_version(node, kind, moment) for node in root.items("versions")]
    if not versions:
        raise root.at("versions").fault("must hold at least one version")
    with root.checked():
        check_versions([version.terms for version in versions])
    tariff = models.Tariff(
        id=tariff_id_of(name),
        name=name,
        kind=kind.value,
        clock=root.word("clock", TariffClock).value,
        created_at=_noon(min(version.published_on or moment.today for version in versions)),
    )
    rows = TariffRows(tariff, [], [], [], [], tuple(version.terms for version in versions))
    for version in versions:
        _add_version(rows, version, published_by)
    rows.prices.extend(_price_rows(root, tariff.id, moment, folder))
    return rows


@dataclass(frozen=True)
class _Version:
    label: str
    terms: Version
    published_on: date | None


def _version(node: Node, kind: TariffKind, moment: Moment) -> _Version:
    node.object("label", "valid_from_on", "published_on", "vat_percent", "vat_included", "sheets")
    sheets = [_sheet_values(sheet) for sheet in node.items("sheets")]
    with node.checked():
        built = read_sheets(sheets)
        check_sheets(built, has_bands=kind is TariffKind.BANDED)
        valid_from_on, percent = node.day("valid_from_on", moment), node.decimal("vat_percent")
        terms = Version(valid_from_on, built, node.flag("vat_included"), percent)
    published_on = node.or_none(lambda name: node.day(name, moment), "published_on")
    if published_on and published_on > moment.today:
        raise node.at("published_on").fault("must not lie ahead")
    return _Version(node.name("label"), terms, published_on)


def _sheet_values(node: Node) -> dict[str, Any]:
    node.object("standing_pence_per_day", optional=("region", "payment", "bands"))
    return {
        "region": node.or_none(node.name, "region"),
        "payment": node.or_none(node.name, "payment"),
        "standing_up_per_day": _pence(node, "standing_pence_per_day"),
        "bands": [_band_values(band) for band in node.items("bands")],
    }


def _band_values(node: Node) -> dict[str, Any]:
    node.object("name", "price_pence_per_kwh", optional=("windows", "is_otherwise"))
    return {
        "name": node.name("name"),
        "price_up": _pence(node, "price_pence_per_kwh"),
        "is_otherwise": node.or_none(node.flag, "is_otherwise") or False,
        "windows": [_window_values(window) for window in node.items("windows")],
    }


def _window_values(node: Node) -> dict[str, Any]:
    node.object("starts_at", "ends_at", optional=("day_kinds", "months"))
    kinds, months = node.at("day_kinds").value, node.at("months").value
    if kinds is not None and not (isinstance(kinds, list) and set(kinds) <= set(DayKind)):
        raise node.at("day_kinds").fault(f"must list some of {', '.join(DayKind)}")
    if months is not None and not (isinstance(months, list) and all(type(month) is int for month in months)):
        raise node.at("months").fault("must list months, 1 to 12")
    return {
        "starts_at_min": node.wall_minutes("starts_at"),
        "ends_at_min": node.wall_minutes("ends_at"),
        "day_kinds": list(DayKind) if kinds is None else kinds,
        "months": list(range(1, 13)) if months is None else months,
    }


def _pence(node: Node, name: str) -> int:
    with node.checked():
        return parse_pence(node.text(name), field=name)


def _noon(day: date) -> datetime:
    return datetime.combine(day, NOON)


def _add_version(rows: TariffRows, version: _Version, published_by: str) -> None:
    names = (rows.tariff.name, version.label)
    row = models.TariffVersion(
        id=stable_id("version", *names),
        tariff_id=rows.tariff.id,
        label=version.label,
        valid_from_on=version.terms.valid_from_on,
        vat_percent=version.terms.vat_percent,
        vat_included=version.terms.vat_included,
        published_at=_noon(version.published_on) if version.published_on else None,
        published_by=published_by if version.published_on else None,
    )
    rows.versions.append(row)
    for position, sheet in enumerate(version.terms.sheets):
        _add_sheet(rows, row.id, position, sheet)


def _add_sheet(rows: TariffRows, version_id: str, position: int, sheet: RateSheet) -> None:
    sheet_id = stable_id("sheet", version_id, str(position))
    rows.sheets.append(
        models.RateSheet(
            id=sheet_id,
            version_id=version_id,
            position=position,
            region=sheet.region,
            payment=sheet.payment,
            standing_up_per_day=sheet.standing_up_per_day,
        )
    )
    rows.bands.extend(
        models.RateBand(
            id=stable_id("band", sheet_id, str(place)),
            sheet_id=sheet_id,
            position=place,
            name=band.name,
            price_up=band.price_up,
            is_otherwise=band.is_otherwise,
            windows=[stored_window(window) for window in band.windows],
        )
        for place, band in enumerate(sheet.bands)
    )


def stored_window(window: Window) -> dict[str, Any]:
    """Return a window as rows of bands keep it."""
    return {
        "starts_at_min": window.starts_at_min,
        "ends_at_min": window.ends_at_min,
        "day_kinds": [kind.value for kind in DayKind if kind in window.day_kinds],
        "months": sorted(window.months),
    }


def _price_rows(root: Node, tariff_id: str, moment: Moment, folder: Path) -> Iterator[models.HalfHourPrice]:
    for node in root.items("prices"):
        node.object("file", "first_on", "patterns_by_week", optional=("region",))
        region = node.or_none(node.name, "region") or ""
        patterns = read_patterns(folder, f"tariffs/{node.name('file')}")
        for day, pattern in _pattern_days(node, moment):
            if pattern not in patterns:
                raise node.at("patterns_by_week").fault(f"knows no pattern {pattern!r}")
            for slot in local_day_slots(day, moment.zone):
                wall = local_of(slot, moment.zone)
                price_up = patterns[pattern][wall.hour * 2 + wall.minute // 30]
                if price_up is not None:
                    yield models.HalfHourPrice(
                        id=stable_id("price", tariff_id, region, str(slot)),
                        tariff_id=tariff_id,
                        region=region,
                        slot=slot,
                        price_up=price_up,
                    )


def _pattern_days(node: Node, moment: Moment) -> Iterator[tuple[date, str]]:
    """Yield each day and the name of its pattern; a week is a line of names."""
    weeks = node.items("patterns_by_week")
    if not all(isinstance(week.value, str) for week in weeks):
        raise node.at("patterns_by_week").fault("must hold lines of pattern names")
    names = [name for week in weeks for name in week.value.split()]
    first_on = node.day("first_on", moment)
    for ahead, name in enumerate(names):
        yield first_on + timedelta(days=ahead), name


def read_patterns(folder: Path, file: str) -> dict[str, list[int | None]]:
    """Return the price of each of the 48 half-hours of a day, by pattern; None where none was received."""
    try:
        lines = list(csv.reader((folder / file).read_text(encoding="utf-8").splitlines()))
    except OSError as error:
        raise SeedError(f"{file}: cannot be read ({error.strerror})") from error
    if len(lines) != 49 or not lines[0] or lines[0][0] != "starts_at":
        raise SeedError(f"{file}: must hold a header that begins with starts_at, then 48 half-hours")
    patterns: dict[str, list[int | None]] = {name: [] for name in lines[0][1:]}
    for half_hour, (starts_at, *cells) in enumerate(lines[1:]):
        if starts_at != f"{half_hour // 2:02d}:{half_hour % 2 * 30:02d}" or len(cells) != len(patterns):
            raise SeedError(f"{file}: line {half_hour + 2} must be the next half-hour, with a cell for each pattern")
        for name, cell in zip(patterns, cells, strict=True):
            patterns[name].append(_cell(file, half_hour + 2, cell))
    return patterns


def _cell(file: str, line: int, cell: str) -> int | None:
    try:
        return parse_pence(cell) if cell.strip() else None
    except Rejected as rejected:
        raise SeedError(f"{file}: line {line}: {cell!r} {rejected.faults[0].rule}") from rejected
