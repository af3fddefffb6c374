"""The demo as a person starts it: a folder and a port of its own, ready when it says so, stopped by SIGTERM."""

from __future__ import annotations

import json
import os
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parents[2]
READY_WITHIN_S = 120
STOPPED_WITHIN_S = 20


@dataclass(frozen=True)
class Demo:
    """A running demo; ``ready_s`` is what its start took, database, plans and all."""

    base_url: str
    password: str
    data_dir: Path
    ready_s: float


@contextmanager
def running_demo(data_dir: Path) -> Iterator[Demo]:
    """Start the demo on a data folder, and stop it at the end; raises where it does not start or stop cleanly."""
    data_dir.mkdir(parents=True, exist_ok=True)
    port = _free_port()
    # localhost, not 127.0.0.1: the session's cookie is Secure, which browsers waive for this name alone.
    base_url = f"http://localhost:{port}"
    environment = {
        **os.environ,
        "DATA_DIR": str(data_dir),
        "PORT": str(port),
        "PLUGWARD_IS_DEMO": "true",
        "PLUGWARD_BASE_URL": base_url,
    }
    log = data_dir / "demo.log"
    began = time.perf_counter()
    with log.open("wb") as output:
        process = subprocess.Popen(
            [sys.executable, "-m", "service.cli", "demo"],
            cwd=ROOT,
            env=environment,
            stdin=subprocess.DEVNULL,
            stdout=output,
            stderr=subprocess.STDOUT,
        )
    try:
        _await_ready(process, base_url, log)
        password = json.loads((ROOT / "seed" / "scheme.json").read_text())["demo_password"]
        yield Demo(base_url, password, data_dir, time.perf_counter() - began)
    finally:
        process.send_signal(signal.SIGTERM)
        code = process.wait(timeout=STOPPED_WITHIN_S)
    if code != 0:
        raise RuntimeError(f"the demo ended with exit code {code}:\n{_tail(log)}")


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def _await_ready(process: subprocess.Popen[bytes], base_url: str, log: Path) -> None:
    ends = time.monotonic() + READY_WITHIN_S
    while time.monotonic() < ends and process.poll() is None:
        try:
            with urllib.request.urlopen(f"{base_url}/readyz", timeout=2) as reply:  # noqa: S310 - our own address
                if reply.status == 200:
                    return
        except OSError:
            time.sleep(0.1)
    raise RuntimeError(f"the demo did not become ready:\n{_tail(log)}")


def _tail(log: Path) -> str:
    return "\n".join(log.read_text(errors="replace").splitlines()[-20:])
