"""Tariffs for tests: drafts as domain values and as JSON, and published versions in one call."""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from typing import Any

from sqlalchemy import event

from service.common.calendar import DayKind
from service.common.money import parse_pence
from service.infrastructure.db.sessions import SchemeSession
from service.tariffs import operations
from service.tariffs.domain.rate_bands import Band, RateSheet, Window
from service.tariffs.domain.terms import TariffClock, TariffKind
from service.tariffs.operations import Draft

NOON = datetime(2026, 11, 25, 12, 0, tzinfo=UTC)
EVERY_DAY = [kind.value for kind in DayKind]
EVERY_MONTH = list(range(1, 13))


def flat_draft(price: str = "28.35", *, on: date = date(2026, 1, 1), **changes: Any) -> Draft:
    """Return a draft with one price at all times."""
    sheets = (RateSheet(None, None, parse_pence("48.2"), (Band("all day", parse_pence(price), (), True),)),)
    return _draft(on, sheets, changes)


def night_draft(
    night: str = "9.5",
    day: str = "31",
    *,
    window: tuple[int, int] = (30, 330),
    on: date = date(2026, 1, 1),
    **changes: Any,
) -> Draft:
    """Return a draft with a cheap window (minutes after midnight) and another price otherwise."""
    bands = (Band("night", parse_pence(night), (Window(*window),)), Band("day", parse_pence(day), (), True))
    return _draft(on, (RateSheet(None, None, parse_pence("48.2"), bands),), changes)


def series_draft(*, on: date = date(2026, 1, 1), **changes: Any) -> Draft:
    """Return a draft of a half-hourly tariff: a standing charge and no bands."""
    return _draft(on, (RateSheet(None, None, parse_pence("51"), ()),), changes)


def _draft(on: date, sheets: tuple[RateSheet, ...], changes: Mapping[str, Any]) -> Draft:
    values = {"valid_from_on": on, "label": f"From {on}", "vat_percent": Decimal(5), "vat_included": True}
    return Draft(**{**values, "sheets": sheets, **changes})


def tariff_with(
    session: SchemeSession, *drafts: Draft, name: str = "Alder Fixed", kind: TariffKind = TariffKind.BANDED
) -> tuple[str, list[str]]:
    """Create a tariff with published versions; return its id and theirs."""
    tariff = operations.create_tariff(session, name=name, kind=kind, clock=TariffClock.LOCAL, at=NOON)
    versions = [operations.create_draft(session, tariff.id, draft).id for draft in drafts]
    for version_id in versions:
        operations.publish_version(session, tariff.id, version_id, by=None, at=NOON)
    return tariff.id, versions


def draft_json(**changes: Any) -> dict[str, Any]:
    """Return the JSON body of a draft with a night and a day price."""
    night = {"starts_at": "00:30", "ends_at": "05:30", "day_kinds": EVERY_DAY, "months": EVERY_MONTH}
    bands = [
        {"name": "night", "price_pence_per_kwh": "9.5", "is_otherwise": False, "windows": [night]},
        {"name": "day", "price_pence_per_kwh": "31", "is_otherwise": True, "windows": []},
    ]
    sheet = {"region": None, "payment": None, "standing_pence_per_day": "48.2", "bands": bands}
    body = {
        "valid_from_on": "2026-12-01",
        "label": "Winter",
        "vat_percent": "5",
        "vat_included": True,
        "sheets": [sheet],
    }
    return {**body, **changes}


def price_csv(first_at: datetime, prices: list[str], *, region: str | None = None) -> str:
    """Return CSV text of consecutive half-hours from an instant."""
    lines = ["starts_at,price_pence_per_kwh" + (",region" if region else "")]
    for position, price in enumerate(prices):
        starts_at = (first_at + timedelta(minutes=30 * position)).isoformat()
        lines.append(f"{starts_at},{price}" + (f",{region}" if region else ""))
    return "\n".join(lines) + "\n"


@contextmanager
def counted_statements(session: SchemeSession) -> Iterator[list[str]]:
    """Collect the SQL that the session sends."""
    session.flush()
    statements: list[str] = []

    def note(connection: Any, cursor: Any, statement: str, *rest: Any) -> None:
        statements.append(statement)

    bind = session.get_bind()
    event.listen(bind, "before_cursor_execute", note)
    try:
        yield statements
    finally:
        event.remove(bind, "before_cursor_execute", note)
