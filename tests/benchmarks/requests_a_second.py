"""Requests a second of the list of 50 homes and of one current plan, beside bare Flask JSON.

Each is served by gunicorn with two sync workers on SQLite, signed in, through the documented
schemas, and loaded by wrk (one thread, eight connections).  The ratio is our rate over bare
Flask's, the median of interleaved rounds in this run.
"""

from __future__ import annotations

import os
import re
import shutil
import signal
import socket
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from argon2 import PasswordHasher

from service.accounts import operations as accounts
from service.accounts.api import COOKIE
from service.accounts.models import Role
from service.cli.migrate import migrate
from service.infrastructure.db.sessions import Database
from service.infrastructure.settings import Settings
from service.worker import create_worker
from tests.factories.fleet import make_fleet

SCHEME = "d" * 32
SECONDS = {"small": 1, "full": 5}
HOMES = {"small": 200, "full": 1_000}
ROUNDS = 5


def rows(size: str) -> Iterator[dict[str, Any]]:
    """Yield one row for the list and one for the plan."""
    if shutil.which("wrk") is None:
        print("requests_a_second: left out, there is no wrk on this machine", file=sys.stderr)
        return
    with tempfile.TemporaryDirectory() as folder:
        settings = Settings(data_dir=folder)
        administrator, member, household_id = _prepare(settings, HOMES[size])
        environment = {"PLUGWARD_DATA_DIR": folder, "PLUGWARD_LOG_LEVEL": "ERROR"}
        with (
            _served("tests.benchmarks.bare_app:app", {}) as bare,
            _served("service.app:app_from_environment()", environment) as ours,
        ):
            calls = {
                "bare": (f"{bare}/", None),
                "list_50_homes": (f"{ours}/api/v1/households?page_size=50", administrator),
                "current_plan": (f"{ours}/api/v1/households/{household_id}/plan", member),
            }
            measured: dict[str, list[float]] = {name: [] for name in calls}
            for _round in range(ROUNDS):
                for name, (url, token) in calls.items():
                    measured[name].append(_rate(url, token, SECONDS[size]))
    for name in ("list_50_homes", "current_plan"):
        ratios = [ours / bare for ours, bare in zip(measured[name], measured["bare"], strict=True)]
        yield {
            "name": f"requests_{name}",
            "value": round(statistics.median(measured[name]), 1),
            "unit": "requests/s",
            "reference": f"bare Flask JSON, {statistics.median(measured['bare']):.0f} requests/s, 2 sync workers",
            "ratio": round(statistics.median(ratios), 4),
            "mismatches": 0,
            "peak_mib": None,
        }


def _prepare(settings: Settings, homes: int) -> tuple[str, str, str]:
    """Build a scheme with plans; return an administrator's token, a member's, and the member's home."""
    now = datetime.now(UTC)
    database = Database(settings.database_url)
    migrate(database)
    with database.system(write=True) as session:
        accounts.create_scheme(session, scheme_id=SCHEME, name="Rates", now=now)
    fleet = make_fleet(database, SCHEME, homes, seed=1, now=now)
    create_worker(settings, database=database).prepare_plans()
    hasher = PasswordHasher(time_cost=1, memory_cost=64, parallelism=1)
    tokens = []
    for role, household_id in ((Role.ADMINISTRATOR, None), (Role.MEMBER, fleet.household_ids[0])):
        with database.system(write=True) as session:
            account = accounts.create_account(
                session,
                email=f"{role}@rates.example",
                name="R",
                password="a long enough password",
                hasher=hasher,
                now=now,
            )
        with database.scheme(SCHEME, write=True) as session:
            accounts.add_membership(session, account_id=account.id, role=role, household_id=household_id, now=now)
        with database.system(write=True) as session:
            tokens.append(accounts.open_session(session, account, now=now))
    database.close()
    return tokens[0], tokens[1], fleet.household_ids[0]


@contextmanager
def _served(target: str, environment: dict[str, str]) -> Iterator[str]:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    process = subprocess.Popen(
        [
            sys.executable,
            "-m",
            "gunicorn",
            "--workers",
            "2",
            "--bind",
            f"127.0.0.1:{port}",
            "--log-level",
            "error",
            target,
        ],
        env={**os.environ, **environment},
    )
    try:
        _await(port)
        yield f"http://127.0.0.1:{port}"
    finally:
        process.send_signal(signal.SIGTERM)
        process.wait(timeout=20)


def _await(port: int) -> None:
    ends = time.monotonic() + 60
    while time.monotonic() < ends:
        try:
            socket.create_connection(("127.0.0.1", port), timeout=1).close()
            time.sleep(1)
            return
        except OSError:
            time.sleep(0.1)
    raise RuntimeError(f"nothing answers on port {port}")


def _rate(url: str, token: str | None, seconds: int) -> float:
    """Return requests a second; any answer but 2xx is an error, because it would be quicker than the work."""
    header = ["-H", f"Cookie: {COOKIE}={token}"] if token else []
    done = subprocess.run(
        ["wrk", "-t1", "-c8", f"-d{seconds}s", *header, url], capture_output=True, text=True, check=True
    ).stdout
    if "Non-2xx" in done or "Socket errors" in done:
        raise RuntimeError(f"{Path(url).name}: {done}")
    found = re.search(r"Requests/sec:\s+([0-9.]+)", done)
    if found is None:
        raise RuntimeError(done)
    return float(found[1])
