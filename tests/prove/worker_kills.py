"""Proof: the worker is killed with SIGKILL while it replans 2,000 homes, and the end is always the same.

Part one passes every named failpoint, at hit 1, 2, 3, ... until a run completes without being
killed.  Part two kills at random moments.  After each kill another worker process finishes the
work; then stored state must equal an undisturbed run's, and a real SMTP server on loopback must
have each message once by Message-ID.  Raw repeats are counted and printed.

Workers are forked from this process, which has compiled and imported everything, so a trial
costs what the work costs.  In part one the wait for a dead worker's lease is skipped by moving
the stored lease back; in part two it is waited for.
"""

from __future__ import annotations

import hashlib
import json
import os
import random
import shutil
import signal
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Sequence
from dataclasses import asdict, dataclass, field, fields, replace
from datetime import UTC, datetime
from pathlib import Path

from service.accounts import operations as accounts
from service.cli.migrate import migrate
from service.common.clock import FixedClock
from service.infrastructure.db.sessions import Database
from service.infrastructure.failpoints import NAMES
from service.infrastructure.settings import Settings
from service.tariffs.operations import publish_version
from service.worker import Worker, create_worker
from tests.factories.fleet import make_fleet
from tests.factories.smtp_log import SmtpLog

HOMES = 2_000
CHUNK = 20
AT = datetime(2026, 11, 25, 12, 0, tzinfo=UTC)
SCHEME = "c" * 32
RIGS = 2
QUEUES = ("deliveries", "replan_chunks", "mail")


@dataclass
class Tally:
    """What happened over all trials."""

    trials: int = 0
    kills: int = 0
    different: int = 0
    wrong_mail: int = 0
    repeats: int = 0
    random_kills: int = 0
    inside: int = 0
    histogram: list[int] = field(default_factory=lambda: [0] * 10)
    hits: dict[str, int] = field(default_factory=dict)
    spans_s: list[float] = field(default_factory=list)
    moving: int = 0

    def plus(self, other: Tally) -> Tally:
        """Return both together."""
        hits = self.hits | other.hits
        both = {
            each.name: getattr(self, each.name) + getattr(other, each.name)
            for each in fields(self)
            if each.name not in ("hits", "histogram", "moving")
        }
        histogram = [mine + theirs for mine, theirs in zip(self.histogram, other.histogram, strict=True)]
        return Tally(**both, hits=hits, histogram=histogram, moving=max(self.moving, other.moving))


def main(count: int = 100, seed: int = 20_261_125, budget_s: float | None = None, homes: int = HOMES) -> int:
    """Print one line of figures; return 1 if any end state differs or a message is lost or doubled by key.

    Two rigs run side by side, each with its own database and mail server, and share the points and kills.
    """
    started = time.monotonic()
    with tempfile.TemporaryDirectory() as folder:
        pids = [_fork_rig(Path(folder) / str(part), part, count, seed, budget_s, homes) for part in range(RIGS)]
        codes = [os.waitpid(pid, 0)[1] for pid in pids]
        if any(codes):
            print(f"worker_kills: a rig ended with {codes}", file=sys.stderr)
            return 1
        tally = Tally()
        for part in range(RIGS):
            tally = tally.plus(Tally(**json.loads((Path(folder) / str(part) / "tally.json").read_text())))
    hits = {name: tally.hits[name] for name in NAMES}
    print(
        f"worker_kills: {homes} homes in chunks of {CHUNK}, {tally.moving} with moved times; "
        f"undisturbed {sorted(tally.spans_s)[len(tally.spans_s) // 2]:.2f} s (median of {len(tally.spans_s)}); "
        f"{tally.trials} trials, {tally.kills} killed; "
        f"end states different {tally.different}, lost or doubled by key {tally.wrong_mail}, "
        f"raw repeats at the mail server {tally.repeats}; "
        f"hits until a run completed (negative: cut short): {json.dumps(hits)}; "
        f"random kills {tally.random_kills}, of which {tally.inside} between first claim and last commit, "
        f"by tenth of the work done: {tally.histogram}; seed {seed}; {time.monotonic() - started:.0f} s"
    )
    enough = budget_s is not None or (tally.random_kills >= count and tally.inside >= count * 0.8)
    return 0 if enough and not (tally.different or tally.wrong_mail) else 1


