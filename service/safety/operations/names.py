"""Who somebody is: the names behind the ids that rows keep."""

from __future__ import annotations

from collections.abc import Iterable

from sqlalchemy import select

from service.accounts.models import Account
from service.infrastructure.db.sessions import SchemeSession


def names_of(session: SchemeSession, account_ids: Iterable[str | None]) -> dict[str | None, str]:
    """Return account id -> name of everybody named; None, and who is gone, stand for nobody and are left out."""
    wanted = {account_id for account_id in account_ids if account_id is not None}
    return {row[0]: row[1] for row in session.execute(select(Account.id, Account.name).where(Account.id.in_(wanted)))}
