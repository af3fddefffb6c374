"""A person's own settings of mail: tips on or off, and the number to ring them on."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import select

from service.accounts.models import Membership
from service.accounts.operations import audit
from service.common.errors import NotFound
from service.infrastructure.db.sessions import SchemeSession
from service.reminders.domain.mail_choices import MailChoices


@dataclass(frozen=True)
class MailSettings:
    """What a person has chosen in a scheme; ``version`` changes with each choice."""

    tips_muted: bool
    tips_muted_at: datetime | None
    telephone: str

    @property
    def version(self) -> str:
        """A name of this state, as an ETag carries it."""
        muted = str(int(self.tips_muted_at.timestamp())) if self.tips_muted_at else "0"
        return f"{muted}.{self.telephone.encode().hex() or '0'}"


def get_mail_settings(session: SchemeSession, account_id: str) -> MailSettings:
    """Return a person's settings in the session's scheme; raises ``NotFound``."""
    rows = _memberships(session, account_id)
    muted_at = next((row.tips_muted_at for row in rows if row.tips_muted_at is not None), None)
    telephone = next((row.telephone for row in rows if row.telephone), "")
    return MailSettings(muted_at is not None, muted_at, telephone)


def change_mail_settings(
    session: SchemeSession, account_id: str, choices: MailChoices, *, at: datetime
) -> MailSettings:
    """Keep a person's choices in every role they have in the scheme; safety notices and reminders go on."""
    before = get_mail_settings(session, account_id)
    for row in _memberships(session, account_id):
        row.tips_muted_at = (row.tips_muted_at or at) if choices.tips_muted else None
        row.telephone = choices.telephone
    session.flush()
    after = get_mail_settings(session, account_id)
    if after != before:
        audit(
            session, account_id=account_id, action="change", subject_kind="mail_settings", subject_id=account_id,
            at=at, fields=("tips_muted_at", "telephone"),
        )
    return after


def mute_tips(session: SchemeSession, account_id: str, *, at: datetime) -> None:
    """Mute a person's tips; asked twice, done once.  Raises ``NotFound``."""
    for row in _memberships(session, account_id):
        if row.tips_muted_at is None:
            row.tips_muted_at = at
            audit(
                session, account_id=account_id, action="mute", subject_kind="mail_settings", subject_id=account_id,
                at=at, fields=("tips_muted_at",),
            )


def _memberships(session: SchemeSession, account_id: str) -> list[Membership]:
    rows = list(
        session.scalars(
            select(Membership)
            .where(Membership.account_id == account_id, Membership.ended_at.is_(None))
            .order_by(Membership.since_at, Membership.id)
        )
    )
    if not rows:
        raise NotFound("You are in this scheme no more.")
    return rows
