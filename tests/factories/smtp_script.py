"""A mail server that misbehaves as it is told to, over real sockets, with real TLS; and throw-away certificates."""

from __future__ import annotations

import base64
import contextlib
import re
import shutil
import socket
import socketserver
import ssl
import subprocess
import threading
import time
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path

USER, PASSWORD = "plugward", "right password"
_MESSAGE_ID = re.compile(rb"^Message-ID: (<[^>]*>)", re.MULTILINE)


@dataclass(frozen=True)
class Script:
    """What the server says; a line that is None closes the connection, ``drips`` names the step said byte by byte."""

    greeting: bytes | None = b"220 hello"
    rcpt: bytes = b"250 ok"
    first_rcpt: bytes | None = None  # said to a recipient who is named for the first time
    final: bytes | None = b"250 kept"
    drips: str = ""
    has_starttls: bool = False
    wants_login: bool = False


GOOD = Script()


@dataclass
class Seen:
    """What the server saw: accepted Message-IDs, those whose answer was lost, and how long each visit took."""

    kept: Counter[str] = field(default_factory=Counter)
    unanswered: Counter[str] = field(default_factory=Counter)
    recipients: Counter[bytes] = field(default_factory=Counter)
    connections: int = 0
    logins: int = 0
    unsecured: int = 0
    longest_s: float = 0.0


class ScriptedSmtp(socketserver.ThreadingTCPServer):
    """The server; ``script`` may be changed while it runs, ``close`` refuses connections from then on."""

    daemon_threads = True
    allow_reuse_address = True

    def __init__(self, port: int, script: Script = GOOD, *, tls: ssl.SSLContext | None = None) -> None:
        super().__init__(("127.0.0.1", port), _Visit)
        self.script, self.tls, self.seen = script, tls, Seen()
        self.lock = threading.Lock()
        self._thread = threading.Thread(target=self.serve_forever, args=[0.02], daemon=True)
        self._thread.start()

    def close(self) -> None:
        """Stop listening."""
        self.shutdown()
        self._thread.join()
        self.server_close()


class _Visit(socketserver.StreamRequestHandler):
    server: ScriptedSmtp

    def handle(self) -> None:
        began = time.monotonic()
        with self.server.lock:
            self.server.seen.connections += 1
        with contextlib.suppress(OSError, ssl.SSLError):
            self._talk()
        with self.server.lock:
            self.server.seen.longest_s = max(self.server.seen.longest_s, time.monotonic() - began)

    def _talk(self) -> None:
        script = self.server.script
        self.is_secure = self.is_known = False
        if not self._say("greeting", script.greeting):
            return
        while line := self.rfile.readline(4096):
            verb = line.split()[0].upper() if line.split() else b""
            if verb in (b"EHLO", b"HELO"):
                self._say("ehlo", b"\r\n".join(self._offers()))
            elif verb == b"STARTTLS" and script.has_starttls and self.server.tls is not None:
                self._say("starttls", b"220 go")
                self.request = self.server.tls.wrap_socket(self.request, server_side=True)
                self.rfile, self.wfile = self.request.makefile("rb"), self.request.makefile("wb", buffering=0)
                self.is_secure = True
            elif verb == b"AUTH":
                self.is_known = self._is_right(line)
                self._say("auth", b"235 welcome" if self.is_known else b"535 5.7.8 wrong")
            elif verb == b"RCPT":
                self._recipient(line)
            elif verb == b"DATA":
                if not self._take():
                    return
            elif verb == b"QUIT":
                self._say("quit", b"221 bye")
                return
            elif verb == b"MAIL" and script.wants_login and not self.is_known:
                self._say("mail", b"530 5.7.0 sign in first")
            else:
                self._say("other", b"250 ok")

    def _offers(self) -> list[bytes]:
        script, offers = self.server.script, [b"scripted"]
        if script.has_starttls and not self.is_secure:
            offers.append(b"STARTTLS")
        if script.wants_login and self.is_secure:
            offers.append(b"AUTH PLAIN")
        return [b"250-" + offer for offer in offers[:-1]] + [b"250 " + offers[-1]]

    def _is_right(self, line: bytes) -> bool:
        with self.server.lock:
            self.server.seen.logins += 1
            self.server.seen.unsecured += not self.is_secure
        given = base64.b64decode(line.split()[-1])
        return given == b"\0" + USER.encode() + b"\0" + PASSWORD.encode()

    def _recipient(self, line: bytes) -> None:
        script = self.server.script
        with self.server.lock:
            self.server.seen.recipients[line] += 1
            is_first = self.server.seen.recipients[line] == 1
        self._say("rcpt", script.first_rcpt if script.first_rcpt and is_first else script.rcpt)

    def _take(self) -> bool:
        """Take a message in, and say what the script says of it; False where the connection is to be closed."""
        script = self.server.script
        self._say("data", b"354 go on")
        content = b""
        while (part := self.rfile.readline()) not in (b".\r\n", b""):
            content += part
        if not part:
            return False
        found = _MESSAGE_ID.search(content)
        message_id = found[1].decode() if found else "(none)"
        with self.server.lock:
            if script.final is None or script.drips == "final":
                self.server.seen.unanswered[message_id] += 1
            elif script.final.startswith(b"250"):
                self.server.seen.kept[message_id] += 1
        return self._say("final", script.final)

    def _say(self, step: str, reply: bytes | None) -> bool:
        if reply is None:
            return False
        if step == self.server.script.drips:
            for position in range(len(reply)):
                self.wfile.write(reply[position : position + 1])
                time.sleep(1)
        else:
            self.wfile.write(reply)
        self.wfile.write(b"\r\n")
        return True


def free_port() -> int:
    """Return a port that nobody listens on."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def has_openssl() -> bool:
    """Tell whether certificates can be made on this machine."""
    return shutil.which("openssl") is not None


def make_authority(folder: Path, name: str) -> tuple[Path, ssl.SSLContext]:
    """Make an authority that is trusted nowhere and a server's certificate for localhost signed by it.

    Returns the authority's certificate, for those who are to trust it, and the server's side.
    """
    authority, authority_key = folder / f"{name}-ca.pem", folder / f"{name}-ca.key"
    certificate, key = folder / f"{name}.pem", folder / f"{name}.key"
    new_key = ["openssl", "req", "-x509", "-newkey", "rsa:2048", "-nodes", "-days", "2"]
    _run([*new_key, "-subj", f"/CN=Throw-away {name}", "-keyout", str(authority_key), "-out", str(authority)])
    signed = ["-CA", str(authority), "-CAkey", str(authority_key), "-addext", "subjectAltName=DNS:localhost"]
    ours = ["-subj", "/CN=localhost", "-addext", "basicConstraints=critical,CA:FALSE"]
    _run([*new_key, *ours, *signed, "-keyout", str(key), "-out", str(certificate)])
    server = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    server.load_cert_chain(certificate, key)
    return authority, server


def _run(command: list[str]) -> None:
    subprocess.run(command, check=True, capture_output=True)
