"""Rate sheets between their three forms: input values, domain values and stored rows.

Input values are dictionaries of plain Python values, named as the domain names them
(``standing_up_per_day``, ``price_up``, ``starts_at_min``); stored windows keep the same names.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence
from typing import Any, TypeVar

from sqlalchemy import delete, select

from service.common.calendar import DayKind
from service.common.errors import Fault, Rejected
from service.infrastructure.db.sessions import SchemeSession
from service.tariffs import models
from service.tariffs.domain.rate_bands import Band, RateSheet, Window

Built = TypeVar("Built")


def read_sheets(values: Sequence[Mapping[str, Any]]) -> tuple[RateSheet, ...]:
    """Build rate sheets from input values, naming every fault by its place under "sheets".

    Whether the sheets give one price at every time is ``check_sheets``' question, asked when a draft is stored.

    Raises
    ------
    Rejected
        If a window, band or sheet breaks a rule of its own.
    """
    return _built("sheets", values, _sheet)


def _built(
    name: str, values: Sequence[Mapping[str, Any]], build: Callable[[Mapping[str, Any]], Built]
) -> tuple[Built, ...]:
    """Build each value, collecting the faults of all of them under ``name.<position>``."""
    built: list[Built] = []
    faults: list[Fault] = []
    for position, value in enumerate(values):
        try:
            built.append(build(value))
        except Rejected as rejected:
            faults.extend(fault.under(f"{name}.{position}") for fault in rejected.faults)
    if faults:
        raise Rejected(*faults)
    return tuple(built)


def _sheet(value: Mapping[str, Any]) -> RateSheet:
    bands = _built("bands", value["bands"], _band)
    return RateSheet(value["region"], value["payment"], value["standing_up_per_day"], bands)


def _band(value: Mapping[str, Any]) -> Band:
    windows = _built("windows", value["windows"], _window)
    return Band(value["name"], value["price_up"], windows, value["is_otherwise"])


def _window(value: Mapping[str, Any]) -> Window:
    kinds = frozenset(DayKind(kind) for kind in value["day_kinds"])
    return Window(value["starts_at_min"], value["ends_at_min"], kinds, frozenset(value["months"]))


def _stored_window(window: Window) -> dict[str, Any]:
    return {
        "starts_at_min": window.starts_at_min,
        "ends_at_min": window.ends_at_min,
        "day_kinds": [kind.value for kind in DayKind if kind in window.day_kinds],
        "months": sorted(window.months),
    }


def store_sheets(session: SchemeSession, version_id: str, sheets: Sequence[RateSheet]) -> None:
    """Write a version's sheets and their bands in place of those it has."""
    # The bands go with their sheets: the foreign key cascades.
    session.execute(delete(models.RateSheet).where(models.RateSheet.version_id == version_id))
    stored = [
        models.RateSheet(
            version_id=version_id,
            position=position,
            region=sheet.region,
            payment=sheet.payment,
            standing_up_per_day=sheet.standing_up_per_day,
        )
        for position, sheet in enumerate(sheets)
    ]
    session.add_all(stored)
    session.flush()
    for row, sheet in zip(stored, sheets, strict=True):
        session.add_all(_stored_band(row.id, position, band) for position, band in enumerate(sheet.bands))
    session.flush()


def _stored_band(sheet_id: str, position: int, band: Band) -> models.RateBand:
    return models.RateBand(
        sheet_id=sheet_id,
        position=position,
        name=band.name,
        price_up=band.price_up,
        is_otherwise=band.is_otherwise,
        windows=[_stored_window(window) for window in band.windows],
    )


def load_sheets(session: SchemeSession, version_ids: Sequence[str]) -> dict[str, tuple[RateSheet, ...]]:
    """Return the sheets of each version in their order; a version without sheets has an empty tuple."""
    sheet, band = models.RateSheet, models.RateBand
    bands: dict[str, list[Band]] = defaultdict(list)
    rows = session.execute(
        select(band.sheet_id, band.name, band.price_up, band.windows, band.is_otherwise)
        .join(sheet, sheet.id == band.sheet_id)
        .where(sheet.version_id.in_(version_ids))
        .order_by(band.sheet_id, band.position)
    )
    for sheet_id, name, price_up, windows, is_otherwise in rows:
        bands[sheet_id].append(Band(name, price_up, tuple(map(_window, windows)), is_otherwise))
    found: dict[str, list[RateSheet]] = {version_id: [] for version_id in version_ids}
    sheet_rows = session.execute(
        select(sheet.version_id, sheet.id, sheet.region, sheet.payment, sheet.standing_up_per_day)
        .where(sheet.version_id.in_(version_ids))
        .order_by(sheet.version_id, sheet.position)
    )
    for version_id, sheet_id, region, payment, standing_up in sheet_rows:
        found[version_id].append(RateSheet(region, payment, standing_up, tuple(bands[sheet_id])))
    return {version_id: tuple(sheets) for version_id, sheets in found.items()}
