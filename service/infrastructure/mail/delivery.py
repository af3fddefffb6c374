"""Send what is queued: claim with a lease, hand to SMTP, mark with the token.

The mail server's yes and our mark cannot be one step; a crash between them repeats the
message under the same Message-ID, and never loses it.  The lease outlasts the longest time
one message may take, so a slow server alone makes nobody send a message a second time.

``unknown`` is for messages whose kind is in ``NEVER_REPEATED``, links with a secret that is told once: where the
server's last reply was lost, or the worker died while handing one over, nobody can say whether it arrived, and
it is not sent again.  Every other kind is repeated under its Message-ID.  ``suppressed`` is for people who have
left since, and for tips to people who have muted them since: ``why_not`` is asked when a message's turn comes.
"""

import logging
import time
from collections.abc import Callable, Sequence

from sqlalchemy import select

from service.infrastructure.claims import Claim, LeaseLost, backoff_ms, claim_rows, finish, renew
from service.infrastructure.db.sessions import SchemeSession
from service.infrastructure.db.types import database_now_ms
from service.infrastructure.failpoints import failpoint
from service.infrastructure.mail.message import Envelope, UnsafeMessageError, compose
from service.infrastructure.mail.queue import NEVER_REPEATED, RETRY_DELAYS_S, Mail
from service.infrastructure.mail.smtp import Outcome, SmtpSender
from service.infrastructure.tasks import JobContext

BATCH = 20
HANDING_OVER = "it was being handed over"
MAY_HAVE_ARRIVED = "it may have arrived, and is not sent twice"
WhyNot = Callable[[SchemeSession, Mail], str | None]
"""Answers why a message must not go out any more, or None."""

log = logging.getLogger(__name__)


def send_due(context: JobContext, sender: SmtpSender, *, why_not: WhyNot | None = None) -> int:
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
                outcome = _send(context, sender, claim, why_not, held_s=time.monotonic() - claimed_at_s)
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


def _send(
    context: JobContext, sender: SmtpSender, claim: Claim, why_not: WhyNot | None, *, held_s: float
) -> Outcome | None:
    """Send one message and mark it; return what became of it, None where there was nothing to send."""
    if held_s > context.settings.lease_s / 2:
        # Its turn came late in the batch, or this process was paused: it may be another's by now.
        with context.database.system(write=True) as session:
            renew(session, Mail, claim, lease_ms=_lease_ms(context))
    mail, refusal = _read(context, claim, why_not)
    if mail is None:
        return None
    if refusal is not None:
        _mark(context, claim, {"status": "suppressed", "reason": refusal})
        return None
    if mail.kind in NEVER_REPEATED and mail.reason == HANDING_OVER:
        _mark(context, claim, {"status": "unknown", "reason": f"the worker died: {MAY_HAVE_ARRIVED}", **WORDLESS})
        return None
    try:
        envelope = _envelope(context, mail)
    except UnsafeMessageError as error:
        log.error("a message cannot be written", extra={"mail": claim.id})
        _mark(context, claim, {"status": "refused", "reason": f"not sent: {error}"[:300]})
        return None
    if mail.kind in NEVER_REPEATED:
        # Noted first: whoever takes it over from a dead worker must know that it may have gone out.
        _mark(context, claim, {"reason": HANDING_OVER})
    outcome = sender.send(envelope)
    failpoint("mail.sent")
    _mark(context, claim, _marks(context, outcome, mail))
    failpoint("mail.marked")
    return outcome


def _read(context: JobContext, claim: Claim, why_not: WhyNot | None) -> tuple[Mail | None, str | None]:
    """Return the message, or None where its home has gone since; and why it must not go out, or None."""
    with context.database.scheme(claim.scheme_id, write=False) as session:
        mail = session.scalar(select(Mail).where(Mail.id == claim.id))
        return mail, why_not(session, mail) if mail is not None and why_not is not None else None


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
        headers=_unsubscribing(mail.unsubscribe_url),
        calendar=mail.calendar,
    )


def _unsubscribing(url: str | None) -> dict[str, str]:
    """Return the headers of RFC 8058, on tips alone."""
    if url is None:
        return {}
    return {"List-Unsubscribe": f"<{url}>", "List-Unsubscribe-Post": "List-Unsubscribe=One-Click"}


def _mark(context: JobContext, claim: Claim, marks: dict[str, object]) -> None:
    with context.database.system(write=True) as session:
        finish(session, Mail, claim, **marks)


WORDLESS = {"text": "", "html": ""}


def _marks(context: JobContext, outcome: Outcome, mail: Mail) -> dict[str, object]:
    """Return what the outcome makes of the row."""
    is_secret = mail.kind in NEVER_REPEATED
    words = WORDLESS if is_secret else {}
    if outcome.is_sent:
        return {"status": "sent", "sent_at": context.clock.now(), "reason": None, **words}
    reason = outcome.reason[:300]
    if outcome.is_refused:
        return {"status": "refused", "reason": reason, **words}
    if is_secret and outcome.may_have_arrived:
        return {"status": "unknown", "reason": f"{reason}: {MAY_HAVE_ARRIVED}"[:300], **words}
    wait_ms = backoff_ms(mail.attempts, RETRY_DELAYS_S)
    if wait_ms is None:
        return {"status": "given_up", "reason": reason, **words}
    return {"status": "waiting", "not_before_ms": database_now_ms() + wait_ms, "reason": reason}
