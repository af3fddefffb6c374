"""Claim rows of a queue table with a lease and a token, and finish them only with that token.

A claim is one statement; the lease is judged by the database's clock.  A worker that was
paused past its lease holds an old token, and its completion touches no row.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, and_, or_, select, tuple_, update

from service.infrastructure.db.sessions import SchemeSession, SystemSession
from service.infrastructure.db.types import database_now_ms


class LeaseLost(RuntimeError):
    """Another worker took the row over; this one's result must not be written."""


@dataclass(frozen=True)
class Claim:
    """A row held for a while: its key and the token that proves the hold."""

    scheme_id: str
    id: str
    token: int


def claim_rows(session: SystemSession, model: Any, *, limit: int, lease_ms: int) -> list[Claim]:
    """Take up to ``limit`` rows that wait, or whose lease ran out, oldest first."""
    now = database_now_ms()
    is_due = or_(
        and_(model.status == "waiting", model.not_before_ms <= now),
        and_(model.status == "claimed", model.lease_until_ms < now),
    )
    due = (
        select(model.scheme_id, model.id)
        .where(is_due)
        .order_by(model.not_before_ms, model.scheme_id, model.id)
        .limit(limit)
        .with_for_update(skip_locked=True)
        # A CTE is worked out once. PostgreSQL may run a plain subquery again for each row, and so pass the limit.
        .cte("due")
    )
    taken = session.execute(
        update(model)
        .where(tuple_(model.scheme_id, model.id).in_(select(due.c.scheme_id, due.c.id)))
        .values(status="claimed", token=model.token + 1, attempts=model.attempts + 1, lease_until_ms=now + lease_ms)
        .returning(model.scheme_id, model.id, model.token)
        .execution_options(synchronize_session=False)
    )
    return [Claim(*row) for row in taken]


def finish(session: SchemeSession | SystemSession | Connection, model: Any, claim: Claim, **values: Any) -> None:
    """Set the columns of a claimed row, if the claim still holds.

    Raises
    ------
    LeaseLost
        If the row was claimed again since, so this worker's work must roll back.
    """
    done = session.execute(
        update(model)
        .where(
            model.scheme_id == claim.scheme_id,
            model.id == claim.id,
            model.token == claim.token,
            model.status == "claimed",
        )
        .values(**values)
        .execution_options(synchronize_session=False)
    )
    if done.rowcount != 1:  # type: ignore[attr-defined]
        raise LeaseLost(f"{model.__tablename__} {claim.id} is no longer held by token {claim.token}")


def renew(session: SystemSession, model: Any, claim: Claim, *, lease_ms: int) -> None:
    """Hold a claimed row for another while from now on; raises ``LeaseLost`` as ``finish`` does."""
    finish(session, model, claim, lease_until_ms=database_now_ms() + lease_ms)


def backoff_ms(attempts: int, delays_s: Sequence[int]) -> int | None:
    """Return how long to wait before the next try, or None once the delays are used up."""
    return delays_s[attempts - 1] * 1000 if attempts <= len(delays_s) else None
