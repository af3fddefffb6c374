"""The API's latency while the worker fights with a mail server that stalls, beside one that is well.

A real web server and a real worker on one database.  The phases take turns, and each starts with the same queue of
mail.  The figures are printed and not judged: what is judged is that every request succeeds, and that the web
server's process has no SMTP client to wait in.
"""

from __future__ import annotations

import http.client
import json
import os
import signal
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import Any

from argon2 import PasswordHasher
from sqlalchemy import delete, select

from service.accounts import operations as accounts
from service.accounts.api import COOKIE
from service.accounts.models import Role
from service.cli.migrate import migrate
from service.common.ids import new_id
from service.households.models import Outlet
from service.infrastructure.db.sessions import Database
from service.infrastructure.mail.queue import Mail, Postmark, Rendered, queue
from service.infrastructure.settings import Settings
from service.safety.domain.cold_check import QUESTIONS
from service.worker import create_worker
from tests.factories.fleet import make_fleet
from tests.factories.smtp_script import GOOD, Script, ScriptedSmtp, free_port

SCHEME = "f" * 32
ROUNDS = 3
SURE_TO_SEND_S = 30.0
HOMES = 20
QUEUED = 400
STALLING = Script(drips="final")


@dataclass
class Latency:
    """Milliseconds by (server, request), and what was wrong."""

    of: dict[tuple[str, str], list[float]] = field(default_factory=dict)
    sent: dict[str, int] = field(default_factory=dict)
    faults: list[str] = field(default_factory=list)

    def in_words(self) -> str:
        """Return the figures of each request with a good and with a bad mail server, and their ratio."""
        parts = []
        for name in ("GET plan", "POST checks"):
            good, bad = self.of.get(("good", name), []), self.of.get(("bad", name), [])
            if len(good) < 2 or len(bad) < 2:
                parts.append(f"{name} not measured")
                continue
            (g50, g99), (b50, b99) = _percentiles(good), _percentiles(bad)
            parts.append(
                f"{name} p50/p99 {g50:.1f}/{g99:.1f} ms of {len(good)} with a good mail server, {b50:.1f}/{b99:.1f} ms "
                f"of {len(bad)} with a stalling one, ratio {b50 / g50:.2f}/{b99 / g99:.2f}"
            )
        return f"API latency: {'; '.join(parts)}; mail sent meanwhile {self.sent}; {len(self.faults)} faults"


def _percentiles(values: list[float]) -> tuple[float, float]:
    cuts = statistics.quantiles(values, n=100, method="inclusive")
    return cuts[49], cuts[98]


def measure(seconds: float) -> Latency:
    """Measure for about so long in all, in phases that take turns."""
    found = Latency()
    check = "import sys, service.app; sys.exit(any('smtp' in name.split('.')[-1] for name in sys.modules))"
    if subprocess.run([sys.executable, "-c", check], check=False).returncode:
        found.faults.append("the web server's process has an SMTP client")
    with tempfile.TemporaryDirectory(prefix="plugward-latency-") as folder:
        smtp = ScriptedSmtp(free_port())
        settings = Settings(data_dir=folder)
        cookie, household_id, outlet_id = _prepare(settings)
        port = free_port()
        environment = {
            **os.environ,
            "PLUGWARD_DATA_DIR": folder,
            "PLUGWARD_LOG_LEVEL": "ERROR",
            "PLUGWARD_SMTP_HOST": "127.0.0.1",
            "PLUGWARD_SMTP_PORT": str(smtp.server_address[1]),
            "PLUGWARD_SMTP_TIMEOUT_S": "2",
            "PORT": str(port),
        }
        with _running(["serve"], environment), _running(["worker"], environment):
            caller = _Caller(port, cookie, household_id, outlet_id)
            caller.await_ready()
            for number in range(2 * ROUNDS):
                kind, script = (("good", GOOD), ("bad", STALLING))[number % 2]
                smtp.script = script
                _fill(settings, f"{number}", household_id)
                before = sum(smtp.seen.kept.values())
                caller.call_for(seconds / (2 * ROUNDS), kind, found)
                found.sent[kind] = found.sent.get(kind, 0) + sum(smtp.seen.kept.values()) - before
            smtp.script = GOOD  # or a batch of mail holds the worker up when it is told to stop
        smtp.close()
    # In less time than this a worker that waits for a stalling server may not come to a good one again.
    if seconds >= SURE_TO_SEND_S and (not found.sent.get("good", 0) or not smtp.seen.unanswered):
        found.faults.append(f"the mail server did not do what it should: {found.sent}, {smtp.seen.unanswered}")
    return found


