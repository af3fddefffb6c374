"""The background composition root: carries events, replans in chunks, sends mail, asks the clock.

APScheduler only says when to look; what is due is found in the tables and keyed, so asking
twice does once.  Everything runs in this one thread, one claim after another, and stops
between two claims.  Every worker serves the queues; the clock is asked by the one that holds
its lease, which it confirms before each job, and another takes over once that lease ran out.
"""

import logging
import threading
import time
from collections.abc import Callable, Sequence
from datetime import UTC
from functools import partial

from apscheduler.schedulers.background import BackgroundScheduler

from service.common.clock import Clock, SystemClock
from service.infrastructure.db.sessions import Database
from service.infrastructure.dispatch import deliver, fan_out, has_news
from service.infrastructure.leases import LeaseKeeper
from service.infrastructure.mail.delivery import send_due
from service.infrastructure.mail.queue import Postmark
from service.infrastructure.mail.smtp import SmtpSender
from service.infrastructure.settings import Settings
from service.infrastructure.tasks import ClockJob, JobContext, Subscription
from service.planning.jobs import replan_chunks
from service.reminders.jobs import why_not_to_send
from service.subscriptions import CLOCK_JOBS, SUBSCRIPTIONS

CLOCK_LEASE = "clock"
REST_S = 0.2
"""How long an idle worker rests between two rounds; an event that comes meanwhile ends the rest."""
LOOK_S = 0.01
"""How often it looks for one: somebody who entered a charge waits at the screen for the plan."""
log = logging.getLogger(__name__)


class Worker:
    """One worker process: ``run_once`` does what is there, ``run`` does so until stopped."""

    def __init__(
        self,
        context: JobContext,
        *,
        sender: SmtpSender,
        subscriptions: Sequence[Subscription] = SUBSCRIPTIONS,
        clock_jobs: Sequence[ClockJob] = CLOCK_JOBS,
    ) -> None:
        self.context = context
        self.clock_jobs = clock_jobs
        self._due_jobs: set[str] = {job.name for job in clock_jobs}
        self._lock = threading.Lock()
        self._clock_lease = LeaseKeeper(context.database, CLOCK_LEASE, lease_s=context.settings.lease_s)
        self._pause = threading.Event()
        self._steps: tuple[Callable[[], int], ...] = (
            lambda: fan_out(context, subscriptions),
            lambda: deliver(context, subscriptions),
            lambda: replan_chunks(context),
            lambda: send_due(context, sender, why_not=why_not_to_send),
        )

    def run_once(self) -> int:
        """Take one round of each kind of work and return how much there was."""
        return sum(self._guarded(step) for step in self._steps) + self._run_clock_jobs()

    def _guarded(self, step: Callable[[], int | None]) -> int:
        """Take one step; what goes wrong in it is logged and does not end the worker: its rows are still there."""
        try:
            return step() or 0
        except Exception:
            log.exception("a step of the worker failed")
            self._pause.wait(1)
            return 0

    def run_until_idle(self, *, most_rounds: int = 100_000) -> None:
        """Work until a whole round finds nothing; for tests, the demo's first plans and commands."""
        try:
            for _round in range(most_rounds):
                if self.run_once() == 0:
                    return
        finally:
            self._clock_lease.give_up()
        raise RuntimeError(f"still busy after {most_rounds} rounds")

    def prepare_plans(self) -> None:
        """Carry events and replan until nothing is left, sending no mail: before the demo opens its doors."""
        while self._run_clock_jobs() + sum(self._guarded(step) for step in self._steps[:-1]):
            pass
        self._clock_lease.give_up()

    def run(self, stop: threading.Event) -> None:
        """Work until told to stop, with the scheduler marking the clock's jobs as due."""
        scheduler = BackgroundScheduler(timezone=UTC)
        for job in self.clock_jobs:
            scheduler.add_job(
                self._mark_due,
                "interval",
                seconds=job.every_s,
                args=[job.name],
                coalesce=True,
                max_instances=1,
                misfire_grace_time=job.every_s * 10,
            )
        scheduler.start()
        try:
            while not stop.is_set():
                if self.run_once() == 0:
                    self._rest(stop)
        finally:
            scheduler.shutdown(wait=False)
            self._guarded(self._clock_lease.give_up)

    def _rest(self, stop: threading.Event) -> None:
        """Do nothing for ``REST_S``, or until an event waits or the worker is told to stop."""
        until = time.monotonic() + REST_S
        while not stop.wait(LOOK_S) and time.monotonic() < until:
            if self._guarded(lambda: has_news(self.context)):
                return

    def _mark_due(self, name: str) -> None:
        with self._lock:
            self._due_jobs.add(name)

    def _run_clock_jobs(self) -> int:
        """Run the jobs that are due while the clock is this worker's; what it may not run stays due."""
        if not self.clock_jobs or not self._guarded(self._clock_lease.look):
            return 0
        with self._lock:
            due, self._due_jobs = self._due_jobs, set()
        count = 0
        for job in self.clock_jobs:
            if job.name not in due:
                continue
            # Since the last job this process may have been paused for longer than the lease.
            if not self._guarded(self._clock_lease.confirm):
                break
            due.remove(job.name)
            # One that fails is due again when its clock next strikes.
            count += self._guarded(partial(job.run, self.context))
        with self._lock:
            self._due_jobs |= due & {job.name for job in self.clock_jobs}
        return count


def create_worker(settings: Settings, *, database: Database | None = None, clock: Clock | None = None) -> Worker:
    """Return a worker from one settings object."""
    context = JobContext(
        settings=settings,
        database=database or Database(settings.database_url),
        clock=clock or SystemClock(),
        postmark=Postmark(settings.secret_key, settings.mail_domain),
    )
    return Worker(context, sender=SmtpSender(settings))
