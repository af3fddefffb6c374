"""Create, get and list tariffs, each with the list of its versions and what its price series covers."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from sqlalchemy import func, or_, select

from service.common.errors import Conflict, NotFound
from service.common.slots import slot_start
from service.infrastructure.db.sessions import SchemeSession
from service.tariffs.domain.terms import TariffClock, TariffKind
from service.tariffs.models import HalfHourPrice, Tariff, TariffVersion


class TariffNameTaken(Conflict):
    """Another tariff of the scheme has this name."""

    title = "Another tariff has this name"


@dataclass(frozen=True)
class VersionSummary:
    """A version in a list: a draft until ``published_at``."""

    id: str
    valid_from_on: date
    published_at: datetime | None
    label: str


@dataclass(frozen=True)
class SeriesSummary:
    """What a half-hourly series covers: the starts of its first and last half-hours, and its prices' number."""

    first_at: datetime
    last_at: datetime
    count: int


@dataclass(frozen=True)
class TariffView:
    """A tariff as lists and pages show it."""

    id: str
    name: str
    kind: str
    clock: str
    current_version_id: str | None
    versions: tuple[VersionSummary, ...]
    series: SeriesSummary | None
    meter_needed: str
    needs_charging_point: bool
    other_terms: str
    is_open: bool
    exit_fee_pence: int | None
    fixed_months: int | None
    version: int


def create_tariff(
    session: SchemeSession, *, name: str, kind: TariffKind, clock: TariffClock, at: datetime
) -> Tariff:
    """Create a tariff without versions.

    Raises
    ------
    TariffNameTaken
        If the scheme has a tariff of this name already.
    """
    name = name.strip()
    if session.scalar(select(Tariff.id).where(Tariff.name == name)):
        raise TariffNameTaken(f"There is already a tariff named {name}. Add a version to it, or choose another name.")
    tariff = Tariff(name=name, kind=kind.value, clock=clock.value, created_at=at)
    session.add(tariff)
    session.flush()
    return tariff


def tariff_row(session: SchemeSession, tariff_id: str, *, lock: bool = False) -> Tariff:
    """Return the stored tariff; with ``lock`` nobody else changes it until the transaction ends.

    Raises
    ------
    NotFound
        If the scheme has no such tariff.
    """
    query = select(Tariff).where(Tariff.id == tariff_id)
    tariff = session.scalar(query.with_for_update() if lock else query)
    if tariff is None:
        raise NotFound("No such tariff.")
    return tariff


def get_tariff(session: SchemeSession, tariff_id: str, *, on: date) -> TariffView:
    """Return one tariff; ``on`` is the day whose version counts as current."""
    return _views(session, [tariff_row(session, tariff_id)], on)[0]


def list_tariffs(session: SchemeSession, *, on: date) -> list[TariffView]:
    """Return the scheme's tariffs by name; ``on`` is the day whose versions count as current."""
    return _views(session, session.scalars(select(Tariff).order_by(Tariff.name, Tariff.id)).all(), on)


def offered_tariffs(session: SchemeSession, *, on: date) -> list[tuple[str, str]]:
    """Return (id, name) of each tariff, by name, that has a published version on a day or takes half-hourly prices."""
    version = TariffVersion
    in_force = select(version.tariff_id).where(version.published_at.is_not(None), version.valid_from_on <= on)
    wanted = select(Tariff.id, Tariff.name).where(
        or_(Tariff.id.in_(in_force), Tariff.kind == TariffKind.HALF_HOURLY.value)
    )
    return [(row.id, row.name) for row in session.execute(wanted.order_by(Tariff.name, Tariff.id))]


def _views(session: SchemeSession, tariffs: Sequence[Tariff], on: date) -> list[TariffView]:
    tariff_ids = [tariff.id for tariff in tariffs]
    versions = _version_summaries(session, tariff_ids)
    series = _series_summaries(session, tariff_ids)
    return [
        TariffView(
            id=tariff.id,
            name=tariff.name,
            kind=tariff.kind,
            clock=tariff.clock,
            current_version_id=_current(versions[tariff.id], on),
            versions=tuple(versions[tariff.id]),
            series=series.get(tariff.id),
            meter_needed=tariff.meter_needed,
            needs_charging_point=tariff.needs_charging_point,
            other_terms=tariff.other_terms,
            is_open=tariff.is_open,
            exit_fee_pence=tariff.exit_fee_pence,
            fixed_months=tariff.fixed_months,
            version=tariff.version,
        )
        for tariff in tariffs
    ]


def _current(versions: Sequence[VersionSummary], on: date) -> str | None:
    in_force = [version for version in versions if version.published_at and version.valid_from_on <= on]
    return in_force[-1].id if in_force else None


def _version_summaries(session: SchemeSession, tariff_ids: Sequence[str]) -> dict[str, list[VersionSummary]]:
    version = TariffVersion
    rows = session.execute(
        select(version.tariff_id, version.id, version.valid_from_on, version.published_at, version.label)
        .where(version.tariff_id.in_(tariff_ids))
        .order_by(version.valid_from_on, version.label, version.id)
    )
    found: dict[str, list[VersionSummary]] = defaultdict(list)
    for tariff_id, version_id, valid_from_on, published_at, label in rows:
        found[tariff_id].append(VersionSummary(version_id, valid_from_on, published_at, label))
    return found


def _series_summaries(session: SchemeSession, tariff_ids: Sequence[str]) -> dict[str, SeriesSummary]:
    price = HalfHourPrice
    rows = session.execute(
        select(price.tariff_id, func.min(price.slot), func.max(price.slot), func.count())
        .where(price.tariff_id.in_(tariff_ids))
        .group_by(price.tariff_id)
    )
    return {
        tariff_id: SeriesSummary(slot_start(first), slot_start(last), count) for tariff_id, first, last, count in rows
    }
