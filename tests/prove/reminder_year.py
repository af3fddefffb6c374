"""Proof: 400 days of reminders on two worker processes that are killed 200 times while they queue and send.

Both workers ask for what is due at every simulated instant, at the same time, and share the sending.  Kills come
at named points of sending and at random moments.  A real SMTP server on loopback syncs each letter to disk before
it says yes.  An oracle in plain Python says which (item, due date, step, person) must be told at which instant,
and what each letter must list; what was stored and what arrived must be just that.  Raw repeats are counted, and
may not be more than the letters that a killed worker had handed over and not marked.

For nineteen kills of twenty the wait for a dead worker's lease is skipped by moving the stored lease back, once the
other worker is idle; every twentieth is waited for.  So is the wait for another try, where the machine is so busy
that a sending runs out of time.
"""

from __future__ import annotations

import contextlib
import os
import random
import select
import signal
import sys
import tempfile
import time
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from pathlib import Path

from sqlalchemy import select as select_rows

from service.accounts import operations as accounts
from service.accounts.models import Account
from service.cli.migrate import migrate
from service.common.clock import FixedClock
from service.infrastructure.db.sessions import Database
from service.infrastructure.settings import Settings
from service.reminders import jobs
from service.reminders.models import SafetyNotice
from service.worker import create_worker
from tests.factories.databases import PostgresqlDatabases
from tests.factories.smtp_log import Letter, SmtpLog
from tests.prove.reminder_homes import LONDON, ZONES, Story, apply, furnish
from tests.prove.reminder_judge import letter_faults, notice_faults, stored_faults
from tests.prove.reminder_oracle import Expected, asking_instants, expected
from tests.prove.reminder_tally import Tally, in_words

HOMES, DAYS, KILLS, WORKERS = 200, 400, 200, 2
FIRST_DAY = date(2026, 11, 25)
SCHEME = "d" * 32
CUT_HOMES = 60
SQLITE_SHARE = 0.7
CUT_DAY_S = 0.7
"""About what a simulated day of a cut run takes."""
CLOCK_CHANGES = (date(2027, 3, 28), date(2027, 10, 31))
WINTERS_END, SUMMERS_END = (change - timedelta(days=13) for change in CLOCK_CHANGES)
POINTS = ("mail.claimed", "mail.sent", "mail.marked")
LEASE_WAITED_FOR_EVERY = 20
SPARE_KILLS = 1.25  # the aim is beyond what is asked for, so that chance does not fall short of it
RANDOM_SHARE = 0.4  # random kills tried, for each kill asked for; many strike a worker that holds nothing


