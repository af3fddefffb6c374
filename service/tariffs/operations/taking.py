"""Record who can take a tariff; no plan depends on it."""

from __future__ import annotations

from dataclasses import asdict
from datetime import datetime

from sqlalchemy import select
from sqlalchemy.orm.exc import StaleDataError

from service.accounts.operations import audit
from service.infrastructure.db.sessions import SchemeSession
from service.tariffs.domain.taking import TakingTerms
from service.tariffs.models import Tariff
from service.tariffs.operations.tariffs import tariff_row


def get_taking(session: SchemeSession, tariff_id: str) -> Tariff:
    """Return the tariff, whose row holds the terms; raises ``NotFound``."""
    return tariff_row(session, tariff_id)


def put_taking(
    session: SchemeSession,
    tariff_id: str,
    terms: TakingTerms,
    *,
    of_version: int | None = None,
    by: str | None,
    at: datetime,
) -> Tariff:
    """Put the terms in place of those a tariff had.

    Raises ``NotFound``, and ``StaleDataError`` where somebody else changed the tariff since ``of_version``.
    """
    row = tariff_row(session, tariff_id, lock=True)
    if of_version not in (None, row.version):
        raise StaleDataError("the tariff was changed meanwhile")
    changed = tuple(name for name, value in asdict(terms).items() if getattr(row, name) != value)
    for name in changed:
        value = getattr(terms, name)
        setattr(row, name, getattr(value, "value", value))
    session.flush()
    audit(
        session, account_id=by, action="put_taking", subject_kind="tariff", subject_id=tariff_id, at=at, fields=changed
    )
    return row


def taking_of(row: Tariff) -> TakingTerms:
    """Return a tariff's terms as the checked value."""
    return TakingTerms(
        row.meter_needed, row.needs_charging_point, row.other_terms, row.is_open, row.exit_fee_pence, row.fixed_months
    )


def list_taking(session: SchemeSession) -> list[tuple[str, str, TakingTerms]]:
    """Return (id, name, terms) of each tariff of the scheme, by name."""
    rows = session.scalars(select(Tariff).order_by(Tariff.name, Tariff.id))
    return [(row.id, row.name, taking_of(row)) for row in rows]
