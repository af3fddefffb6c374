"""Hands finished messages to a mail server and says what became of each: sent, to be tried again, or refused.

A batch shares one connection, which is opened when first needed and again after a loss.  Every message has a time
limit of its own that also holds against a server that answers a byte a second.  A loss after the message's last
byte leaves open whether it arrived: the outcome says so, because nothing over SMTP can settle it (RFC 1047).
"""

from __future__ import annotations

import contextlib
import re
import smtplib
import ssl
from dataclasses import dataclass
from enum import StrEnum
from types import TracebackType

from service.infrastructure.mail.bounded_client import LOSSES, BoundedClient
from service.infrastructure.mail.message import Envelope
from service.infrastructure.settings import Settings

LONGEST_REASON = 200
# Replies that are about our account or the server's state, not about the message: never a reason to give it up.
ABOUT_US = frozenset({421, 530, 534, 535, 538})
_ENHANCED = re.compile(r"\b[245]\.\d{1,3}\.\d{1,3}\b")


CONNECTING = "connecting"


class OutcomeKind(StrEnum):
    """What became of one attempt."""

    SENT = "sent"  # the server has taken responsibility
    TRY_AGAIN = "try_again"  # nothing is known against the message: queue it for later
    REFUSED = "refused"  # the server will never take this message for this recipient


@dataclass(frozen=True)
class Outcome:
    """What became of one attempt, and why; ``may_have_arrived`` where the last reply was lost."""

    kind: OutcomeKind
    reason: str = ""
    may_have_arrived: bool = False

    @property
    def is_sent(self) -> bool:
        """Say whether the server took the message."""
        return self.kind is OutcomeKind.SENT

    @property
    def is_server_away(self) -> bool:
        """Say whether no server could be spoken to at all: then other messages will fare no better now."""
        return self.kind is OutcomeKind.TRY_AGAIN and self.reason.startswith(CONNECTING)

    @property
    def is_refused(self) -> bool:
        """Say whether the server will never take it."""
        return self.kind is OutcomeKind.REFUSED


SENT = Outcome(OutcomeKind.SENT)


class _AnsweredError(Exception):
    """The server answered a step of one message with something else than yes."""

    def __init__(self, step: str, code: int, text: bytes | str) -> None:
        super().__init__(step, code)
        self.step, self.code = step, code
        words = text.decode("ascii", "replace") if isinstance(text, bytes) else text
        found = _ENHANCED.search(words)
        # The server's words may repeat the address, so only its codes are kept.
        self.reason = f"{step}: {code}{' ' + found[0] if found else ''}"


class SmtpSender:
    """Sends envelopes one by one; used as a context manager, it keeps its connection for the batch."""

    def __init__(self, settings: Settings, *, tls: ssl.SSLContext | None = None) -> None:
        self._settings = settings
        self._tls = tls or ssl.create_default_context()
        self._smtp: BoundedClient | None = None

    def __enter__(self) -> SmtpSender:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        """Say goodbye and close, whatever state the connection is in."""
        smtp, self._smtp = self._smtp, None
        if smtp is not None:
            with smtp.time_limit(min(5, self._settings.smtp_timeout_s)), contextlib.suppress(*LOSSES):
                smtp.quit()
            smtp.close()

    def send(self, envelope: Envelope) -> Outcome:
        """Hand over one message; never raises for what a server or the network does."""
        was_open = self._smtp is not None
        outcome, is_lost_before_message = self._attempt(envelope)
        if was_open and is_lost_before_message:
            # A server may close an idle connection; that says nothing about this message.
            outcome, _ = self._attempt(envelope)
        return outcome

    def _attempt(self, envelope: Envelope) -> tuple[Outcome, bool]:
        """Return the outcome, and whether the connection went before the server heard of the message."""
        progress = _Progress()
        smtp = self._smtp or self._new_client()
        try:
            with smtp.time_limit(self._settings.smtp_timeout_s):
                if self._smtp is None:
                    self._connect(smtp)
                    self._smtp = smtp
                _hand_over(smtp, envelope, progress)
            return SENT, False
        except _AnsweredError as answer:
            return self._after_refusal(answer), False
        except LOSSES as error:
            self._drop(smtp)
            reason = f"{progress.step}: {_loss(error)}"
            outcome = Outcome(OutcomeKind.TRY_AGAIN, reason[:LONGEST_REASON], progress.is_content_sent)
            return outcome, progress.step == "MAIL" and not isinstance(error, TimeoutError)

    def _new_client(self) -> BoundedClient:
        settings = self._settings
        return BoundedClient(
            timeout_s=settings.smtp_timeout_s,
            local_hostname=settings.mail_domain,
            tls=self._tls if settings.smtp_security == "tls" else None,
        )

    def _connect(self, smtp: BoundedClient) -> None:
        """Open, secure and sign in; what goes wrong here is never the message's fault."""
        settings = self._settings
        code, text = smtp.connect(settings.smtp_host, settings.smtp_port)
        if code != 220:
            raise smtplib.SMTPConnectError(code, text)
        if settings.smtp_security == "starttls":
            smtp.secure(self._tls, settings.smtp_host)
        smtp.ehlo_or_helo_if_needed()
        if settings.smtp_username:
            smtp.login(settings.smtp_username, settings.smtp_password)

    def _after_refusal(self, answer: _AnsweredError) -> Outcome:
        """Judge an answer by its first digit, and make the connection ready for the next message."""
        smtp = self._smtp
        if smtp is not None:
            try:
                with smtp.time_limit(min(5, self._settings.smtp_timeout_s)):
                    is_ready = answer.code not in ABOUT_US and smtp.rset()[0] == 250
            except LOSSES:
                is_ready = False
            if not is_ready:
                self.close()
        is_final = 500 <= answer.code < 600 and answer.code not in ABOUT_US
        return Outcome(OutcomeKind.REFUSED if is_final else OutcomeKind.TRY_AGAIN, answer.reason[:LONGEST_REASON])

    def _drop(self, smtp: BoundedClient) -> None:
        self._smtp = None
        smtp.close()


@dataclass
class _Progress:
    """How far one message got."""

    step: str = CONNECTING
    is_content_sent: bool = False


def _hand_over(smtp: BoundedClient, envelope: Envelope, progress: _Progress) -> None:
    """Go through RFC 5321 section 3.3, noting each step before it is taken."""
    progress.step = "MAIL"
    code, text = smtp.mail(envelope.sender)
    if code != 250:
        raise _AnsweredError("MAIL", code, text)
    progress.step = "RCPT"
    code, text = smtp.rcpt(envelope.recipient)
    if code not in (250, 251):
        raise _AnsweredError("RCPT", code, text)
    progress.step = "DATA"
    code, text = smtp.docmd("DATA")
    if code != 354:
        raise _AnsweredError("DATA", code, text)
    progress.step, progress.is_content_sent = "end of message", True
    smtp.send(_dotted(envelope.content))
    code, text = smtp.getreply()
    if code != 250:
        raise _AnsweredError("end of message", code, text)


def _dotted(content: bytes) -> bytes:
    """Return the content as DATA sends it: leading dots doubled, ended by a lone dot (RFC 5321 section 4.5.2)."""
    doubled = re.sub(rb"(?m)^\.", b"..", content)
    return doubled + (b"" if doubled.endswith(b"\r\n") else b"\r\n") + b".\r\n"


def _loss(error: BaseException) -> str:
    """Name a loss without the server's words."""
    code = getattr(error, "smtp_code", None)
    return f"{type(error).__name__}{f' {code}' if isinstance(code, int) else ''}"
