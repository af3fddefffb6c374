"""An SMTP client whose every step can be cut off from outside.

``smtplib`` gives each read a timeout of its own, so a server that answers a byte a second holds it for as long as
it likes; and while TLS is being set up it keeps the socket out of reach.  Here the socket is known from the moment
it is connected, and ``time_limit`` shuts it when the time is over.
"""

from __future__ import annotations

import contextlib
import re
import smtplib
import socket
import ssl
import threading
from collections.abc import Iterator

# Whatever a server or the network can do to smtplib; ValueError is what it makes of malformed reply codes.
LOSSES = (smtplib.SMTPException, OSError, EOFError, ValueError)

SPARE_S = 5  # the limit on the whole cuts first; a single read only times out if that should fail
LONGEST_REPLY_LINE = 8192
MOST_REPLY_LINES = 100
_REPLY_LINE = re.compile(rb"([2-5][0-9]{2})(?:([ -])([^\r\n]*))?\r?\n")


class BoundedClient(smtplib.SMTP):
    """``smtplib.SMTP`` with TLS from the start where ``tls`` is given, and a limit on time as a whole."""

    def __init__(self, *, timeout_s: float, local_hostname: str, tls: ssl.SSLContext | None = None) -> None:
        # Naming ourselves keeps smtplib from asking the resolver, which no limit could cut short.
        super().__init__(timeout=timeout_s, local_hostname=local_hostname)
        self._tls_from_start = tls
        self._is_over = threading.Event()

    @contextlib.contextmanager
    def time_limit(self, limit_s: float) -> Iterator[None]:
        """Let the block run for at most ``limit_s``; what it raises after the cut becomes ``TimeoutError``."""
        timer = threading.Timer(limit_s, self._cut)
        timer.daemon = True
        timer.start()
        try:
            yield
        except LOSSES as error:
            if self._is_over.is_set():
                raise TimeoutError(f"no end within {limit_s} s") from error
            raise
        finally:
            timer.cancel()

    def secure(self, context: ssl.SSLContext, host: str) -> None:
        """Turn the open connection into TLS by STARTTLS (RFC 3207), forgetting what was said before."""
        self.ehlo_or_helo_if_needed()
        code, _ = self.docmd("STARTTLS")
        if code != 220 or self.sock is None:
            raise smtplib.SMTPNotSupportedError("STARTTLS was not accepted")
        self._wrap(context, self.sock, host)
        self.file = None
        self.helo_resp = self.ehlo_resp = None
        self.esmtp_features = {}
        self.does_esmtp = False

    def getreply(self) -> tuple[int, bytes]:
        """Read one whole reply.

        ``smtplib`` takes the beginning of a reply for all of it where the connection ends there, so a server that
        dies while it writes could be heard to say yes.
        """
        if self.sock is None:
            raise smtplib.SMTPServerDisconnected("not connected")
        if self.file is None:
            self.file = self.sock.makefile("rb")
        texts = []
        for _ in range(MOST_REPLY_LINES):
            line = self.file.readline(LONGEST_REPLY_LINE)
            found = _REPLY_LINE.fullmatch(line)
            if found is None:
                break
            texts.append(found[3] or b"")
            if found[2] != b"-":
                return int(found[1]), b"\n".join(texts)
        self.close()
        raise smtplib.SMTPServerDisconnected("the reply was cut off, or is none")

    def _get_socket(self, host: str, port: int, timeout: float) -> socket.socket:
        """Connect; called by ``connect``, which reads the greeting from what this returns."""
        self.sock = socket.create_connection((host, port), timeout)
        self.sock.settimeout(timeout + SPARE_S)
        if self._is_over.is_set():  # the name took so long to resolve that there was no socket to cut
            raise TimeoutError("no time left after connecting")
        if self._tls_from_start is not None:
            self._wrap(self._tls_from_start, self.sock, host)
        return self.sock

    def _wrap(self, context: ssl.SSLContext, plain: socket.socket, host: str) -> None:
        """Put the TLS socket within reach first, then shake hands."""
        wrapped = context.wrap_socket(plain, server_hostname=host, do_handshake_on_connect=False)
        self.sock = wrapped
        wrapped.do_handshake()

    def _cut(self) -> None:
        self._is_over.set()
        if isinstance(self.sock, socket.socket):
            # The plain method: an SSL socket's own would also tear down state that another thread is using.
            with contextlib.suppress(OSError):
                socket.socket.shutdown(self.sock, socket.SHUT_RDWR)
