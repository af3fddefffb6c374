"""The demo's sink: what it said yes to is on the disk, whole, in order of arrival."""

import os
import re
import signal
import smtplib
import socket
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

import pytest

from service.infrastructure.mail import sink
from service.infrastructure.mail.message import compose
from service.infrastructure.mail.sink import keep_message, running_sink
from service.infrastructure.mail.smtp import SmtpSender

ROOT = Path(__file__).parents[4]


def letter(number: int) -> Any:
    return compose(
        sender="Plugward <charging@demo.example>",
        to=f"member{number}@home.example",
        subject=f"Letter {number}",
        text=".\nline\n",
        html="<p>x</p>",
        message_id=f"<m{number}@demo.example>",
    )


def messages(folder: Path) -> list[bytes]:
    return [file.read_bytes() for file in sorted(folder.glob("*.eml"))]


def test_messages_are_kept_whole_and_in_order(tmp_path: Path, settings_for: Any, free_port: int) -> None:
    folder = tmp_path / "mail"
    envelopes = [letter(number) for number in range(20)]
    with running_sink("127.0.0.1", free_port, folder), SmtpSender(settings_for(free_port)) as sender:
        assert all(sender.send(envelope).is_sent for envelope in envelopes)
    kept = messages(folder)
    assert len(kept) == 20
    for envelope, content in zip(envelopes, kept, strict=True):
        trace = f"Return-Path: <charging@demo.example>\r\nDelivered-To: {envelope.recipient}\r\n".encode()
        assert content == trace + envelope.content


def test_yes_is_said_only_once_the_message_is_in_the_folder(tmp_path: Path, free_port: int) -> None:
    with running_sink("127.0.0.1", free_port, tmp_path), smtplib.SMTP("127.0.0.1", free_port) as client:
        for number in range(1, 30):
            client.sendmail("a@b.example", ["c@d.example"], f"Message-ID: <{number}@x>\r\n\r\nbody\r\n".encode())
            assert len(messages(tmp_path)) == number


def test_files_are_synced_before_they_get_their_name(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    steps: list[str] = []
    real_fsync, real_rename = os.fsync, Path.rename
    monkeypatch.setattr(os, "fsync", lambda fd: (steps.append("fsync"), real_fsync(fd))[1])
    monkeypatch.setattr(Path, "rename", lambda self, to: (steps.append("rename"), real_rename(self, to))[1])
    file = keep_message(tmp_path, "a@b.example", ["c@d.example"], b"x")
    assert steps == ["fsync", "rename", "fsync"]
    assert re.fullmatch(r"\d{8}T\d{12}-[0-9a-f]{12}\.eml", file.name)


def test_names_sort_by_arrival(tmp_path: Path) -> None:
    files = [keep_message(tmp_path, "a@b.example", ["c@d.example"], b"%d" % number) for number in range(50)]
    assert sorted(files) == files


def test_where_nothing_can_be_written_the_sender_is_asked_to_try_again(
    tmp_path: Path, settings_for: Any, free_port: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*args: Any) -> None:
        raise OSError(28, "no space left on device")

    monkeypatch.setattr(sink, "keep_message", full)
    with running_sink("127.0.0.1", free_port, tmp_path), SmtpSender(settings_for(free_port)) as sender:
        outcome = sender.send(letter(1))
    assert (outcome.is_sent, outcome.is_refused, outcome.reason) == (False, False, "end of message: 451 4.3.0")
    assert messages(tmp_path) == []


@pytest.mark.faults
@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGKILL])
def test_as_a_process_it_stops_on_sigterm_and_loses_nothing_when_killed(
    tmp_path: Path, settings_for: Any, free_port: int, number: signal.Signals
) -> None:
    code = (
        "import pathlib; from service.infrastructure.mail.sink import serve; "
        f"serve('127.0.0.1', {free_port}, pathlib.Path({str(tmp_path)!r}))"
    )
    process = subprocess.Popen([sys.executable, "-c", code], cwd=ROOT)
    try:
        _wait_for(free_port)
        with SmtpSender(settings_for(free_port)) as sender:
            said_yes = [sender.send(letter(n)).is_sent for n in range(10)]
            process.send_signal(number)
            code_seen = process.wait(10)
        assert said_yes == [True] * 10
        assert code_seen == (0 if number is signal.SIGTERM else -signal.SIGKILL)
        assert len(messages(tmp_path)) == 10
    finally:
        process.kill()
        process.wait()


def _wait_for(port: int) -> None:
    for _ in range(200):
        with socket.socket() as probe:
            if probe.connect_ex(("127.0.0.1", port)) == 0:
                return
        time.sleep(0.05)
    raise TimeoutError("the sink did not start")