def _prepare(settings: Settings) -> tuple[str, str, str]:
    """Build a scheme with plans; return a member's session, their home and its outlet."""
    now, database = datetime.now(UTC), Database(settings.database_url)
    migrate(database)
    fleet = make_fleet(database, SCHEME, HOMES, seed=1, now=now)
    create_worker(settings, database=database).prepare_plans()
    home, hasher = fleet.household_ids[0], PasswordHasher(time_cost=1, memory_cost=64, parallelism=1)
    with database.system(write=True) as session:
        account = accounts.create_account(
            session, email="m@home.example", name="M", password="a long enough password", hasher=hasher, now=now
        )
    with database.scheme(SCHEME, write=True) as session:
        accounts.add_membership(session, account_id=account.id, role=Role.MEMBER, household_id=home, now=now)
        outlet_id = session.scalars(select(Outlet.id).where(Outlet.household_id == home)).first()
    with database.system(write=True) as session:
        token = accounts.open_session(session, account, now=now)
    database.close()
    return f"{COOKIE}={token}", home, str(outlet_id)


def _fill(settings: Settings, name: str, household_id: str) -> None:
    """Leave the worker the same queue of mail at the start of every phase."""
    database, postmark = Database(settings.database_url), Postmark("x" * 32, "demo.example")
    rendered = Rendered("A subject", "Words.\n" * 20, "<p>Words.</p>" * 20)
    with database.system(write=True) as session:
        session.execute(delete(Mail))
    with database.scheme(SCHEME, write=True) as session:
        for number in range(QUEUED):
            queue(
                session,
                rendered,
                kind="proof",
                dedupe_key=f"{name}/{number}",
                recipient=f"r{number}@people.example",
                household_id=household_id,
                at=datetime.now(UTC),
                postmark=postmark,
            )
    database.close()


@contextmanager
def _running(command: list[str], environment: dict[str, str]) -> Iterator[None]:
    process = subprocess.Popen([sys.executable, "-m", "service.cli", *command], env=environment)
    try:
        yield
    finally:
        process.send_signal(signal.SIGTERM)
        process.wait(timeout=60)


class _Caller:
    """A signed-in member's phone, as far as the server can tell."""

    def __init__(self, port: int, cookie: str, household_id: str, outlet_id: str) -> None:
        self._port, self._cookie = port, cookie
        path = f"/api/v1/households/{household_id}"
        # The first answer to each question is the one without a sign: nothing is stopped by it.
        answers = [{"question": each.name, "answer": each.answers[0].name} for each in QUESTIONS]
        check = {"outlet_id": outlet_id, "lead_id": None, "answers": answers, "note": ""}
        self._calls: tuple[tuple[str, str, str, dict[str, Any] | None], ...] = (
            ("GET plan", "GET", f"{path}/plan", None),
            ("POST checks", "POST", f"{path}/checks", check),
        )

    def await_ready(self) -> None:
        """Wait until the server answers, and both calls have been made once."""
        ends, answers = time.monotonic() + 60, list[tuple[int, str]]()
        while time.monotonic() < ends:
            try:
                answers = [self._call(*call[1:]) for call in self._calls]
            except OSError:
                answers = [(0, "nobody answers")]
            if all(0 < status < 400 for status, _text in answers):
                return
            time.sleep(0.2)
        raise RuntimeError(f"the web server does not answer as it should: {[text[:300] for _, text in answers]}")

    def call_for(self, seconds: float, kind: str, found: Latency) -> None:
        """Make both calls in turn for a while, and note how long each took."""
        ends = time.monotonic() + seconds
        while time.monotonic() < ends:
            for name, *call in self._calls:
                began = time.perf_counter()
                status, text = self._call(*call)
                found.of.setdefault((kind, name), []).append((time.perf_counter() - began) * 1000)
                if status >= 400:
                    found.faults.append(f"{name} answered {status}: {text[:200]}")

    def _call(self, method: str, path: str, body: dict[str, Any] | None) -> tuple[int, str]:
        connection = http.client.HTTPConnection("127.0.0.1", self._port, timeout=30)
        headers = {"Cookie": self._cookie, "X-Requested-By": "plugward", "Content-Type": "application/json"}
        headers |= {"Idempotency-Key": new_id()} if method == "POST" else {}
        connection.request(method, path, None if body is None else json.dumps(body), headers)
        reply = connection.getresponse()
        text = reply.read().decode()
        connection.close()
        return reply.status, text