def main(
    homes: int = HOMES, days: int = DAYS, kills: int = KILLS, seed: int = 20_261_125, *, budget_s: float | None = None
) -> int:
    """Print a line of figures for each kind of database; return 1 if anything was missed, early, doubled or odd."""
    started = time.monotonic()
    with tempfile.TemporaryDirectory(prefix="plugward-year-") as folder:
        part = Part(homes, FIRST_DAY, days, kills, None) if budget_s is None else _cut(budget_s * SQLITE_SHARE)
        failed = _live(Path(folder), f"sqlite:///{folder}/year.sqlite3", part, seed)
    postgresql = PostgresqlDatabases.of_environment()
    if why_not := postgresql.why_not():
        print(f"reminder_year: postgresql: not run, {why_not}")
        return int(failed or os.environ.get("CI") == "true")
    try:
        with tempfile.TemporaryDirectory(prefix="plugward-year-") as folder:
            part = Part(max(4, homes // 5), SUMMERS_END, min(days, 120), max(5, kills // 8), None)
            if budget_s is not None:
                part = _cut(budget_s * (1 - SQLITE_SHARE), SUMMERS_END, homes=CUT_HOMES // 4)
            failed |= _live(Path(folder), postgresql.blank(), part, seed)
    finally:
        postgresql.close()
    print(f"reminder_year: seed {seed}, {time.monotonic() - started:.0f} s in all", flush=True)
    return int(failed)


@dataclass(frozen=True)
class Part:
    """How much of the year is lived through on one database, and within which time."""

    homes: int
    first: date
    days: int
    kills: int
    budget_s: float | None


def _cut(budget_s: float, first: date = WINTERS_END, *, homes: int = CUT_HOMES) -> Part:
    """Return as many days as fit, from about two weeks before a change of the clock on."""
    days = min(DAYS, max(20, int(budget_s / CUT_DAY_S)))
    return Part(homes, first, days, max(5, KILLS * days // DAYS // 3), budget_s)


def _live(folder: Path, url: str, part: Part, seed: int) -> bool:
    """Live through the days on one database and print what came of it; return whether anything was wrong."""
    ends = None if part.budget_s is None else time.monotonic() + part.budget_s * 0.9
    year = Year(folder, url, part, seed)
    is_right = year.prove(ends)
    kind = url.partition(":")[0].partition("+")[0]
    print(f"reminder_year: {kind}: {in_words(year.story, year.expected, year.tally)}", flush=True)
    for fault in year.tally.faults[:20]:
        print(f"reminder_year: {fault}", file=sys.stderr)
    return not is_right


@dataclass
class Hand:
    """A worker process, and the pipes by which it is given an instant and says it is done."""

    pid: int
    orders: int
    answers: int
    point: str

    def order(self, at: datetime) -> None:
        """Let it do what is due at an instant."""
        os.write(self.orders, f"{at.isoformat()}\n".encode())

    def close(self) -> int:
        """Close the pipes and return how it ended."""
        os.close(self.orders)
        os.close(self.answers)
        return os.waitpid(self.pid, 0)[1]


class Year:
    """One scheme on one database, from its first day to its last."""

    def __init__(self, folder: Path, url: str, part: Part, seed: int) -> None:
        self.kills, self.first = part.kills, part.first
        midnight = datetime(part.first.year, part.first.month, part.first.day, tzinfo=LONDON)
        self.random = random.Random(seed)
        self.tally = Tally()
        self.sink = SmtpLog(folder / "smtp.log", whole=True)
        self.settings = Settings(
            database_url=url,
            data_dir=str(folder),
            lease_s=1,
            smtp_timeout_s=3,
            smtp_host="127.0.0.1",
            smtp_port=self.sink.port,
        )
        database = Database(url)
        migrate(database)
        with database.system(write=True) as session:
            accounts.create_scheme(session, scheme_id=SCHEME, name="Year", now=midnight)
        self.story: Story = furnish(database, SCHEME, part.homes, part.first, part.days, seed)
        database.close()
        self.clock = FixedClock(midnight)
        self.worker = create_worker(self.settings, clock=self.clock)
        self.worker.clock_jobs = ()  # asked for here, by both workers at once, and not by who holds the clock
        self.ticks = asking_instants(part.first, part.days, ZONES)
        self.expected: Expected = self._expect(self.ticks)
        self.due_ticks = self.expected.ticks
        self.arrived: dict[str, list[tuple[datetime, Letter]]] = defaultdict(list)
        self.hands: list[Hand] = []
        self.left = self.expected.letter_count

    def _expect(self, ticks: list[datetime]) -> Expected:
        return expected(self.story.homes, self.story.people, self.story.dues, ticks)

    def prove(self, deadline: float | None) -> bool:
        """Live through the days, as far as the deadline lets; return whether all was as it must be."""
        began, happenings = time.monotonic(), list(self.story.happenings)
        done: list[datetime] = []
        try:
            first = min(self.due_ticks)
            for at in self.ticks:
                if deadline is not None and time.monotonic() > deadline:
                    break
                while happenings and happenings[0].at <= at:
                    database = Database(self.settings.database_url)
                    apply(database, SCHEME, happenings.pop(0))
                    database.close()
                if at <= first:
                    self._warm(at)
                else:
                    while len(self.hands) < WORKERS:
                        self.hands.append(self._fork())
                    self._tick(at)
                done.append(at)
            while self.hands:
                self.hands.pop().close()
        finally:
            for hand in self.hands:
                _end(hand.pid)
            self.sink.stop()
        self.tally.took_s, self.tally.ticks = time.monotonic() - began, len(done)
        self.tally.days = (done[-1].date() - self.first).days + 1
        self.tally.changes = sum(self.first <= day <= done[-1].date() for day in CLOCK_CHANGES)
        asked = self.expected = self._expect(done)
        rows = self._rows("SELECT kind, subject_id, due_on, step, recipient FROM reminders")
        kinds = {str(message_id): str(kind) for message_id, kind in self._rows("SELECT message_id, kind FROM mail")}
        self.tally.letters = len(self.arrived)
        self.tally.repeats = sum(len(found) - 1 for found in self.arrived.values())
        self.tally.faults = [
            *stored_faults(asked, rows),
            *letter_faults(asked, self.arrived, kinds),
            *notice_faults(asked, done, self._notices()),
            *self._sending_faults(is_whole=deadline is None),
        ]
        return not self.tally.faults

    def _sending_faults(self, *, is_whole: bool) -> Iterator[str]:
        """Say what is wrong with how the letters were sent, whatever stands in them."""
        tally = self.tally
        unsent = self._rows("SELECT dedupe_key, status FROM mail WHERE status <> 'sent'")
        yield from (f"{key} is {status}" for key, status in unsent)
        if tally.repeats > tally.doubtful:
            yield f"{tally.repeats} raw repeats for {tally.doubtful} letters that a dead worker had handed over"
        if is_whole and tally.inside < self.kills:
            yield f"only {tally.inside} of {self.kills} kills struck inside a claim or a sending"

    # --- workers -----------------------------------------------------------------------------

    def _fork(self) -> Hand:
        """Start a worker process that dies at some named point, or works until its orders end."""
        point, hit = self._choose()
        orders, answers = os.pipe(), os.pipe()
        pid = os.fork()
        if pid:
            os.close(orders[0])
            os.close(answers[1])
            return Hand(pid, orders[1], answers[0], point)
        try:
            os.close(orders[1])
            os.close(answers[0])
            for other in self.hands:  # or it would not see its orders end
                os.close(other.orders)
                os.close(other.answers)
            os.environ["PLUGWARD_FAILPOINT"] = f"{point}:{hit}"
            self._serve(orders[0], answers[1])
            os._exit(0)
        except BaseException as error:
            print(f"worker: {error!r}", file=sys.stderr)
            os._exit(3)

    def _serve(self, orders: int, answers: int) -> None:
        """Do what is due at each instant that is ordered, and say how much of it was new."""
        with os.fdopen(orders) as lines:
            for line in lines:
                os.write(answers, f"{self._do(datetime.fromisoformat(line.strip()))}\n".encode())

    def _do(self, at: datetime) -> int:
        """Queue what is due at an instant, then send until nothing is left; return how many were new."""
        self.clock.move(at - self.clock.now())
        count = jobs.run_due(self.worker.context)
        while self.worker.run_once():
            pass
        return count

    def _warm(self, at: datetime) -> None:
        """Do an instant undisturbed in this process, so that what is forked from it has every statement compiled."""
        self._do(at)
        self.worker.context.database.close()  # no connection may be shared by a fork
        self._note(at)

    def _choose(self) -> tuple[str, int]:
        """Return a point and at which hit to die there, so that the kills left are spread over the letters left."""
        point = self.random.choice(POINTS)
        aim = max(1.0, self.kills * SPARE_KILLS - self.tally.inside)
        passes = self.left / aim if self.left else 1e9
        if point == "mail.claimed":
            passes = passes / max(1.0, min(20.0, 0.5 * self.expected.letter_count / max(1, len(self.due_ticks))))
        return point, 1 + int(self.random.uniform(0, 2 * passes))

    def _tick(self, at: datetime) -> None:
        """Let both workers do what is due at an instant, again and again until nothing is left of it."""
        chance = RANDOM_SHARE * self.kills / len(self.due_ticks) if at in self.due_ticks else 0.0
        has_worked = False
        while True:
            victim = self.random.choice(self.hands) if self.random.random() < chance else None
            queued, dead = self._round(at, victim)
            for hand in dead:
                self._bury(hand, at)
            self._note(at)
            if not (dead or queued or (has_worked and self._hurry())):
                return
            has_worked = True

    def _round(self, at: datetime, victim: Hand | None) -> tuple[int, list[Hand]]:
        """Order both to work, perhaps kill one meanwhile; return how much was queued, and who died."""
        for hand in self.hands:
            hand.order(at)
        kill_at = time.monotonic() + self.random.uniform(0, 0.06) if victim is not None else None
        waiting, dead, queued = {hand.answers: hand for hand in self.hands}, [], 0
        while waiting:
            wait_s = 60.0 if kill_at is None else max(0.0, kill_at - time.monotonic())
            ready, _, _ = select.select(list(waiting), [], [], wait_s)
            if not ready and kill_at is None:
                raise RuntimeError("a worker does not come to an end")
            if not ready and victim is not None:
                victim.point = "random"
                os.kill(victim.pid, signal.SIGKILL)
                kill_at = None
            for answers in ready:
                hand = waiting.pop(answers)
                if hand is victim:
                    kill_at = None  # done before it could be killed
                answer = os.read(answers, 100)
                if answer:
                    queued += int(answer)
                else:
                    dead.append(hand)
        return queued, dead

    def _bury(self, hand: Hand, at: datetime) -> None:
        """Count what a dead worker left behind, free what it held, and start another."""
        status = hand.close()
        if not os.WIFSIGNALED(status):
            raise RuntimeError(f"a worker ended with {status}")
        time.sleep(0.03)  # what it had handed over is written by now
        held = self._claimed()
        self._note(at)
        # What has arrived of a letter that is not marked was handed over by workers that died of it.
        self.tally.in_doubt |= {letter: len(self.arrived[letter]) for letter in held if letter in self.arrived}
        is_inside = hand.point != "random" or bool(held)
        self.tally.kills[hand.point if is_inside else "outside"] += 1
        if held:
            if sum(self.tally.kills.values()) % LEASE_WAITED_FOR_EVERY == 0:
                self.tally.waited += 1
                time.sleep(self.settings.lease_s + self.settings.smtp_timeout_s + 0.05)
            else:
                self._forget_leases()
        self.hands.remove(hand)
        self.hands.append(self._fork())

    def _note(self, at: datetime) -> None:
        """Take in what has arrived, at this instant."""
        for letter in self.sink.new_letters():
            self.left -= letter.message_id not in self.arrived
            self.arrived[letter.message_id].append((at, letter))

    def _notices(self) -> list[tuple[str, datetime, datetime | None]]:
        """Return to whom, when told and when risen, of every safety notice."""
        database = Database(self.settings.database_url)
        with database.scheme(SCHEME, write=False) as session:
            query = select_rows(Account.email, SafetyNotice.told_at, SafetyNotice.raised_at)
            rows = session.execute(query.join(SafetyNotice, SafetyNotice.account_id == Account.id)).all()
        database.close()
        return [(row[0], row[1], row[2]) for row in rows]

    def _hurry(self) -> int:
        """Let letters that wait for another try have it now; return how many there are."""
        database = Database(self.settings.database_url)
        with database.engine.execution_options(write=True).begin() as connection:
            count = connection.exec_driver_sql("UPDATE mail SET not_before_ms = 0 WHERE status = 'waiting'").rowcount
        database.close()
        self.tally.tried_again += count
        return count

    def _claimed(self) -> set[str]:
        """Return the Message-ID of each letter that some worker holds."""
        return {str(row[0]) for row in self._rows("SELECT message_id FROM mail WHERE status = 'claimed'")}

    def _rows(self, query: str) -> list[tuple[object, ...]]:
        database = Database(self.settings.database_url)
        with database.engine.connect() as connection:
            rows = [tuple(row) for row in connection.exec_driver_sql(query)]
        database.close()
        return rows

    def _forget_leases(self) -> None:
        database = Database(self.settings.database_url)
        with database.engine.execution_options(write=True).begin() as connection:
            connection.exec_driver_sql("UPDATE mail SET lease_until_ms = 0 WHERE status = 'claimed'")
        database.close()


def _end(pid: int) -> None:
    """End a worker that still runs; none does unless the proof itself broke."""
    with contextlib.suppress(OSError):
        os.kill(pid, signal.SIGKILL)


if __name__ == "__main__":
    sys.exit(main(*(int(argument) for argument in sys.argv[1:])))
