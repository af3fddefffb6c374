"""Business miles in an own car that the employer paid outside this service: stated per tax year as one document."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from datetime import date, datetime
from decimal import Decimal

from sqlalchemy import delete, select
from sqlalchemy.orm.exc import StaleDataError

from service.accounts.operations import audit
from service.common.errors import Fault, Rejected
from service.households.domain.ranges import in_range, of_decimals, refuse
from service.households.operations import hold_household
from service.infrastructure.db.sessions import SchemeSession
from service.reimbursement.domain.months import tax_year_from
from service.reimbursement.models import MilesElsewhere

MILES_MAX, YEARS_MAX = 200_000, 20
"""Own bounds: beyond them a figure is a typing error."""


def get_elsewhere(session: SchemeSession, account_id: str) -> dict[date, Decimal]:
    """Return the first day of a tax year -> miles, the newest year first."""
    rows = session.scalars(
        select(MilesElsewhere)
        .where(MilesElsewhere.account_id == account_id)
        .order_by(MilesElsewhere.tax_year_from_on.desc())
    )
    return {row.tax_year_from_on: row.miles for row in rows}


def version_of(miles_by_year: Mapping[date, Decimal]) -> str:
    """Return what changes with each other content, for an ETag."""
    text = ";".join(f"{year.isoformat()}={miles.normalize():f}" for year, miles in sorted(miles_by_year.items()))
    return hashlib.sha256(text.encode()).hexdigest()[:16]


def put_elsewhere(
    session: SchemeSession,
    account_id: str,
    household_id: str,
    lines: list[tuple[date, Decimal]],
    *,
    of_version: str | None = None,
    by: str | None,
    at: datetime,
) -> dict[date, Decimal]:
    """Put the whole document in place of what was stated; claims sent keep their money, the next one adjusts.

    Raises
    ------
    Rejected
        Where a day does not begin a tax year, a year stands twice or miles are out of range.
    StaleDataError
        Where somebody else replaced it since ``of_version``.
    """
    hold_household(session, household_id)
    session.expire_all()
    if of_version not in (None, version_of(get_elsewhere(session, account_id))):
        raise StaleDataError("the miles elsewhere were replaced meanwhile")
    faults = []
    if len(lines) > YEARS_MAX:
        raise Rejected(Fault("items", len(lines), f"must be at most {YEARS_MAX} tax years"))
    years = [year for year, _ in lines]
    for place, (year, miles) in enumerate(lines):
        if year != tax_year_from(year):
            faults.append(Fault(f"items.{place}.tax_year_from_on", year.isoformat(), "must be a 6 April"))
        if year in years[:place]:
            faults.append(Fault(f"items.{place}.tax_year_from_on", year.isoformat(), "is stated twice"))
        faults += in_range(f"items.{place}.miles", miles, 0, MILES_MAX, "miles")
        faults += of_decimals(f"items.{place}.miles", miles, 1)
    refuse(faults)
    session.execute(delete(MilesElsewhere).where(MilesElsewhere.account_id == account_id))
    session.add_all(
        MilesElsewhere(account_id=account_id, tax_year_from_on=year, miles=miles, recorded_at=at)
        for year, miles in lines
    )
    session.flush()
    audit(session, account_id=by, action="put", subject_kind="miles_elsewhere", subject_id=account_id, at=at)
    return get_elsewhere(session, account_id)
