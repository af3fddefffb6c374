"""Half-hourly prices come in as CSV text and are kept one row a half-hour; only what differs is written."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import select

from service.common.errors import Conflict, Fault, Rejected
from service.common.slots import slot_start, slots_within
from service.infrastructure.db.sessions import SchemeSession
from service.infrastructure.outbox import announce
from service.tariffs.domain.events import PricesArrived
from service.tariffs.domain.price_csv import MissingPrices, ParsedPrices, parse_price_csv
from service.tariffs.domain.terms import TariffKind
from service.tariffs.models import HalfHourPrice
from service.tariffs.operations.tariffs import tariff_row

UPLOAD_ROWS_MAX = 40_000
"""Own bound: more than two years of half-hours in one region; keeps the write lock short."""

REGION_LENGTH_MAX = 40
LONGEST_LIST_SLOTS = 62 * 48
"""Own bound: two months of half-hours in one answer."""


class NotHalfHourly(Conflict):
    """Only a half-hourly tariff keeps a price series."""

    title = "This tariff has no half-hourly prices"


@dataclass(frozen=True)
class UploadedPrices:
    """What an upload did: prices in the file, of these new or altered, and the gaps inside its range."""

    stored_count: int
    changed_count: int
    missing: tuple[MissingPrices, ...]


@dataclass(frozen=True)
class PricePoint:
    """The price of one half-hour as it was uploaded [micro-pence per kWh]."""

    starts_at: datetime
    price_up: int


def upload_prices(session: SchemeSession, tariff_id: str, csv_text: str, *, at: datetime) -> UploadedPrices:
    """Store the prices of a CSV text and announce ``PricesArrived`` over those that changed.

    Half-hours that the text does not name keep their prices. All or nothing: one faulty row refuses the text.

    Raises
    ------
    Rejected, NotFound, NotHalfHourly
        If the text is faulty, by row and column; if there is no such tariff, or it is of another kind.
    """
    parsed = parse_price_csv(csv_text)  # before the first query: reading must not hold the write lock
    wanted = {(region or "", slot): price for region, prices in parsed.prices.items() for slot, price in prices.items()}
    _check_upload(parsed, len(wanted))
    if tariff_row(session, tariff_id, lock=True).kind != TariffKind.HALF_HOURLY.value:
        raise NotHalfHourly("Prices per half-hour are uploaded to a half-hourly tariff. This one has rate bands.")
    changed = sorted(_write_changes(session, tariff_id, wanted))
    if changed:
        session.flush()
        announce(session, PricesArrived(tariff_id, changed[0], changed[-1]), at=at)
    return UploadedPrices(len(wanted), len(changed), parsed.missing)


def _check_upload(parsed: ParsedPrices, count: int) -> None:
    if count > UPLOAD_ROWS_MAX:
        raise Rejected(Fault("rows", count, f"must be at most {UPLOAD_ROWS_MAX} rows in one upload; split the file"))
    for region in parsed.prices:
        if region and (len(region) > REGION_LENGTH_MAX or not region.isprintable()):
            rule = f"must have at most {REGION_LENGTH_MAX} printable characters"
            raise Rejected(Fault("region", region, f"the region {region!r} {rule}"))


def _write_changes(session: SchemeSession, tariff_id: str, wanted: dict[tuple[str, int], int]) -> Iterator[int]:
    """Alter or add each row whose price differs, and yield its slot."""
    slots = [slot for _, slot in wanted]
    stored = session.scalars(
        select(HalfHourPrice).where(
            HalfHourPrice.tariff_id == tariff_id, HalfHourPrice.slot.between(min(slots), max(slots))
        )
    )
    rows = {(row.region, row.slot): row for row in stored}
    for (region, slot), price_up in wanted.items():
        row = rows.get((region, slot))
        if row is None:
            session.add(HalfHourPrice(tariff_id=tariff_id, region=region, slot=slot, price_up=price_up))
        elif row.price_up != price_up:
            row.price_up = price_up
        else:
            continue
        yield slot


def list_prices(
    session: SchemeSession, tariff_id: str, *, starts_at: datetime, ends_at: datetime, region: str | None
) -> list[PricePoint]:
    """Return the stored prices of the half-hours inside [starts_at, ends_at) for a region, in time order.

    Raises
    ------
    NotFound, Rejected
        If there is no such tariff; if the period is empty or too long.
    """
    slots = slots_within(starts_at, ends_at)
    if not slots:
        raise Rejected(Fault("to", ends_at.isoformat(), "must be at least one whole half-hour after from"))
    if len(slots) > LONGEST_LIST_SLOTS:
        raise Rejected(Fault("to", ends_at.isoformat(), f"must be at most {LONGEST_LIST_SLOTS // 48} days after from"))
    tariff_row(session, tariff_id)
    rows = session.execute(
        select(HalfHourPrice.slot, HalfHourPrice.price_up)
        .where(
            HalfHourPrice.tariff_id == tariff_id,
            HalfHourPrice.region == (region or ""),
            HalfHourPrice.slot.between(slots.start, slots.stop - 1),
        )
        .order_by(HalfHourPrice.slot)
    )
    return [PricePoint(slot_start(slot), price_up) for slot, price_up in rows]
