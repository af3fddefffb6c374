"""Send what is queued: claim with a lease, hand to SMTP, mark with the token.

The mail server's yes and our mark cannot be one step; a crash between them repeats the
message under the same Message-ID, and never loses it.  The lease outlasts the longest time
one message may take, so a slow server alone makes nobody send a message a second time.
"""

import logging
import time
from collections.abc import Sequence

from sqlalchemy import select

from service.infrastructure.claims import Claim, LeaseLost, backoff_ms, claim_rows, finish, renew
from service.infrastructure.db.types import database_now_ms
from service.infrastructure.failpoints import failpoint
from service.infrastructure.mail.message import Envelope, UnsafeMessageError, compose
from service.infrastructure.mail.queue import RETRY_DELAYS_S, Mail
from service.infrastructure.mail.smtp import Outcome, SmtpSender
from service.infrastructure.tasks import JobContext

BATCH = 20
log = logging.getLogger(__name__)


def send_due(context: JobContext, sender: SmtpSender) -> int:
    """Send the messages that are due; return how many were taken."""
    claimed_at_s = time.monotonic()
    with context.database.system(write=True) as session:
        claims = claim_rows(session, Mail, limit=BATCH, lease_ms=_lease_ms(context))
    if not claims:
        return 0
    failpoint("mail.claimed")
    with sender:
        for position, claim in enumerate(claims):
            try:
                outcome = _send(context, sender, claim, held_s=time.monotonic() - claimed_at_s)
            except LeaseLost:
                log.warning("a message was taken over", extra={"mail": claim.id})
                continue
            if outcome is not None and outcome.is_server_away:
                # The next would wait as long for nothing, and planning behind it: the worker has one thread.
                _put_back(context, claims[position + 1 :])
                break
    return len(claims)


def _put_back(context: JobContext, claims: Sequence[Claim]) -> None:
    """Return messages to the queue as if they had not been taken, for a minute from now."""
    for claim in claims:
        due_ms = database_now_ms() + RETRY_DELAYS_S[0] * 1000
        try:
            _mark(context, claim, {"status": "waiting", "not_before_ms": due_ms, "attempts": Mail.attempts - 1})
        except LeaseLost:
            log.warning("a message was taken over", extra={"mail": claim.id})


def _lease_ms(context: JobContext) -> int:
    return (context.settings.lease_s + context.settings.smtp_timeout_s) * 1000


def _send(context: JobContext, sender: SmtpSender, claim: Claim, *, held_s: float) -> Outcome | None:
    """Send one message and mark it; return what became of it, None where there was nothing to send."""
    if held_s > context.settings.lease_s / 2:
        # Its turn came late in the batch, or this process was paused: it may be another's by now.
        with context.database.system(write=True) as session:
            renew(session, Mail, claim, lease_ms=_lease_ms(context))
    mail = _read(context, claim)
    if mail is None:
        return None
    try:
        envelope = _envelope(context, mail)
    except UnsafeMessageError as error:
        log.error("a message cannot be written", extra={"mail": claim.id})
        _mark(context, claim, {"status": "refused", "reason": f"not sent: {error}"[:300]})
        return None
    outcome = sender.send(envelope)
    failpoint("mail.sent")
    _mark(context, claim, _marks(context, outcome, mail.attempts))
    failpoint("mail.marked")
    return outcome


def _read(context: JobContext, claim: Claim) -> Mail | None:
    """Return the message, or None where its home has gone since, and the message with it."""
    with context.database.scheme(claim.scheme_id, write=False) as session:
        return session.scalar(select(Mail).where(Mail.id == claim.id))


def _envelope(context: JobContext, mail: Mail) -> Envelope:
    return compose(
        sender=context.settings.mail_from,
        to=mail.recipient,
        subject=mail.subject,
        text=mail.text,
        html=mail.html,
        message_id=mail.message_id,
        # Sent again, it must be the same message to the last byte.
        written_at=mail.queued_at,
    )


def _mark(context: JobContext, claim: Claim, marks: dict[str, object]) -> None:
    with context.database.system(write=True) as session:
        finish(session, Mail, claim, **marks)


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
