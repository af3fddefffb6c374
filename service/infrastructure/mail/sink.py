"""The demo's mail server: takes every message and keeps it as a file, and sends nothing anywhere.

A message is written, synced and renamed into the folder before its 250 goes out, so a sender that heard yes can
find it there after any crash.  File names sort by arrival.
"""

from __future__ import annotations

import asyncio
import contextlib
import os
import secrets
import signal
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from aiosmtpd import smtp
from aiosmtpd.controller import Controller

LARGEST_MESSAGE_BYTES = 10_000_000


class FolderHandler:
    """What aiosmtpd asks when a message has come in."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        folder.mkdir(parents=True, exist_ok=True)

    async def handle_DATA(self, server: Any, session: Any, envelope: smtp.Envelope) -> str:  # noqa: N802 - its name
        """Keep the message, then say so; where it cannot be kept, ask for another try."""
        content = envelope.content if isinstance(envelope.content, bytes) else str(envelope.content).encode()
        try:
            await asyncio.get_running_loop().run_in_executor(
                None, keep_message, self._folder, str(envelope.mail_from), list(envelope.rcpt_tos), content
            )
        except OSError:
            return "451 4.3.0 The message could not be kept; try again later"
        return "250 2.0.0 Kept"


def keep_message(folder: Path, mail_from: str, recipients: list[str], content: bytes) -> Path:
    """Write a message durably and return its file; the envelope stands above it in the usual trace headers."""
    stamp = datetime.now(UTC).strftime("%Y%m%dT%H%M%S%f")
    name = f"{stamp}-{secrets.token_hex(6)}.eml"
    trace = [f"Return-Path: <{mail_from}>", *(f"Delivered-To: {recipient}" for recipient in recipients)]
    target, draft = folder / name, folder / f".{name}.part"
    with draft.open("xb") as file:
        file.write("".join(f"{line}\r\n" for line in trace).encode("utf-8", "replace") + content)
        file.flush()
        os.fsync(file.fileno())
    draft.rename(target)
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)
    return target


@contextlib.contextmanager
def running_sink(host: str, port: int, folder: Path) -> Iterator[Controller]:
    """Run the sink in a thread of this process for as long as the block lasts."""
    controller = Controller(
        FolderHandler(folder), hostname=host, port=port, data_size_limit=LARGEST_MESSAGE_BYTES, ident="demo mail sink"
    )
    controller.start()
    try:
        yield controller
    finally:
        controller.stop()


def serve(host: str, port: int, folder: Path) -> None:
    """Run the sink until SIGTERM or SIGINT."""
    asyncio.run(_serve(host, port, folder))


async def _serve(host: str, port: int, folder: Path) -> None:
    loop = asyncio.get_running_loop()
    is_over = asyncio.Event()
    for number in (signal.SIGTERM, signal.SIGINT):
        loop.add_signal_handler(number, is_over.set)
    handler = FolderHandler(folder)

    def protocol() -> smtp.SMTP:
        return smtp.SMTP(handler, data_size_limit=LARGEST_MESSAGE_BYTES, ident="demo mail sink", loop=loop)

    server = await loop.create_server(protocol, host, port)
    async with server:
        await is_over.wait()
