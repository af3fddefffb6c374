"""Run the worker as a process, and the demo as a small supervisor of three processes.

The demo stops all of them on SIGTERM or SIGINT, and stops by itself if one of them dies.
"""

import os
import shutil
import signal
import socket
import subprocess
import sys
import threading
import time
import urllib.request
from collections.abc import Mapping
from datetime import UTC, datetime
from pathlib import Path
from types import FrameType

import click
from argon2 import PasswordHasher

from service.cli.migrate import migrate
from service.cli.seed import load_demo, sign_ins
from service.infrastructure.db.sessions import Database
from service.infrastructure.files import FilesOnDisk
from service.infrastructure.settings import Settings
from service.worker import create_worker

STOP_WITHIN_S = 10


def run_worker(settings: Settings) -> None:
    """Run a worker until SIGTERM or SIGINT."""
    stop = stop_on_signals()
    worker = create_worker(settings)
    worker.run(stop)
    worker.context.database.close()


def stop_on_signals() -> threading.Event:
    """Return an event that SIGTERM and SIGINT set."""
    stop = threading.Event()

    def on_signal(number: int, frame: FrameType | None) -> None:
        stop.set()

    signal.signal(signal.SIGTERM, on_signal)
    signal.signal(signal.SIGINT, on_signal)
    return stop


def run_demo(settings: Settings, *, hasher: PasswordHasher, reset: bool, seed: Path) -> int:
    """Prepare the demo's database, then run everything until stopped; return the exit code."""
    stop = stop_on_signals()
    data = Path(settings.data_dir)
    if reset:
        _empty(settings, data)
    data.mkdir(parents=True, exist_ok=True)
    Path(settings.demo_mail_dir).mkdir(parents=True, exist_ok=True)
    database = Database(settings.database_url)
    migrate(database)
    files = FilesOnDisk(settings.files_dir)
    load_demo(database, now=datetime.now(UTC), hasher=hasher, folder=seed, files=files)
    worker = create_worker(settings, database=database)
    worker.prepare_plans()
    database.close()
    smtp_port = _free_port()
    environment = {
        **os.environ,
        "PLUGWARD_IS_DEMO": "true",
        "PLUGWARD_DATA_DIR": settings.data_dir,
        "PLUGWARD_PORT": str(settings.port),
        "PLUGWARD_SMTP_PORT": str(smtp_port),
        "PLUGWARD_SMTP_HOST": "127.0.0.1",
        "PLUGWARD_SMTP_SECURITY": "none",
    }
    processes = {
        "mail sink": _start(["-m", "service.cli", "mail-sink", str(smtp_port), settings.demo_mail_dir], environment),
        "serve": _start(["-m", "service.cli", "serve"], environment),
        "worker": _start(["-m", "service.cli", "worker"], environment),
    }
    if _answers(f"http://127.0.0.1:{settings.port}/readyz", stop):
        _print_welcome(settings, seed)
    return _supervise(processes, stop)


def _empty(settings: Settings, data: Path) -> None:
    """Remove the demo's own files, and nothing else that may lie in the folder."""
    for name in ("plugward.sqlite3", "plugward.sqlite3-wal", "plugward.sqlite3-shm"):
        (data / name).unlink(missing_ok=True)
    shutil.rmtree(settings.demo_mail_dir, ignore_errors=True)


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def _start(arguments: list[str], environment: Mapping[str, str]) -> subprocess.Popen[bytes]:
    # Its own process group: a Ctrl-C in the terminal reaches the supervisor alone, which stops the rest in order.
    return subprocess.Popen([sys.executable, *arguments], env=dict(environment), start_new_session=True)


def _answers(url: str, stop: threading.Event, *, within_s: float = 60) -> bool:
    ends = time.monotonic() + within_s
    while time.monotonic() < ends and not stop.is_set():
        try:
            with urllib.request.urlopen(url, timeout=2) as reply:  # noqa: S310 - our own address
                return bool(reply.status == 200)
        except OSError:
            stop.wait(0.2)
    return False


def _print_welcome(settings: Settings, seed: Path) -> None:
    scheme = sign_ins(seed)
    click.echo(f"\nPlugward is ready at {settings.base_url}\n")
    click.echo(f"Demo sign-ins, all with the password  {scheme.password}\n")
    for email, what in scheme.people:
        click.echo(f"  {email:<38} {what}")
    click.echo(f"\nMail the demo sends: {settings.base_url}/demo/mail    API: {settings.base_url}/api/v1/docs")
    click.echo("Stop with Ctrl-C. A second `make demo` keeps what is there; `make demo RESET=1` starts afresh.\n")
    sys.stdout.flush()


def _supervise(processes: Mapping[str, subprocess.Popen[bytes]], stop: threading.Event) -> int:
    code = 0
    while not stop.wait(0.3):
        dead = [name for name, process in processes.items() if process.poll() is not None]
        if dead:
            click.echo(f"{', '.join(dead)} stopped; stopping the demo.", err=True)
            code = 1
            break
    for process in processes.values():
        process.terminate()
    ends = time.monotonic() + STOP_WITHIN_S
    for process in processes.values():
        try:
            process.wait(timeout=max(0.1, ends - time.monotonic()))
        except subprocess.TimeoutExpired:
            process.kill()
    return code
