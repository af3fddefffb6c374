"""The mail table: each message rendered once, sent at least once, counted once by its key.

``queue`` freezes recipient, body and Message-ID in the caller's transaction.  The worker
claims a row, hands it to SMTP and marks it with its token; a crash between SMTP's yes and
the mark sends the same Message-ID again, which nothing over SMTP can rule out.
"""

import hashlib
import hmac
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import BigInteger, Index, Integer, String, Text, UniqueConstraint, select
from sqlalchemy.orm import Mapped, mapped_column

from service.infrastructure.db.base import Base, SchemeScoped, belongs_to, one_of
from service.infrastructure.db.sessions import SchemeSession
from service.infrastructure.db.types import database_now_ms

MAIL_STATES = ("waiting", "claimed", "sent", "refused", "given_up", "unknown", "suppressed")
NEVER_REPEATED = frozenset({"inspection_link"})
"""Messages that carry a secret told once: where it is not known whether one arrived it is not sent again, and a new
secret is made instead.  Its words are not kept once it has been handed over."""

RETRY_DELAYS_S = (60, 300, 900, 1800, 3600, 7200, 14400, 28800, 43200, 86400, 86400, 86400)
"""Four and a half days in all, as RFC 5321 4.5.4.1 asks of who queues mail; the quick start is own choice."""


class Mail(SchemeScoped, Base):
    """One message to one person: frozen when queued, then only its state changes."""

    __tablename__ = "mail"
    dedupe_key: Mapped[str] = mapped_column(String(200))
    kind: Mapped[str] = mapped_column(String(40))
    household_id: Mapped[str | None] = mapped_column(String(32))
    recipient: Mapped[str] = mapped_column(String(254))
    subject: Mapped[str] = mapped_column(String(200))
    text: Mapped[str] = mapped_column(Text)
    html: Mapped[str] = mapped_column(Text)
    message_id: Mapped[str] = mapped_column(String(120))
    queued_at: Mapped[datetime]
    sent_at: Mapped[datetime | None]
    status: Mapped[str] = mapped_column(String(12), default="waiting")
    attempts: Mapped[int] = mapped_column(Integer, default=0)
    not_before_ms: Mapped[int] = mapped_column(BigInteger, default=database_now_ms())
    lease_until_ms: Mapped[int] = mapped_column(BigInteger, default=0)
    token: Mapped[int] = mapped_column(Integer, default=0)
    reason: Mapped[str | None] = mapped_column(String(300))
    # Whom it is for where they have an account: a leaver's mail is suppressed when its turn comes.
    account_id: Mapped[str | None] = mapped_column(String(32))
    # The address that one click at the top of a tip opens (RFC 8058); None on what cannot be muted.
    unsubscribe_url: Mapped[str | None] = mapped_column(String(300))
    # An attached calendar (RFC 5545); None: nothing is attached.
    calendar: Mapped[str | None] = mapped_column(Text)
    # A later report that it did not arrive (RFC 3464).
    bounced_at: Mapped[datetime | None]
    resend_of_id: Mapped[str | None] = mapped_column(String(32))
    __table_args__ = (
        belongs_to("households", "household_id"),
        UniqueConstraint("scheme_id", "dedupe_key"),
        Index("ix_mail_claim", "status", "not_before_ms"),
        one_of("status", MAIL_STATES),
    )


@dataclass(frozen=True)
class Rendered:
    """A message as a feature's ``emails`` renders it: subject, text and HTML bodies, perhaps a calendar to attach."""

    subject: str
    text: str
    html: str
    calendar: str | None = None


@dataclass(frozen=True)
class Postmark:
    """What makes Message-IDs ours: the key they are derived with and the domain they carry."""

    secret_key: str
    domain: str

    def message_id(self, scheme_id: str, dedupe_key: str) -> str:
        """Return the Message-ID of this key; the same key always gives the same one."""
        digest = hmac.new(self.secret_key.encode(), f"{scheme_id}/{dedupe_key}".encode(), hashlib.sha256)
        return f"<{digest.hexdigest()[:40]}@{self.domain}>"


def queue(
    session: SchemeSession,
    rendered: Rendered,
    *,
    kind: str,
    dedupe_key: str,
    recipient: str,
    household_id: str | None,
    at: datetime,
    postmark: Postmark,
    account_id: str | None = None,
    unsubscribe_url: str | None = None,
    resend_of_id: str | None = None,
) -> Mail | None:
    """Queue one message, or return None where its key has been queued before.

    Parameters
    ----------
    account_id : str, optional
        Whose it is: when its turn comes and they have left, it is suppressed.
    unsubscribe_url : str, optional
        Of a tip: where one click mutes tips.
    """
    if session.scalar(select(Mail.id).where(Mail.dedupe_key == dedupe_key)):
        return None
    mail = Mail(
        kind=kind,
        dedupe_key=dedupe_key,
        recipient=recipient,
        household_id=household_id,
        queued_at=at,
        subject=rendered.subject,
        text=rendered.text,
        html=rendered.html,
        message_id=postmark.message_id(session.scheme_id, dedupe_key),
        account_id=account_id,
        unsubscribe_url=unsubscribe_url,
        calendar=rendered.calendar,
        resend_of_id=resend_of_id,
    )
    session.add(mail)
    return mail
