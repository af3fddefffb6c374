"""Events and their deliveries: what happened, and who still has to react to it.

An operation writes the event in its own transaction (``announce``).  The worker fans each
event out to one delivery per subscribed handler, and a delivery is done in the same
transaction as the effect it caused: none is lost, and a repeat finds its work done.
"""

from dataclasses import asdict, is_dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import JSON, BigInteger, Index, Integer, String, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from service.infrastructure.db.base import Base, SchemeScoped, belongs_to, one_of
from service.infrastructure.db.sessions import SchemeSession
from service.infrastructure.db.types import database_now_ms

DELIVERY_STATES = ("waiting", "claimed", "done", "given_up")


class Event(SchemeScoped, Base):
    """Something that happened, named in the past tense, with the ids a reader needs."""

    __tablename__ = "events"
    name: Mapped[str] = mapped_column(String(60))
    payload: Mapped[dict[str, Any]] = mapped_column(JSON)
    happened_at: Mapped[datetime]
    is_fanned_out: Mapped[bool] = mapped_column(default=False)
    __table_args__ = (Index("ix_events_waiting", "is_fanned_out", "happened_at"),)


class Delivery(SchemeScoped, Base):
    """One event for one handler; it stays until the handler's work is committed with it."""

    __tablename__ = "deliveries"
    event_id: Mapped[str] = mapped_column(String(32))
    handler: Mapped[str] = mapped_column(String(80))
    status: Mapped[str] = mapped_column(String(12), default="waiting")
    attempts: Mapped[int] = mapped_column(Integer, default=0)
    not_before_ms: Mapped[int] = mapped_column(BigInteger, default=database_now_ms())
    lease_until_ms: Mapped[int] = mapped_column(BigInteger, default=0)
    token: Mapped[int] = mapped_column(Integer, default=0)
    reason: Mapped[str | None] = mapped_column(String(300))
    __table_args__ = (
        belongs_to("events", "event_id"),
        UniqueConstraint("scheme_id", "event_id", "handler"),
        Index("ix_deliveries_claim", "status", "not_before_ms"),
        one_of("status", DELIVERY_STATES),
    )


def announce(session: SchemeSession, event: object, *, at: datetime) -> Event:
    """Write the event row in the caller's transaction and return it."""
    if not is_dataclass(event) or isinstance(event, type):
        raise TypeError("an event is a frozen dataclass")
    row = Event(name=type(event).__name__, payload=asdict(event), happened_at=at)
    session.add(row)
    return row
