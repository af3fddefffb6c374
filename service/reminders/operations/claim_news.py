"""Tell a member that their claim was asked about or decided: one message for each time it happened."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

from sqlalchemy import select

from service.accounts.models import Account
from service.accounts.operations import list_administrators
from service.infrastructure.db.sessions import SchemeSession
from service.infrastructure.mail.queue import Postmark, Rendered, queue
from service.reimbursement.domain.events import ClaimDecided, ClaimQueried
from service.reimbursement.models import Claim
from service.reminders.domain.claim_news import ClaimNews, ClaimTurn
from service.reminders.domain.news import Reader

KIND = "claim_news"


def tell_claim_news(
    session: SchemeSession,
    event: ClaimQueried | ClaimDecided,
    *,
    at: datetime,
    render: Callable[[ClaimNews, Reader], Rendered],
    postmark: Postmark,
) -> int:
    """Queue the message to whoever claimed; return how many are new: none where the claim is gone."""
    claim = session.get(Claim, (session.scheme_id, event.claim_id))
    member = (
        session.execute(select(Account.name, Account.email).where(Account.id == claim.account_id)).one_or_none()
        if claim
        else None
    )
    if claim is None or member is None:
        return 0
    turn, once = _turn(event)
    contacts = tuple(person.name for person in list_administrators(session))
    news = ClaimNews(claim.id, turn, f"{claim.month_on:%B %Y}", claim.total_pence)
    mail = queue(
        session,
        render(news, Reader(member.name, contacts)),
        kind=KIND,
        dedupe_key=f"{KIND}/{claim.id}/{turn.value}/{once}",
        recipient=member.email,
        household_id=claim.household_id,
        at=at,
        postmark=postmark,
        account_id=claim.account_id,
    )
    return int(mail is not None)


def _turn(event: ClaimQueried | ClaimDecided) -> tuple[ClaimTurn, str]:
    """Return what happened, and what names this one time of it."""
    if isinstance(event, ClaimQueried):
        return ClaimTurn.QUERIED, event.message_id
    return ClaimTurn.APPROVED if event.is_approved else ClaimTurn.REFUSED, str(event.decided_ms)
