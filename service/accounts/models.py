"""Stored rows of accounts: schemes, accounts, sign-in sessions and attempts, memberships, audit."""

from datetime import datetime
from enum import StrEnum

from sqlalchemy import JSON, ForeignKey, Index, Integer, String
from sqlalchemy.orm import Mapped, mapped_column

from service.common.ids import new_id
from service.infrastructure.db.base import Base, SchemeScoped, belongs_to, one_of


class Role(StrEnum):
    """What a membership lets a person do."""

    ADMINISTRATOR = "administrator"
    MEMBER = "member"
    FINANCE = "finance"


class Scheme(Base):
    """One employer's home-charging scheme: the tenant."""

    __tablename__ = "schemes"
    id: Mapped[str] = mapped_column(String(32), primary_key=True, default=new_id)
    name: Mapped[str] = mapped_column(String(120))
    created_at: Mapped[datetime]


class Account(Base):
    """A person who signs in; may belong to several schemes."""

    __tablename__ = "accounts"
    id: Mapped[str] = mapped_column(String(32), primary_key=True, default=new_id)
    email: Mapped[str] = mapped_column(String(254), unique=True)
    name: Mapped[str] = mapped_column(String(120))
    password_hash: Mapped[str] = mapped_column(String(200))
    created_at: Mapped[datetime]
    disabled_at: Mapped[datetime | None]


class SignInSession(Base):
    """A signed-in browser; only the hash of its token is kept, so the table opens no door."""

    __tablename__ = "sign_in_sessions"
    token_hash: Mapped[str] = mapped_column(String(64), primary_key=True)
    account_id: Mapped[str] = mapped_column(String(32), ForeignKey("accounts.id", ondelete="CASCADE"), index=True)
    scheme_id: Mapped[str] = mapped_column(String(32), ForeignKey("schemes.id", ondelete="CASCADE"))
    created_at: Mapped[datetime]
    seen_at: Mapped[datetime]


class SignInAttempt(Base):
    """Failures of one account or one source within a window, shared by all web processes.

    Failed sign-ins, and secret addresses that open nothing.
    """

    __tablename__ = "sign_in_attempts"
    subject: Mapped[str] = mapped_column(String(80), primary_key=True)
    window_starts_at: Mapped[datetime]
    failures: Mapped[int] = mapped_column(Integer)


class Membership(SchemeScoped, Base):
    """An account's role in a scheme; a member's also names the household."""

    __tablename__ = "memberships"
    account_id: Mapped[str] = mapped_column(String(32), ForeignKey("accounts.id", ondelete="CASCADE"), index=True)
    role: Mapped[str] = mapped_column(String(20))
    household_id: Mapped[str | None] = mapped_column(String(32))
    since_at: Mapped[datetime]
    ended_at: Mapped[datetime | None]
    # Duties of an administrator: accepts inspections; is rung when a safety notice goes unread.
    is_safety_officer: Mapped[bool] = mapped_column(default=False)
    is_duty_contact: Mapped[bool] = mapped_column(default=False)
    telephone: Mapped[str] = mapped_column(String(40), default="")
    # Tips can be muted, safety notices cannot.
    tips_muted_at: Mapped[datetime | None]
    __table_args__ = (
        belongs_to("households", "household_id"),
        Index("ix_memberships_household", "scheme_id", "household_id"),
        one_of("role", Role),
    )


class AuditEntry(SchemeScoped, Base):
    """Who did what to which row: ids and field names, never values."""

    __tablename__ = "audit_entries"
    happened_at: Mapped[datetime]
    account_id: Mapped[str | None] = mapped_column(String(32))
    action: Mapped[str] = mapped_column(String(60))
    subject_kind: Mapped[str] = mapped_column(String(40))
    subject_id: Mapped[str] = mapped_column(String(32))
    fields: Mapped[list[str]] = mapped_column(JSON)
    __table_args__ = (Index("ix_audit_entries_time", "scheme_id", "happened_at"),)
