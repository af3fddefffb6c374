"""A real worker process whose clock strikes every second and writes each strike to a file: who, and when."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import time
from dataclasses import dataclass
from pathlib import Path

from service.cli.processes import stop_on_signals
from service.common.clock import SystemClock
from service.infrastructure.db.sessions import Database
from service.infrastructure.logging import configure_logging
from service.infrastructure.mail.queue import Postmark
from service.infrastructure.mail.smtp import SmtpSender
from service.infrastructure.settings import Settings
from service.infrastructure.tasks import ClockJob, JobContext
from service.worker import Worker

LEASE_S = 2


@dataclass(frozen=True)
class Strike:
    """The clock struck in one process [seconds since 1970]."""

    pid: int
    at_s: float


class TickingWorker:
    """One process; several of them share a database and a file of strikes."""

    def __init__(self, url: str, folder: Path) -> None:
        self.strikes = folder / "strikes"
        self.strikes.touch()
        self._log = folder / f"log-{time.monotonic_ns()}"
        with self._log.open("wb") as log:
            command = [sys.executable, "-m", "tests.factories.ticking_worker", url, str(folder)]
            self.process = subprocess.Popen(command, stderr=log)

    @property
    def pid(self) -> int:
        """Return the process id, by which strikes name it."""
        return self.process.pid

    def told(self) -> list[dict[str, object]]:
        """Return the lines that it logged."""
        return [json.loads(line) for line in self._log.read_text().splitlines() if line.startswith("{")]

    def end(self) -> None:
        """End it, whatever state it is in."""
        self.process.kill()
        self.process.wait(timeout=10)


def strikes(folder: Path) -> list[Strike]:
    """Return every strike so far."""
    lines = (folder / "strikes").read_text().splitlines()
    return [Strike(int(pid), float(at_s)) for pid, at_s in (line.split() for line in lines)]


def _main(url: str, folder: str) -> None:
    configure_logging("INFO")
    file = os.open(Path(folder) / "strikes", os.O_WRONLY | os.O_APPEND)

    def strike(_context: JobContext) -> int:
        os.write(file, f"{os.getpid()} {time.time()}\n".encode())
        return 0

    settings = Settings(database_url=url, data_dir=folder, lease_s=LEASE_S)
    postmark = Postmark(settings.secret_key, settings.mail_domain)
    context = JobContext(settings=settings, database=Database(url), clock=SystemClock(), postmark=postmark)
    stop = stop_on_signals()
    Worker(context, sender=SmtpSender(settings), clock_jobs=[ClockJob("strike", 1, strike)]).run(stop)


if __name__ == "__main__":
    _main(sys.argv[1], sys.argv[2])
