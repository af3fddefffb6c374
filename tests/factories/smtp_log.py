"""A real SMTP server in a process of its own that logs each Message-ID, synced to disk, before it says yes."""

from __future__ import annotations

import asyncio
import os
import signal
import socket
import subprocess
import sys
import time
from collections import Counter
from email import message_from_bytes
from pathlib import Path
from typing import Any


class SmtpLog:
    """Start the server; ask it what arrived."""

    def __init__(self, log: Path) -> None:
        self.log = log
        self.log.touch()
        with socket.socket() as probe:
            probe.bind(("127.0.0.1", 0))
            self.port = int(probe.getsockname()[1])
        self._process = subprocess.Popen([sys.executable, "-m", "tests.factories.smtp_log", str(self.port), str(log)])
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

    def clear(self) -> None:
        """Forget what arrived; the server appends, so truncating is enough."""
        os.truncate(self.log, 0)

    def stop(self) -> None:
        """Stop the server."""
        self._process.send_signal(signal.SIGTERM)
        self._process.wait(timeout=10)


class _Handler:
    def __init__(self, log: Path) -> None:
        self._file = os.open(log, os.O_WRONLY | os.O_APPEND)

    async def handle_DATA(self, server: Any, session: Any, envelope: Any) -> str:  # noqa: N802 - aiosmtpd's name
        message = message_from_bytes(envelope.content)
        os.write(self._file, f"{message['Message-ID']}\n".encode())
        os.fsync(self._file)
        return "250 taken"


async def _serve(port: int, log: Path) -> None:
    from aiosmtpd.smtp import SMTP

    loop = asyncio.get_running_loop()
    stop = asyncio.Event()
    loop.add_signal_handler(signal.SIGTERM, stop.set)
    handler = _Handler(log)
    server = await loop.create_server(lambda: SMTP(handler, loop=loop), "127.0.0.1", port)
    async with server:
        await stop.wait()


if __name__ == "__main__":
    asyncio.run(_serve(int(sys.argv[1]), Path(sys.argv[2])))
