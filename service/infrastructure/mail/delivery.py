"""Send what is queued: claim with a lease, hand to SMTP, mark with the token.

The mail server's yes and our mark cannot be one step; a crash between them repeats the
message under the same Message-ID, and never loses it.
"""

import logging

from sqlalchemy import select

from service.infrastructure.claims import Claim, LeaseLost, backoff_ms, claim_rows, finish
from service.infrastructure.db.types import database_now_ms
from service.infrastructure.failpoints import failpoint
from service.infrastructure.mail.message import Envelope, UnsafeMessageError, compose
from service.infrastructure.mail.queue import RETRY_DELAYS_S, Mail
from service.infrastructure.mail.smtp import Outcome, OutcomeKind, SmtpSender
from service.infrastructure.tasks import JobContext

BATCH = 20
log = logging.getLogger(__name__)


def send_due(context: JobContext, sender: SmtpSender) -> int:
    """Send the messages that are due; return how many were taken."""
    with context.database.system(write=True) as session:
        claims = claim_rows(session, Mail, limit=BATCH, lease_ms=context.settings.lease_s * 1000)
    if not claims:
        return 0
    failpoint("mail.claimed")
    with sender:
        for claim in claims:
            _send(context, sender, claim)
    return len(claims)


def _envelope(context: JobContext, claim: Claim) -> tuple[Envelope, int]:
    with context.database.scheme(claim.scheme_id, write=False) as session:
        mail = session.scalars(select(Mail).where(Mail.id == claim.id)).one()
    envelope = compose(
        sender=context.settings.mail_from,
        to=mail.recipient,
        subject=mail.subject,
        text=mail.text,
        html=mail.html,
        message_id=mail.message_id,
        written_at=mail.queued_at,
    )
    return envelope, mail.attempts


def _send(context: JobContext, sender: SmtpSender, claim: Claim) -> None:
    try:
        envelope, attempts = _envelope(context, claim)
        outcome = sender.send(envelope)
    except UnsafeMessageError as error:
        # It would be as unsafe at the next try; a person sees it as refused.
        attempts, outcome = 0, Outcome(OutcomeKind.REFUSED, str(error))
    failpoint("mail.sent")
    try:
        with context.database.system(write=True) as session:
            finish(session, Mail, claim, **_marks(context, outcome, attempts))
    except LeaseLost:
        log.warning("a message was taken over while it was being sent", extra={"mail": claim.id})
    failpoint("mail.marked")


def _marks(context: JobContext, outcome: Outcome, attempts: int) -> dict[str, object]:
    """Return what the outcome makes of the row."""
    if outcome.is_sent:
        return {"status": "sent", "sent_at": context.clock.now(), "reason": None}
    reason = outcome.reason[:300]
    if outcome.is_refused:
        return {"status": "refused", "reason": reason}
    wait_ms = backoff_ms(attempts, RETRY_DELAYS_S)
    if wait_ms is None:
        return {"status": "given_up", "reason": reason}
    return {"status": "waiting", "not_before_ms": database_now_ms() + wait_ms, "reason": reason}
