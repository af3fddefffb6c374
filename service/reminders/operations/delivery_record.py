"""Send a message again, as a new row of the delivery record."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import func, select

from service.accounts.operations import audit
from service.common.errors import Conflict, NotFound
from service.infrastructure.db.sessions import SchemeSession
from service.infrastructure.mail.queue import NEVER_REPEATED, Mail, Postmark, Rendered, queue
from service.reminders.models import SafetyNotice
from service.reminders.operations.people import why_not_to_send

NOT_YET = ("waiting", "claimed")


def resend(session: SchemeSession, mail_id: str, *, by: str, at: datetime, postmark: Postmark) -> Mail:
    """Queue the same words once more under a new key; unread safety notices follow the new message.

    Raises
    ------
    NotFound, Conflict
        Conflict while it still waits, where its words are not kept any more, where it carries a secret that is told
        once, or where its person has left or wants no such mail.
    """
    mail = session.get(Mail, (session.scheme_id, mail_id), with_for_update=True)
    if mail is None:
        raise NotFound("No such message in the delivery record.")
    if mail.kind in NEVER_REPEATED:
        raise Conflict("It carried a link that is told once. Make a new link instead.")
    if mail.status in NOT_YET:
        raise Conflict("It has not been sent yet: it waits for its next try.")
    refusal = why_not_to_send(session, mail)
    if refusal is not None:
        raise Conflict(refusal[:1].upper() + refusal[1:] + ".")
    if not mail.text:
        raise Conflict("Its words are kept for seven days after sending, and are gone.")
    number = session.scalar(select(func.count()).select_from(Mail).where(Mail.resend_of_id == mail_id)) or 0
    again = queue(
        session,
        Rendered(mail.subject, mail.text, mail.html, mail.calendar),
        kind=mail.kind,
        dedupe_key=f"resend/{mail_id}/{number + 1}",
        recipient=mail.recipient,
        household_id=mail.household_id,
        at=at,
        postmark=postmark,
        account_id=mail.account_id,
        unsubscribe_url=mail.unsubscribe_url,
        resend_of_id=mail_id,
    )
    if again is None:
        raise Conflict("Somebody has just sent it again.")
    session.flush()
    for notice in session.scalars(
        select(SafetyNotice).where(SafetyNotice.mail_id == mail_id, SafetyNotice.read_at.is_(None))
    ):
        notice.mail_id = again.id
    audit(session, account_id=by, action="resend", subject_kind="mail", subject_id=mail_id, at=at)
    return again
