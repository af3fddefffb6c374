"""Sending: what each answer of a server makes of a message, over real sockets, within a bounded time."""

import contextlib
import socket
import threading
from collections.abc import Callable, Iterator
from email import message_from_bytes
from email.policy import default
from typing import Any

import pytest
from aiosmtpd.controller import Controller
from aiosmtpd.smtp import AuthResult, LoginPassword

from service.infrastructure.mail.message import Envelope, compose
from service.infrastructure.mail.smtp import SENT, OutcomeKind, SmtpSender

CLOSE, HANG, DRIP = b"<close>", b"<hang>", b"<drip>"


def letter(number: int = 1, text: str = "Plug in.\n.\n..dots\n.end") -> Envelope:
    return compose(
        sender="Plugward <charging@scheme.example>",
        to="member@home.example",
        subject="New times",
        text=text,
        html="<p>.</p>",
        message_id=f"<m{number}@scheme.example>",
    )


class Keeping:
    """An aiosmtpd handler that keeps what came in."""

    def __init__(self) -> None:
        self.envelopes: list[Any] = []

    async def handle_DATA(self, server: Any, session: Any, envelope: Any) -> str:  # noqa: N802 - aiosmtpd's name
        self.envelopes.append(envelope)
        return "250 kept"


@pytest.fixture
def server(free_port: int) -> Iterator[Callable[..., Keeping]]:
    """Start a real aiosmtpd; its keyword arguments are the controller's."""
    running: list[Controller] = []

    def start(hostname: str = "127.0.0.1", **options: Any) -> Keeping:
        handler = Keeping()
        controller = Controller(handler, hostname=hostname, port=free_port, **options)
        controller.start()
        running.append(controller)
        return handler

    yield start
    for controller in running:
        controller.stop()


def login(server: Any, session: Any, envelope: Any, mechanism: str, auth_data: Any) -> AuthResult:
    is_right = isinstance(auth_data, LoginPassword) and auth_data == LoginPassword(b"plugward", b"right password")
    return AuthResult(success=is_right, handled=is_right)


def test_a_batch_goes_through_one_connection_and_arrives_unchanged(
    scripted: Any, server: Any, settings_for: Any, free_port: int
) -> None:
    kept = server()
    with SmtpSender(settings_for(free_port)) as sender:
        assert [sender.send(letter(number)) for number in range(5)] == [SENT] * 5
    assert [envelope.rcpt_tos for envelope in kept.envelopes] == [["member@home.example"]] * 5
    assert {envelope.mail_from for envelope in kept.envelopes} == {"charging@scheme.example"}
    part = message_from_bytes(kept.envelopes[0].content, policy=default).get_body(("plain",))
    assert part is not None
    assert part.get_content().replace("\r\n", "\n").rstrip("\n") == "Plug in.\n.\n..dots\n.end"


def test_a_batch_opens_one_connection(scripted: Any, settings_for: Any) -> None:
    script = scripted()
    with SmtpSender(settings_for(script.port)) as sender:
        assert all(sender.send(letter(number)).is_sent for number in range(3))
    assert script.connections == 1
    assert script.steps.count("QUIT") == 1
    assert len(script.messages) == 3


@pytest.mark.parametrize(
    ("step", "reply", "kind", "reason"),
    [
        ("MAIL", b"451 later", OutcomeKind.TRY_AGAIN, "MAIL: 451"),
        ("MAIL", b"530 sign in first", OutcomeKind.TRY_AGAIN, "MAIL: 530"),
        ("MAIL", b"550 no", OutcomeKind.REFUSED, "MAIL: 550"),
        ("RCPT", b"450 4.2.0 greylisted, come back", OutcomeKind.TRY_AGAIN, "RCPT: 450 4.2.0"),
        ("RCPT", b"421 shutting down", OutcomeKind.TRY_AGAIN, "RCPT: 421"),
        ("RCPT", b"550 5.1.1 <member@home.example> unknown", OutcomeKind.REFUSED, "RCPT: 550 5.1.1"),
        ("RCPT", b"554 no", OutcomeKind.REFUSED, "RCPT: 554"),
        ("DATA", b"451 later", OutcomeKind.TRY_AGAIN, "DATA: 451"),
        ("DATA", b"554 no", OutcomeKind.REFUSED, "DATA: 554"),
        ("END", b"451 4.3.0 try later", OutcomeKind.TRY_AGAIN, "end of message: 451 4.3.0"),
        ("END", b"452 full", OutcomeKind.TRY_AGAIN, "end of message: 452"),
        ("END", b"550 spam", OutcomeKind.REFUSED, "end of message: 550"),
        ("END", b"552 5.3.4 too big", OutcomeKind.REFUSED, "end of message: 552 5.3.4"),
        ("CONNECT", b"421 busy", OutcomeKind.TRY_AGAIN, "connecting: SMTPConnectError 421"),
        ("CONNECT", b"554 not for you", OutcomeKind.TRY_AGAIN, "connecting: SMTPConnectError 554"),
    ],
)
def test_the_first_digit_decides_and_the_reason_holds_codes_only(
    scripted: Any, settings_for: Any, step: str, reply: bytes, kind: OutcomeKind, reason: str
) -> None:
    script = scripted(**{step: reply})
    with SmtpSender(settings_for(script.port)) as sender:
        outcome = sender.send(letter())
    assert (outcome.kind, outcome.reason, outcome.may_have_arrived) == (kind, reason, False)
    assert "member" not in outcome.reason


