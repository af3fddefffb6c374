"""A real SMTP server in a process of its own that logs each message, synced to disk, before it says yes.

A line of the log is a Message-ID, or with ``whole`` a JSON object with what was said to whom as well.
"""

from __future__ import annotations

import asyncio
import json
import os
import signal
import socket
import subprocess
import sys
import time
from collections import Counter
from dataclasses import dataclass
from email import message_from_bytes
from email.policy import default
from pathlib import Path
from typing import Any


@dataclass(frozen=True)
class Letter:
    """A message as it arrived: the one envelope recipient, the subject and the plain text."""

    message_id: str
    to: str
    subject: str
    text: str


class SmtpLog:
    """Start the server; ask it what arrived."""

    def __init__(self, log: Path, *, whole: bool = False) -> None:
        self.log = log
        self._seen = 0
        self.log.touch()
        with socket.socket() as probe:
            probe.bind(("127.0.0.1", 0))
            self.port = int(probe.getsockname()[1])
        self._process = subprocess.Popen(
            [sys.executable, "-m", "tests.factories.smtp_log", str(self.port), str(log), *(["whole"] if whole else [])]
        )
        self._await_port()

    def _await_port(self) -> None:
        ends = time.monotonic() + 20
        while time.monotonic() < ends:
            try:
                socket.create_connection(("127.0.0.1", self.port), timeout=1).close()
                return
            except OSError:
                time.sleep(0.05)
        raise RuntimeError("the mail server did not start")

    def messages(self) -> Counter[str]:
        """Return how often each Message-ID was accepted."""
        return Counter(self.log.read_text().split())

    def new_letters(self) -> list[Letter]:
        """Return what arrived since this was last asked, of a server that logs whole messages."""
        with self.log.open("rb") as file:
            file.seek(self._seen)
            content = file.read()
        end = content.rfind(b"\n") + 1
        self._seen += end
        return [Letter(**json.loads(line)) for line in content[:end].splitlines()]

    def clear(self) -> None:
        """Forget what arrived; the server appends, so truncating is enough."""
        os.truncate(self.log, 0)

    def stop(self) -> None:
        """Stop the server."""
        self._process.send_signal(signal.SIGTERM)
        self._process.wait(timeout=10)


class _Handler:
    def __init__(self, log: Path, *, is_whole: bool) -> None:
        self._file = os.open(log, os.O_WRONLY | os.O_APPEND)
        self._is_whole = is_whole

    async def handle_DATA(self, server: Any, session: Any, envelope: Any) -> str:  # noqa: N802 - aiosmtpd's name
        message = message_from_bytes(envelope.content)
        line = self._whole(envelope) if self._is_whole else str(message["Message-ID"])
        os.write(self._file, f"{line}\n".encode())
        os.fsync(self._file)
        return "250 taken"


    @staticmethod
    def _whole(envelope: Any) -> str:
        message = message_from_bytes(envelope.content, policy=default)
        body = message.get_body(("plain",))
        letter = {
            "message_id": str(message["Message-ID"]),
            "to": " ".join(envelope.rcpt_tos),
            "subject": str(message["Subject"]),
            "text": "" if body is None else str(body.get_content()).replace("\r\n", "\n"),
        }
        return json.dumps(letter)


async def _serve(port: int, log: Path, *, is_whole: bool) -> None:
    from aiosmtpd.smtp import SMTP

    loop = asyncio.get_running_loop()
    stop = asyncio.Event()
    loop.add_signal_handler(signal.SIGTERM, stop.set)
    handler = _Handler(log, is_whole=is_whole)
    server = await loop.create_server(lambda: SMTP(handler, loop=loop), "127.0.0.1", port)
    async with server:
        await stop.wait()


if __name__ == "__main__":
    asyncio.run(_serve(int(sys.argv[1]), Path(sys.argv[2]), is_whole=sys.argv[3:] == ["whole"]))
