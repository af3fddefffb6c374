"""Stored reminders, safety notices and who read them, and secret addresses of calendars."""

from datetime import date, datetime

from sqlalchemy import ForeignKey, Index, Integer, String, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from service.households.models import OfHousehold
from service.infrastructure.db.base import Base, SchemeScoped, belongs_to, one_of

NOTICE_KINDS = ("stop", "inspection_stop", "override", "overdue")
FEED_KINDS = ("rechecks", "plan")


class Reminder(OfHousehold, Base):
    """Asked for once by its key, however often the clock asks."""

    __tablename__ = "reminders"
    kind: Mapped[str] = mapped_column(String(20))
    subject_id: Mapped[str] = mapped_column(String(32))
    due_on: Mapped[date]
    # Days before the due date; negative once it is overdue.
    step: Mapped[int] = mapped_column(Integer)
    recipient: Mapped[str] = mapped_column(String(32))
    created_at: Mapped[datetime]
    __table_args__ = (
        belongs_to("households", "household_id"),
        UniqueConstraint("scheme_id", "kind", "subject_id", "due_on", "step", "recipient"),
    )


class SafetyNotice(OfHousehold, Base):
    """That one person was told of one thing that stops charging, whether they read it, and who was rung if not."""

    __tablename__ = "safety_notices"
    account_id: Mapped[str] = mapped_column(String(32), ForeignKey("accounts.id", ondelete="CASCADE"))
    kind: Mapped[str] = mapped_column(String(16))
    # The one thing told of, as the event names it; a person is told of it once.
    subject_key: Mapped[str] = mapped_column(String(120))
    subject: Mapped[str] = mapped_column(String(200))
    text: Mapped[str] = mapped_column(String(4000))
    mail_id: Mapped[str | None] = mapped_column(String(32))
    told_at: Mapped[datetime]
    read_at: Mapped[datetime | None]
    # Risen to the duty contact: unread too long, or the mail did not arrive.
    raised_at: Mapped[datetime | None]
    raised_why: Mapped[str | None] = mapped_column(String(40))
    rung_at: Mapped[datetime | None]
    rung_by: Mapped[str | None] = mapped_column(String(32))
    rung_note: Mapped[str] = mapped_column(String(300), default="")
    __table_args__ = (
        belongs_to("households", "household_id"),
        UniqueConstraint("scheme_id", "account_id", "subject_key"),
        Index("ix_safety_notices_unread", "read_at", "raised_at", "told_at"),
        Index("ix_safety_notices_household", "scheme_id", "household_id", "told_at"),
        one_of("kind", NOTICE_KINDS),
    )


class FeedAddress(SchemeScoped, Base):
    """A secret address of a calendar; only the hash of its token is kept, and it can be revoked."""

    __tablename__ = "feed_addresses"
    account_id: Mapped[str] = mapped_column(String(32), ForeignKey("accounts.id", ondelete="CASCADE"))
    household_id: Mapped[str | None] = mapped_column(String(32))
    kind: Mapped[str] = mapped_column(String(12))
    token_hash: Mapped[str] = mapped_column(String(64))
    made_at: Mapped[datetime]
    revoked_at: Mapped[datetime | None]
    __table_args__ = (
        belongs_to("households", "household_id"),
        Index("ix_feed_addresses_token", "token_hash"),
        Index("ix_feed_addresses_account", "scheme_id", "account_id"),
        one_of("kind", FEED_KINDS),
    )