def _fork_rig(folder: Path, part: int, count: int, seed: int, budget_s: float | None, homes: int) -> int:
    """Run one rig in a process of its own; it leaves its tally in its folder."""
    folder.mkdir()
    pid = os.fork()
    if pid:
        return pid
    code = 1
    try:
        tally = Rig(folder, seed + part, homes).prove(NAMES[part::RIGS], count // RIGS, budget_s)
        (folder / "tally.json").write_text(json.dumps(asdict(tally)))
        code = 0
    except BaseException as error:
        print(f"rig {part}: {error!r}", file=sys.stderr)
    finally:
        os._exit(code)


class Rig:
    """A prepared database, a mail server that outlives every trial, and the undisturbed run's digest."""

    def __init__(self, folder: Path, seed: int, homes: int) -> None:
        self.folder = folder
        self.homes = homes
        self.random = random.Random(seed)
        self.seed = seed
        self.sink = SmtpLog(folder / "smtp.log")
        self.settings = Settings(
            database_url=f"sqlite:///{folder / 'trial.sqlite3'}",
            data_dir=str(folder),
            chunk_size=CHUNK,
            lease_s=1,
            smtp_timeout_s=1,
            smtp_host="127.0.0.1",
            smtp_port=self.sink.port,
        )
        self.tally = Tally()
        self.base = folder / "base.sqlite3"
        self._prepare()

    def _prepare(self) -> None:
        """Build the homes with their plans, publish the new version, and keep that file as every trial's start."""
        database = Database(f"sqlite:///{self.base}")
        migrate(database)
        with database.system(write=True) as session:
            accounts.create_scheme(session, scheme_id=SCHEME, name="Kill proof", now=AT)
        fleet = make_fleet(database, SCHEME, self.homes, seed=self.seed, now=AT, moving_share=0.02)
        worker = create_worker(
            replace(self.settings, database_url=f"sqlite:///{self.base}"), database=database, clock=FixedClock(AT)
        )
        worker.prepare_plans()
        with database.scheme(SCHEME, write=True) as session:
            publish_version(session, fleet.tariff_id, fleet.draft_version_id, by=None, at=AT)
        with database.engine.connect() as connection:
            connection.exec_driver_sql("PRAGMA wal_checkpoint(TRUNCATE)")
        database.close()
        self.moving = self.tally.moving = len(fleet.moving_household_ids)

    def prove(self, names: Sequence[str], count: int, budget_s: float | None) -> Tally:
        """Run both parts and return what happened."""
        started = time.monotonic()
        try:
            self.expected, self.messages = self._undisturbed()
            self._failpoints(names, None if budget_s is None else started + budget_s * 0.7)
            self._random_kills(count, None if budget_s is None else started + budget_s * 0.9)
        finally:
            self.sink.stop()
        return self.tally

    # --- one trial -------------------------------------------------------------------------

    def _fresh(self) -> None:
        for suffix in ("-wal", "-shm"):
            (self.folder / f"trial.sqlite3{suffix}").unlink(missing_ok=True)
        shutil.copyfile(self.base, self.folder / "trial.sqlite3")
        self.sink.clear()

    def _fork(self, failpoint: str = "") -> int:
        """Start a worker process that works until nothing is left; return its process id."""
        pid = os.fork()
        if pid:
            return pid
        try:
            os.environ["PLUGWARD_FAILPOINT"] = failpoint
            finish_all(create_worker(self.settings, clock=FixedClock(AT)))
            os._exit(0)
        except BaseException as error:
            print(f"worker: {error!r}", file=sys.stderr)
            os._exit(3)

    def _finish(self) -> None:
        _pid, status = os.waitpid(self._fork(), 0)
        if status:
            raise RuntimeError(f"the second worker ended with {status}")

    def _undisturbed(self) -> tuple[str, Counter[str]]:
        for _again in range(3):
            self._fresh()
            began = time.monotonic()
            self._finish()
            self.tally.spans_s.append(time.monotonic() - began)
        messages = self.sink.messages()
        if len(messages) != self.moving or set(messages.values()) != {1}:
            raise RuntimeError(f"an undisturbed run sent {sum(messages.values())} messages to {self.moving} homes")
        return self._digest(), messages

    def _judge(self) -> None:
        self.tally.trials += 1
        messages = self.sink.messages()
        self.tally.repeats += sum(messages.values()) - len(messages)
        if self._digest() != self.expected:
            self.tally.different += 1
        if set(messages) != set(self.messages) or not self._each_sent_once():
            self.tally.wrong_mail += 1

    def _digest(self) -> str:
        """Return a hash over all that must not depend on who did the work, and how often it was tried."""
        queries = (
            "SELECT id, plan_id, change_counter, as_of_slot, cost_up, short_wh FROM current_plans ORDER BY id",
            "SELECT id, household_id, terms_fingerprint, document, schedule FROM plans ORDER BY id",
            "SELECT occasion, household_count, chunk_count, finished_at IS NOT NULL FROM replan_runs ORDER BY occasion",
            "SELECT household_ids, status, changed_count, moved_count FROM replan_chunks ORDER BY household_ids",
            "SELECT name, payload, is_fanned_out FROM events ORDER BY name, payload",
            "SELECT e.name, e.payload, d.handler, d.status FROM deliveries d JOIN events e ON e.id = d.event_id"
            " ORDER BY e.name, e.payload, d.handler",
            "SELECT dedupe_key, message_id, status FROM mail ORDER BY dedupe_key",
            "PRAGMA integrity_check",
        )
        digest = hashlib.sha256()
        database = Database(self.settings.database_url)
        with database.engine.connect() as connection:
            for query in queries:
                digest.update(repr(connection.exec_driver_sql(query).all()).encode())
        database.close()
        return digest.hexdigest()

    def _each_sent_once(self) -> bool:
        return self._scalar("SELECT count(*) FROM mail WHERE status = 'sent'") == self.moving

    def _scalar(self, query: str) -> int:
        database = Database(self.settings.database_url)
        with database.engine.connect() as connection:
            value = int(connection.exec_driver_sql(query).scalar() or 0)
        database.close()
        return value

    # --- part one: named points ------------------------------------------------------------

    def _failpoints(self, names: Sequence[str], deadline: float | None) -> None:
        for number, name in enumerate(names):
            until = None
            if deadline is not None:
                until = time.monotonic() + (deadline - time.monotonic()) / (len(names) - number)
            self.tally.hits[name] = self._sweep(name, until)
            self._say(f"{name} swept to hit {self.tally.hits[name]}")

    def _say(self, what: str) -> None:
        """Tell on stderr how far the rig is: the proof takes half an hour."""
        tally = self.tally
        print(
            f"worker_kills {self.folder.name}: {what}; {tally.trials} trials, {tally.kills} killed, "
            f"different {tally.different}, wrong mail {tally.wrong_mail}",
            file=sys.stderr,
            flush=True,
        )

    def _sweep(self, name: str, until: float | None) -> int:
        """Kill at hit 1, 2, 3, ... of one point until a run completes; cut short, skip ahead more and more."""
        hit = step = 1
        while True:
            self._fresh()
            _pid, status = os.waitpid(self._fork(f"{name}:{hit}"), 0)
            if not os.WIFSIGNALED(status):
                if status:
                    raise RuntimeError(f"{name}:{hit} ended with {status}")
                self._judge()
                return hit
            self.tally.kills += 1
            self._forget_leases()
            self._finish()
            self._judge()
            if until is not None and time.monotonic() > until:
                return -hit
            step = step * 2 if until is not None and hit > 2 else 1
            hit += step

    def _forget_leases(self) -> None:
        database = Database(self.settings.database_url)
        with database.engine.execution_options(write=True).begin() as connection:
            for table in QUEUES:
                connection.exec_driver_sql(f"UPDATE {table} SET lease_until_ms = 0 WHERE status = 'claimed'")
        database.close()

    # --- part two: random moments ----------------------------------------------------------

    def _random_kills(self, count: int, deadline: float | None) -> None:
        span_s = sorted(self.tally.spans_s)[1]
        for _number in range(count):
            if deadline is not None and time.monotonic() > deadline:
                return
            self._fresh()
            pid = self._fork()
            time.sleep(self.random.uniform(0.05, 0.95) * span_s)
            os.kill(pid, signal.SIGKILL)
            _pid, status = os.waitpid(pid, 0)
            self.tally.random_kills += 1
            share = self._share_done()
            if os.WIFSIGNALED(status) and share is not None:
                self.tally.inside += 1
                self.tally.histogram[min(9, int(share * 10))] += 1
            self.tally.kills += os.WIFSIGNALED(status)
            self._finish()
            self._judge()
        self._say(f"{count} random kills")

    def _share_done(self) -> float | None:
        """Return the share of the work committed at the kill; None before the first claim or after the last commit."""
        has_claimed = self._scalar("SELECT count(*) FROM deliveries WHERE status <> 'waiting'")
        of_run = "run_id IN (SELECT id FROM replan_runs WHERE reason = 'tariff_change')"
        chunks = self._scalar(f"SELECT count(*) FROM replan_chunks WHERE {of_run}")
        chunks_done = self._scalar(f"SELECT count(*) FROM replan_chunks WHERE status = 'done' AND {of_run}")
        sent = self._scalar("SELECT count(*) FROM mail WHERE status = 'sent'")
        if not has_claimed or sent == self.moving:
            return None
        total = (chunks or self.homes // CHUNK) + self.moving
        return (chunks_done + sent) / total


def finish_all(worker: Worker) -> None:
    """Work until no queue holds an open row, waiting for leases of the dead to run out."""
    worker.clock_jobs = ()
    while True:
        if worker.run_once():
            continue
        with worker.context.database.engine.connect() as connection:
            is_open = "WHERE status IN ('waiting', 'claimed')"
            left = sum(
                int(connection.exec_driver_sql(f"SELECT count(*) FROM {table} {is_open}").scalar() or 0)
                for table in QUEUES
            )
        if not left:
            return
        time.sleep(0.05)


if __name__ == "__main__":
    sys.exit(main())
