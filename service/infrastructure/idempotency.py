"""Replies kept by Idempotency-Key, written in the same transaction as the effect they report.

Semantics follow the IETF draft "The Idempotency-Key HTTP Header Field" (-07): the same key
with the same request is replayed, with another request refused.  A reply that failed is not
kept, because its effect rolled back with it.
"""

from datetime import datetime
from typing import Any

from sqlalchemy import JSON, Integer, String, UniqueConstraint, select
from sqlalchemy.orm import Mapped, mapped_column

from service.common.errors import Fault, Rejected
from service.infrastructure.db.base import Base, SchemeScoped
from service.infrastructure.db.sessions import SchemeSession


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
    __table_args__ = (UniqueConstraint("scheme_id", "account_id", "route", "key"),)


def find_reply(session: SchemeSession, *, account_id: str, route: str, key: str, fingerprint: str) -> KeptReply | None:
    """Return the kept reply, or None where the key is new.

    Raises
    ------
    Rejected
        If the key was used before with another request.
    """
    kept = session.scalar(
        select(KeptReply).where(KeptReply.account_id == account_id, KeptReply.route == route, KeptReply.key == key)
    )
    if kept and kept.fingerprint != fingerprint:
        raise Rejected(Fault("Idempotency-Key", key, "a key repeats one request; this request differs, use a new key"))
    return kept
