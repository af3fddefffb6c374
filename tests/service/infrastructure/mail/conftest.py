"""Mail servers to send to: a scripted one that misbehaves step by step, and certificates for those that do TLS."""

import contextlib
import shutil
import socket
import socketserver
import ssl
import subprocess
import threading
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

import pytest

from service.infrastructure.settings import Settings

CLOSE, HANG, DRIP = b"<close>", b"<hang>", b"<drip>"
GOOD = {
    "CONNECT": b"220 hello",
    "EHLO": b"250 scripted",
    "MAIL": b"250 ok",
    "RCPT": b"250 ok",
    "DATA": b"354 go on",
    ".": b"250 kept",
    "RSET": b"250 ok",
    "QUIT": b"221 bye",
    "HELO": b"250 scripted",
}


@dataclass
class Scripted:
    """What the scripted server says at each step, and what it saw."""

    replies: dict[str, bytes]
    port: int = 0
    steps: list[str] = field(default_factory=list)
    connections: int = 0
    messages: list[bytes] = field(default_factory=list)
    closing: threading.Event = field(default_factory=threading.Event)

    def reply(self, step: str) -> bytes:
        self.steps.append(step)
        return self.replies.get(step, GOOD.get(step, b"500 what"))


class _Handler(socketserver.StreamRequestHandler):
    def handle(self) -> None:
        script: Scripted = self.server.script  # type: ignore[attr-defined]
        script.connections += 1
        with contextlib.suppress(OSError):
            if not self._say(script, "CONNECT"):
                return
            while line := self.rfile.readline():
                verb = line.split()[0].decode().upper() if line.split() else ""
                if not self._say(script, verb) or verb == "QUIT":
                    return
                if verb == "DATA" and script.replies.get("DATA", GOOD["DATA"]).startswith(b"354"):
                    content = b""
                    while (part := self.rfile.readline()) not in (b".\r\n", b""):
                        content += part
                    script.messages.append(content)
                    if not self._say(script, "."):
                        return

    def _say(self, script: Scripted, step: str) -> bool:
        reply = script.reply(step)
        if reply == CLOSE:
            return False
        if reply == HANG:
            script.closing.wait(30)
            return False
        if reply == DRIP:
            while not script.closing.wait(0.2):
                self.wfile.write(b"2")
            return False
        self.wfile.write(reply + b"\r\n")
        if step == "STARTTLS":
            # A record header, and then its content a byte at a time: a handshake that never ends.
            self.wfile.write(b"\x16\x03\x03\x40\x00")
            while not script.closing.wait(0.2):
                self.wfile.write(b"\x02")
            return False
        return True


class _Server(socketserver.ThreadingTCPServer):
    daemon_threads = True
    allow_reuse_address = True


@pytest.fixture
def scripted() -> Iterator[Callable[..., Scripted]]:
    """Start a server that answers as it should except at the steps named."""
    servers: list[tuple[_Server, Scripted, threading.Thread]] = []

    def start(**replies: bytes) -> Scripted:
        named = {("." if step == "END" else step): reply for step, reply in replies.items()}
        server = _Server(("127.0.0.1", 0), _Handler)
        script = server.script = Scripted(named, server.server_address[1])  # type: ignore[attr-defined]
        thread = threading.Thread(target=server.serve_forever, args=[0.01])
        thread.start()
        servers.append((server, script, thread))
        return script

    yield start
    for server, script, thread in servers:
        script.closing.set()
        server.shutdown()
        thread.join()
        server.server_close()


@dataclass(frozen=True)
class Certificates:
    """A certificate of this test run for localhost, for a server and for a client that trusts it."""

    server: ssl.SSLContext
    client: ssl.SSLContext


@pytest.fixture(scope="session")
def certificates(tmp_path_factory: pytest.TempPathFactory) -> Certificates:
    openssl = shutil.which("openssl")
    if openssl is None:
        pytest.skip("openssl is not installed, so no certificate can be made for the TLS tests")
    folder: Path = tmp_path_factory.mktemp("certificates")
    key, certificate = folder / "key.pem", folder / "certificate.pem"
    subprocess.run(
        [
            openssl,
            "req",
            "-x509",
            "-newkey",
            "rsa:2048",
            "-nodes",
            "-days",
            "2",
            "-subj",
            "/CN=localhost",
            "-addext",
            "subjectAltName=DNS:localhost",
            "-keyout",
            str(key),
            "-out",
            str(certificate),
        ],
        check=True,
        capture_output=True,
    )
    server = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    server.load_cert_chain(certificate, key)
    return Certificates(server, ssl.create_default_context(cafile=str(certificate)))


@pytest.fixture
def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


@pytest.fixture
def settings_for() -> Callable[..., Settings]:
    """Settings of a sender to a port of this machine, with a short time limit."""

    def make(port: int, **changed: object) -> Settings:
        values = {"smtp_host": "127.0.0.1", "smtp_port": port, "smtp_timeout_s": 3, **changed}
        return Settings(**values)  # type: ignore[arg-type]

    return make


@pytest.fixture
def stopwatch() -> Callable[[], float]:
    started = time.monotonic()
    return lambda: time.monotonic() - started
