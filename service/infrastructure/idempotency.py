"""Replies kept by Idempotency-Key, written in the same transaction as the effect they report.

Semantics follow the IETF draft "The Idempotency-Key HTTP Header Field" (-07): the same key
with the same request is replayed, with another request refused.  A reply that failed is not
kept, because its effect rolled back with it.
"""

from datetime import datetime, timedelta
from typing import Any

from sqlalchemy import JSON, Integer, String, UniqueConstraint, delete, select
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Mapped, mapped_column

from service.common.errors import Fault, Rejected
from service.infrastructure.db.base import Base, SchemeScoped
from service.infrastructure.db.sessions import SchemeSession
from service.infrastructure.tasks import JobContext

UNFINISHED = 0
"""Status of a row whose request is being answered; no other transaction ever sees one."""

KEEP_REPLIES = timedelta(days=2)
"""Own choice: longer than a client keeps repeating a request, short because replies hold personal data."""


class KeptReply(SchemeScoped, Base):
    """The first reply to one key of one account on one route."""

    __tablename__ = "idempotency_keys"
    account_id: Mapped[str] = mapped_column(String(32))
    route: Mapped[str] = mapped_column(String(120))
    key: Mapped[str] = mapped_column(String(255))
    fingerprint: Mapped[str] = mapped_column(String(64))
    status: Mapped[int] = mapped_column(Integer)
    reply: Mapped[Any] = mapped_column(JSON)
    created_at: Mapped[datetime]

    @property
    def is_finished(self) -> bool:
        """Say whether it holds a reply."""
        return self.status != UNFINISHED

    __table_args__ = (UniqueConstraint("scheme_id", "account_id", "route", "key"),)


def claim_key(
    session: SchemeSession, *, account_id: str, route: str, key: str, fingerprint: str, at: datetime
) -> KeptReply:
    """Return the key's row: finished where the request was answered before, else new and this transaction's own.

    Whoever sends the same key meanwhile waits for this transaction: on SQLite for the write lock, on PostgreSQL
    for the row, which stands in the unique index from here on.  Then they find the reply, or, where this one
    failed, the key free again.

    Raises
    ------
    Rejected
        If the key was used before with another request.
    """
    known = select(KeptReply).where(KeptReply.account_id == account_id, KeptReply.route == route, KeptReply.key == key)
    kept = session.scalar(known)
    if kept is None:
        kept = KeptReply(
            account_id=account_id,
            route=route,
            key=key,
            fingerprint=fingerprint,
            status=UNFINISHED,
            reply="",
            created_at=at,
        )
        try:
            with session.begin_nested():
                session.add(kept)
        except IntegrityError:
            kept = session.scalars(known).one()
    if kept.fingerprint != fingerprint:
        raise Rejected(Fault("Idempotency-Key", key, "a key repeats one request; this request differs, use a new key"))
    return kept


def forget_old_replies(context: JobContext) -> int:
    """Forget the replies of every scheme that nobody will ask for again; return how many."""
    with context.database.system(write=True) as session:
        before = context.clock.now() - KEEP_REPLIES
        gone = session.execute(
            delete(KeptReply).where(KeptReply.created_at < before).execution_options(synchronize_session=False)
        )
    return int(gone.rowcount)  # type: ignore[attr-defined]
