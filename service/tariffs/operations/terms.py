"""Tariffs as planning reads them: published versions and price series, in a handful of queries."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from functools import lru_cache

from sqlalchemy import or_, select

from service.infrastructure.db.sessions import SchemeSession
from service.tariffs.domain.terms import Series, TariffClock, TariffKind, TariffTerms, Version
from service.tariffs.models import HalfHourPrice, Tariff, TariffVersion
from service.tariffs.operations.sheets import load_sheets


def load_terms(
    session: SchemeSession,
    tariff_ids: Iterable[str],
    *,
    first_slot: int,
    count: int,
    with_draft: str | None = None,
) -> dict[str, TariffTerms]:
    """Return the terms of each tariff that the scheme has, by id.

    Parameters
    ----------
    first_slot, count : int
        Half-hours whose prices the series are to hold: the view, and the past that counts for stand-ins.
    with_draft : str or None
        A draft version that counts as published, in front of one of the same day: for a preview.

    Notes
    -----
    Equal series are one object for as long as it is in use, so prices worked out for one chunk of households
    are found again for the next.
    """
    wanted = sorted(set(tariff_ids))
    tariffs = session.execute(
        select(Tariff.id, Tariff.name, Tariff.kind, Tariff.clock).where(Tariff.id.in_(wanted)).order_by(Tariff.id)
    ).all()
    versions = _versions(session, wanted, with_draft)
    half_hourly = [row.id for row in tariffs if row.kind == TariffKind.HALF_HOURLY.value]
    series = _series(session, half_hourly, first_slot, count) if half_hourly else {}
    return {
        row.id: TariffTerms(
            id=row.id,
            name=row.name,
            kind=TariffKind(row.kind),
            clock=TariffClock(row.clock),
            versions=tuple(versions[row.id]),
            series=series.get(row.id, {}),
        )
        for row in tariffs
    }


def _versions(
    session: SchemeSession, tariff_ids: Sequence[str], with_draft: str | None
) -> dict[str, list[Version]]:
    """Return the versions by tariff, in the order in which they take over; a draft last of its day."""
    row = TariffVersion
    is_wanted = row.published_at.is_not(None)
    stored = session.scalars(
        select(row)
        .where(row.tariff_id.in_(tariff_ids), or_(is_wanted, row.id == with_draft) if with_draft else is_wanted)
        .order_by(row.valid_from_on, row.published_at.is_(None), row.id)
    ).all()
    sheets = load_sheets(session, [version.id for version in stored])
    found: dict[str, list[Version]] = defaultdict(list)
    for version in stored:
        found[version.tariff_id].append(
            Version(version.valid_from_on, sheets[version.id], version.vat_included, version.vat_percent)
        )
    return found


def _series(
    session: SchemeSession, tariff_ids: Sequence[str], first_slot: int, count: int
) -> dict[str, dict[str, Series]]:
    rows = session.execute(
        select(HalfHourPrice.tariff_id, HalfHourPrice.region, HalfHourPrice.slot, HalfHourPrice.price_up)
        .where(
            HalfHourPrice.tariff_id.in_(tariff_ids), HalfHourPrice.slot.between(first_slot, first_slot + count - 1)
        )
        .order_by(HalfHourPrice.tariff_id, HalfHourPrice.region, HalfHourPrice.slot)
    )
    prices: dict[str, dict[str, list[tuple[int, int]]]] = defaultdict(lambda: defaultdict(list))
    for tariff_id, region, slot, price_up in rows:
        prices[tariff_id][region].append((slot, price_up))
    return {
        tariff_id: {region: _one_series(tuple(pairs)) for region, pairs in by_region.items()}
        for tariff_id, by_region in prices.items()
    }


@lru_cache(maxsize=128)
def _one_series(pairs: tuple[tuple[int, int], ...]) -> Series:
    return Series(dict(pairs))