def test_a_refused_message_does_not_spoil_the_next(scripted: Any, settings_for: Any) -> None:
    script = scripted(RCPT=b"550 unknown")
    with SmtpSender(settings_for(script.port)) as sender:
        assert sender.send(letter(1)).is_refused
        script.replies["RCPT"] = b"250 ok"
        assert sender.send(letter(2)).is_sent
    assert script.connections == 1
    assert "RSET" in script.steps


@pytest.mark.parametrize(
    ("step", "reply", "may_have_arrived"),
    [
        ("CONNECT", CLOSE, False),
        ("EHLO", CLOSE, False),
        ("RCPT", CLOSE, False),
        ("DATA", CLOSE, False),
        ("END", CLOSE, True),
        ("MAIL", b"garbage", False),
        ("END", b"garbage", True),
        ("MAIL", b"2" * 9000, False),
    ],
)
def test_a_lost_connection_means_another_try_and_tells_whether_the_message_may_have_arrived(
    scripted: Any, settings_for: Any, step: str, reply: bytes, may_have_arrived: bool
) -> None:
    script = scripted(**{step: reply})
    with SmtpSender(settings_for(script.port)) as sender:
        outcome = sender.send(letter())
    assert outcome.kind is OutcomeKind.TRY_AGAIN
    assert outcome.may_have_arrived is may_have_arrived


@pytest.mark.parametrize("cut_off", [b"2", b"250", b"250 ok", b"250-one\r\n250"])
def test_a_yes_that_was_cut_off_is_no_yes(settings_for: Any, cut_off: bytes) -> None:
    def serve(listener: socket.socket) -> None:
        connection, _ = listener.accept()
        with connection, connection.makefile("rb") as lines:
            connection.sendall(b"220 hello\r\n")
            for reply in (b"250 me\r\n", b"250 ok\r\n", b"250 ok\r\n", b"354 go\r\n"):
                lines.readline()
                connection.sendall(reply)
            while lines.readline() != b".\r\n":
                pass
            connection.sendall(cut_off)

    with socket.create_server(("127.0.0.1", 0)) as listener:
        server = threading.Thread(target=serve, args=[listener])
        server.start()
        with SmtpSender(settings_for(listener.getsockname()[1])) as sender:
            outcome = sender.send(letter())
        server.join()
    assert (outcome.kind, outcome.may_have_arrived) == (OutcomeKind.TRY_AGAIN, True)


def test_nobody_listening_means_another_try(settings_for: Any, free_port: int) -> None:
    with SmtpSender(settings_for(free_port)) as sender:
        outcome = sender.send(letter())
    assert (outcome.kind, outcome.reason) == (OutcomeKind.TRY_AGAIN, "connecting: ConnectionRefusedError")


def test_an_unknown_host_means_another_try(settings_for: Any) -> None:
    with SmtpSender(settings_for(25, smtp_host="no-such-host.invalid")) as sender:
        assert sender.send(letter()).kind is OutcomeKind.TRY_AGAIN


def test_a_connection_lost_between_two_messages_is_opened_again_at_once(scripted: Any, settings_for: Any) -> None:
    script = scripted()
    with SmtpSender(settings_for(script.port)) as sender:
        assert sender.send(letter(1)).is_sent
        script.replies["MAIL"] = CLOSE
        outcome = sender.send(letter(2))
        assert outcome.kind is OutcomeKind.TRY_AGAIN
        assert script.connections == 2
        script.replies["MAIL"] = b"250 ok"
        assert sender.send(letter(3)).is_sent
    assert len(script.messages) == 2


def test_an_idle_connection_closed_by_the_server_costs_no_message(scripted: Any, settings_for: Any) -> None:
    script = scripted()
    with SmtpSender(settings_for(script.port)) as sender:
        assert sender.send(letter(1)).is_sent
        assert sender._smtp is not None and sender._smtp.sock is not None
        sender._smtp.sock.shutdown(socket.SHUT_RDWR)
        assert sender.send(letter(2)).is_sent
    assert (script.connections, len(script.messages)) == (2, 2)


@pytest.mark.faults
@pytest.mark.parametrize("step", ["CONNECT", "EHLO", "MAIL", "RCPT", "DATA", "END"])
@pytest.mark.parametrize("reply", [HANG, DRIP])
def test_a_silent_or_dripping_server_is_left_in_time(
    scripted: Any, settings_for: Any, stopwatch: Callable[[], float], step: str, reply: bytes
) -> None:
    script = scripted(**{step: reply})
    with SmtpSender(settings_for(script.port, smtp_timeout_s=1)) as sender:
        outcome = sender.send(letter())
    assert outcome.kind is OutcomeKind.TRY_AGAIN
    assert "TimeoutError" in outcome.reason
    assert outcome.may_have_arrived is (step == "END")
    assert stopwatch() < 4


