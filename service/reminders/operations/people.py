"""Whom to tell: the members of many homes at once, who has muted tips, who is on duty, and who has left since."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence

from sqlalchemy import select

from service.accounts.models import Account, Membership, Role
from service.accounts.operations import Recipient, list_administrators
from service.infrastructure.db.sessions import SchemeSession
from service.infrastructure.mail.queue import Mail

HAS_LEFT = "not sent: the person has left"
HAS_MUTED = "not sent: the person has turned such mail off"


def members_by_home(
    session: SchemeSession, household_ids: Sequence[str] | None = None, account_ids: Sequence[str] | None = None
) -> dict[str, list[Recipient]]:
    """Return household id -> its members in the scheme now; of some homes or some people where they are given."""
    query = (
        select(Membership.household_id, Account.id, Account.name, Account.email)
        .join(Account, Account.id == Membership.account_id)
        .where(
            Membership.household_id.is_not(None),
            Membership.role == Role.MEMBER.value,
            Membership.ended_at.is_(None),
            Account.disabled_at.is_(None),
        )
        .order_by(Account.id)
    )
    if household_ids is not None:
        query = query.where(Membership.household_id.in_(household_ids))
    if account_ids is not None:
        query = query.where(Membership.account_id.in_(account_ids))
    found: dict[str, list[Recipient]] = defaultdict(list)
    for household_id, account_id, name, email in session.execute(query):
        if household_id is not None:
            found[household_id].append(Recipient(account_id, name, email))
    return found


def muted_accounts(session: SchemeSession, account_ids: Sequence[str]) -> set[str]:
    """Return which of these people want no tips."""
    return set(
        session.scalars(
            select(Membership.account_id).where(
                Membership.account_id.in_(account_ids), Membership.tips_muted_at.is_not(None)
            )
        )
    )


def duty_contacts(session: SchemeSession) -> list[Recipient]:
    """Return who is rung when a safety notice goes unread; every administrator where nobody is named."""
    named = set(
        session.scalars(
            select(Membership.account_id).where(Membership.is_duty_contact.is_(True), Membership.ended_at.is_(None))
        )
    )
    administrators = list_administrators(session)
    return [person for person in administrators if person.account_id in named] or administrators


def why_not_to_send(session: SchemeSession, mail: Mail) -> str | None:
    """Return why a message must not go out any more, or None: asked when its turn comes, and before a resend.

    A message about a home goes to who lives there or runs the scheme at that moment; a tip to who still wants tips.
    """
    if mail.account_id is None:
        return None
    rows = session.execute(
        select(Membership.role, Membership.household_id, Membership.tips_muted_at)
        .join(Account, Account.id == Membership.account_id)
        .where(
            Membership.account_id == mail.account_id, Membership.ended_at.is_(None), Account.disabled_at.is_(None)
        )
    ).all()
    is_there = any(
        role == Role.ADMINISTRATOR or mail.household_id is None or household_id == mail.household_id
        for role, household_id, _ in rows
    )
    if not is_there:
        return HAS_LEFT
    is_tip = mail.unsubscribe_url is not None
    return HAS_MUTED if is_tip and any(muted_at is not None for _, _, muted_at in rows) else None
