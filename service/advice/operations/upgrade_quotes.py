"""Quotes for works at a home: entered by its members or an administrator, each with its version."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from sqlalchemy import func, select

from service.accounts.operations import audit
from service.advice.domain.upgrade_quotes import QuoteDetails, quoted_by
from service.advice.models import UpgradeQuote
from service.common.errors import Conflict
from service.households.domain.ranges import refuse
from service.households.models import Household
from service.households.operations import get_household, hold_household
from service.households.operations.stored import fill, get_part, read_details
from service.infrastructure.db.sessions import SchemeSession

MOST_KEPT = 30
"""Own bound on the quotes of one home."""


class TooManyQuotes(Conflict):
    """The home keeps as many quotes as it may."""

    title = "Too many quotes kept"


def list_quotes(session: SchemeSession, household_id: str) -> list[UpgradeQuote]:
    """Return a home's quotes, the newest first; raises ``NotFound``."""
    get_household(session, household_id)
    wanted = select(UpgradeQuote).where(UpgradeQuote.household_id == household_id)
    return list(session.scalars(wanted.order_by(UpgradeQuote.quoted_on.desc(), UpgradeQuote.kind, UpgradeQuote.id)))


def load_quotes(session: SchemeSession, household_ids: Sequence[str]) -> Mapping[str, tuple[QuoteDetails, ...]]:
    """Return the quotes of homes by home, in one statement."""
    found: dict[str, list[QuoteDetails]] = {}
    for row in session.scalars(select(UpgradeQuote).where(UpgradeQuote.household_id.in_(household_ids))):
        found.setdefault(row.household_id, []).append(read_details(QuoteDetails, row))
    return {household_id: tuple(quotes) for household_id, quotes in found.items()}


def get_quote(session: SchemeSession, household_id: str, quote_id: str) -> UpgradeQuote:
    """Return one quote of a home; raises ``NotFound``."""
    return get_part(session, UpgradeQuote, household_id, quote_id, "quote")


def add_quote(
    session: SchemeSession, household_id: str, details: QuoteDetails, *, by: str | None, at: datetime
) -> UpgradeQuote:
    """Keep a quote; raises ``NotFound``, ``Rejected`` or ``TooManyQuotes``."""
    household = hold_household(session, household_id)
    _check_day(household, details, at)
    kept = session.scalar(select(func.count()).where(UpgradeQuote.household_id == household_id)) or 0
    if kept >= MOST_KEPT:
        raise TooManyQuotes(f"This home keeps {MOST_KEPT} quotes already: delete one first.")
    quote = UpgradeQuote(household_id=household_id, created_at=at, created_by=by)
    fill(quote, details)
    session.add(quote)
    session.flush()
    audit(session, account_id=by, action="add", subject_kind="upgrade_quote", subject_id=quote.id, at=at)
    return quote


def change_quote(
    session: SchemeSession,
    household_id: str,
    quote_id: str,
    changes: Mapping[str, Any],
    *,
    by: str | None,
    at: datetime,
) -> UpgradeQuote:
    """Change some fields of a quote; raises ``NotFound`` or ``Rejected``."""
    quote = get_quote(session, household_id, quote_id)
    details = replace(read_details(QuoteDetails, quote), **changes)
    _check_day(get_household(session, household_id), details, at)
    changed = fill(quote, details)
    session.flush()
    if changed:
        audit(
            session, account_id=by, action="change", subject_kind="upgrade_quote", subject_id=quote_id, at=at,
            fields=changed,
        )
    return quote


def remove_quote(session: SchemeSession, household_id: str, quote_id: str, *, by: str | None, at: datetime) -> None:
    """Delete a quote; raises ``NotFound``."""
    session.delete(get_quote(session, household_id, quote_id))
    session.flush()
    audit(session, account_id=by, action="remove", subject_kind="upgrade_quote", subject_id=quote_id, at=at)


def _check_day(household: Household, details: QuoteDetails, at: datetime) -> None:
    refuse(quoted_by(details, at.astimezone(ZoneInfo(household.zone)).date()))