def test_after_a_timeout_the_next_message_gets_a_fresh_connection(scripted: Any, settings_for: Any) -> None:
    script = scripted(RCPT=HANG)
    with SmtpSender(settings_for(script.port, smtp_timeout_s=1)) as sender:
        assert not sender.send(letter(1)).is_sent
        script.replies.clear()
        assert sender.send(letter(2)).is_sent
    assert script.connections == 2


@pytest.mark.parametrize("security", ["starttls", "tls"])
def test_tls_protects_the_message(
    server: Any, settings_for: Any, free_port: int, certificates: Any, security: str
) -> None:
    context = {"starttls": "tls_context", "tls": "ssl_context"}[security]
    kept = server(hostname="localhost", **{context: certificates.server})
    settings = settings_for(free_port, smtp_host="localhost", smtp_security=security)
    with SmtpSender(settings, tls=certificates.client) as sender:
        assert [sender.send(letter(number)) for number in (1, 2)] == [SENT, SENT]
    assert len(kept.envelopes) == 2


def test_signing_in_happens_after_starttls(server: Any, settings_for: Any, free_port: int, certificates: Any) -> None:
    kept = server(hostname="localhost", authenticator=login, auth_required=True, tls_context=certificates.server)
    settings = settings_for(
        free_port,
        smtp_host="localhost",
        smtp_security="starttls",
        smtp_username="plugward",
        smtp_password="right password",
    )
    with SmtpSender(settings, tls=certificates.client) as sender:
        assert sender.send(letter()) == SENT
    assert len(kept.envelopes) == 1


def test_a_wrong_password_is_our_fault_and_not_the_messages(
    server: Any, settings_for: Any, free_port: int, certificates: Any
) -> None:
    kept = server(hostname="localhost", authenticator=login, auth_required=True, tls_context=certificates.server)
    settings = settings_for(
        free_port, smtp_host="localhost", smtp_security="starttls", smtp_username="plugward", smtp_password="wrong"
    )
    with SmtpSender(settings, tls=certificates.client) as sender:
        outcome = sender.send(letter())
    assert (outcome.kind, outcome.reason) == (OutcomeKind.TRY_AGAIN, "connecting: SMTPAuthenticationError 535")
    assert kept.envelopes == []


@pytest.mark.parametrize("security", ["starttls", "tls"])
def test_a_certificate_that_is_not_trusted_stops_the_message(
    server: Any, settings_for: Any, free_port: int, certificates: Any, security: str
) -> None:
    context = {"starttls": "tls_context", "tls": "ssl_context"}[security]
    kept = server(hostname="localhost", **{context: certificates.server})
    with SmtpSender(settings_for(free_port, smtp_host="localhost", smtp_security=security)) as sender:
        outcome = sender.send(letter())
    assert outcome.kind is OutcomeKind.TRY_AGAIN
    assert "SSLCertVerificationError" in outcome.reason
    assert kept.envelopes == []


def test_starttls_is_never_skipped_where_the_server_does_not_offer_it(scripted: Any, settings_for: Any) -> None:
    script = scripted()
    with SmtpSender(settings_for(script.port, smtp_security="starttls")) as sender:
        outcome = sender.send(letter())
    assert (outcome.kind, outcome.reason) == (OutcomeKind.TRY_AGAIN, "connecting: SMTPNotSupportedError")
    assert script.messages == []


@pytest.mark.faults
@pytest.mark.parametrize("security", ["starttls", "tls"])
def test_a_handshake_that_never_ends_is_left_in_time(
    scripted: Any, settings_for: Any, stopwatch: Callable[[], float], security: str
) -> None:
    port = scripted(STARTTLS=b"220 go", EHLO=b"250-scripted\r\n250 STARTTLS").port
    with socket.create_server(("127.0.0.1", 0)) as listener:
        dripping = threading.Thread(target=_drip, args=[listener])
        if security == "tls":
            port = listener.getsockname()[1]
            dripping.start()
        with SmtpSender(settings_for(port, smtp_security=security, smtp_timeout_s=1)) as sender:
            outcome = sender.send(letter())
        if security == "tls":
            dripping.join()
    assert (outcome.kind, outcome.reason) == (OutcomeKind.TRY_AGAIN, "connecting: TimeoutError")
    assert stopwatch() < 4


def _drip(listener: socket.socket) -> None:
    """Send a TLS record header and then its content a byte at a time, for as long as the client stays."""
    connection, _ = listener.accept()
    pause = threading.Event()
    with connection, contextlib.suppress(OSError):
        connection.sendall(b"\x16\x03\x03\x40\x00")
        while not pause.wait(0.2):
            connection.sendall(b"\x02")
