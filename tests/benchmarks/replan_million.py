"""Very many homes planned again after one tariff change, from the service's own tables, on SQLite, commits synced.

A few hundred homes are made and planned in full; the others are copies of these with a charge of their own, written
in bulk (households, contracts, plans, pointers, short rows), for nothing else is read of a home whose row holds.
The value is homes a second until two workers have emptied the queue, every home changed and announced. The homes made
in full are compared with what the usual way plans for them. Peak memory is that of both workers together.
"""

from __future__ import annotations

import argparse
import json
import random
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass, fields
from datetime import UTC, datetime
from multiprocessing import Queue, get_context
from multiprocessing.synchronize import Barrier
from typing import Any

import numpy as np
from sqlalchemy import select

from service.accounts import operations as accounts
from service.cli.migrate import migrate
from service.common.clock import FixedClock
from service.households.models import Contract, Household
from service.infrastructure.claims import claim_rows
from service.infrastructure.db.sessions import Database
from service.infrastructure.settings import Settings
from service.planning.domain.packed_weeks import packed_homes, warm_up
from service.planning.domain.plan_document import schedule
from service.planning.models import CurrentPlan, Plan, PlannerInputs, ReplanChunk
from service.planning.operations.chunks import FLEET_CHUNK, close_chunk, next_slot, open_chunk
from service.planning.operations.fleet import read_rows, solve_rows, store_answers
from service.planning.operations.gather import prepare_homes
from service.planning.operations.replan import solve
from service.planning.operations.runs import start_run
from service.planning.operations.triggers import households_on_tariff
from service.tariffs.operations import publish_version
from service.worker import create_worker
from tests.factories.fleet import make_fleet, table

SIZES = {"small": (3_000,), "full": (100_000, 1_000_000)}
MADE_IN_FULL = {"small": 60, "full": 400}
WORKERS = 2
COPIES_A_WRITE = 5_000
START_WH = 3  # the word of a short row that holds the charge at the start
AT = datetime(2026, 11, 25, 12, 0, tzinfo=UTC)
SCHEME = "b" * 32


def rows(size: str) -> Iterator[dict[str, Any]]:
    """Yield a row for each number of homes."""
    for count in SIZES[size]:
        call = [sys.executable, "-m", "tests.benchmarks.replan_million", str(count), str(MADE_IN_FULL[size])]
        yield json.loads(subprocess.run(call, check=True, stdout=subprocess.PIPE, text=True).stdout)


@dataclass
class Spent:
    """Seconds of each step, and homes whose plans were rewritten."""

    read_s: float = 0.0
    solve_s: float = 0.0
    wait_s: float = 0.0  # for the other worker's transaction to end
    write_s: float = 0.0
    cpu_s: float = 0.0  # of the worker, whatever else the machine was doing
    changed: int = 0

    @property
    def total_s(self) -> float:
        """Return all of it."""
        return self.read_s + self.solve_s + self.wait_s + self.write_s


def measure(count: int, made_in_full: int) -> dict[str, Any]:
    """Return the row of one number of homes."""
    with tempfile.TemporaryDirectory() as folder:
        settings = Settings(data_dir=folder)
        database = Database(settings.database_url)
        migrate(database)
        with database.system(write=True) as session:
            accounts.create_scheme(session, scheme_id=SCHEME, name="Million", now=AT)
        began = time.perf_counter()
        fleet = make_fleet(database, SCHEME, made_in_full, seed=1, now=AT, moving_share=1.0)
        create_worker(settings, database=database, clock=FixedClock(AT)).prepare_plans()
        _copy(database, count - made_in_full)
        built_s = time.perf_counter() - began
        with database.scheme(SCHEME, write=True) as session:
            publish_version(session, fleet.tariff_id, fleet.draft_version_id, by=None, at=AT)
        usual = _usual(database, fleet.household_ids)
        warm_up()
        _start(database, fleet.tariff_id, fleet.draft_version_id)
        wall_s, spent, peak_mib = _replan(settings.database_url)
        mismatches = count - spent.changed + _differing(database, usual)
        database.close()
    shares = {"read": spent.read_s, "solve": spent.solve_s, "wait for the lock": spent.wait_s, "write": spent.write_s}
    return {
        "name": f"replan_{count}_homes_after_tariff_change",
        "value": round(count / wall_s),
        "unit": "households/s",
        "reference": f"planning alone in the same run ({wall_s:.1f} s, {spent.cpu_s:.1f} s of processors; "
        f"{WORKERS} workers, whose time went to "
        + ", ".join(f"{name} {seconds / spent.total_s:.0%}" for name, seconds in shares.items())
        + f"; writing, one at a time, took {spent.write_s / wall_s:.0%} of the {wall_s:.1f} s; "
        f"homes built in {built_s:.0f} s apart)",
        "ratio": round(spent.solve_s / spent.total_s, 4),
        "mismatches": mismatches,
        "peak_mib": round(peak_mib, 1),
    }


def _copy(database: Database, count: int) -> None:
    """Write copies of the homes there are: each with ids and a charge of its own, and the plan of its original."""
    rng = random.Random(7)
    models = (Household, Contract, Plan, CurrentPlan, PlannerInputs)
    with database.fleet(SCHEME) as writer:
        stored = [
            [dict(row) for row in writer.connection.execute(select(table(model))).mappings()] for model in models
        ]
    homes, contracts, plans, pointers, inputs = stored
    of_home = {
        home["id"]: (
            home,
            next(row for row in contracts if row["household_id"] == home["id"]),
            next(row for row in plans if row["household_id"] == home["id"]),
            next(row for row in pointers if row["id"] == home["id"]),
            next(row for row in inputs if row["id"] == home["id"]),
        )
        for home in homes
    }
    originals = list(of_home.values())
    for start in range(0, count, COPIES_A_WRITE):
        copies = [
            _copied(rng, number, originals[number % len(originals)])
            for number in range(start, min(count, start + COPIES_A_WRITE))
        ]
        with database.fleet(SCHEME) as writer:
            for place, model in enumerate(models):
                writer.insert(table(model), [copy[place] for copy in copies])


def _copied(rng: random.Random, number: int, original: tuple[dict[str, Any], ...]) -> list[dict[str, Any]]:
    home, contract, plan, pointer, inputs = original
    home_id, plan_id = f"{rng.getrandbits(128):032x}", f"{rng.getrandbits(128):032x}"
    words = packed_homes([inputs["packed"]]).row(0).copy()
    words[START_WH] = max(0, words[START_WH] - rng.randrange(3_000))
    (car,) = plan["schedule"]
    brief = {name: value for name, value in plan.items() if name not in ("document", "prices", "working")}
    return [
        {**home, "id": home_id, "reference": f"M-{number + 1}"},
        {**contract, "id": f"{rng.getrandbits(128):032x}", "household_id": home_id},
        {
            **brief,
            "id": plan_id,
            "household_id": home_id,
            "input_fingerprint": plan_id * 2,
            "schedule": [{**car, "start_wh": int(words[START_WH])}],
        },
        {**pointer, "id": home_id, "plan_id": plan_id},
        {**inputs, "id": home_id, "plan_id": plan_id, "packed": words.astype("<i4").tobytes()},
    ]


def _start(database: Database, tariff_id: str, version_id: str) -> None:
    with database.scheme(SCHEME, write=True) as session:
        start_run(
            session,
            households_on_tariff(session, tariff_id, on=AT.date()),
            occasion=f"tariff/{version_id}",
            reason="tariff_change",
            label="bench",
            at=AT,
            chunk_size=FLEET_CHUNK,
            version_id=version_id,
        )


def _replan(url: str) -> tuple[float, Spent, float]:
    """Let the workers empty the queue; return how long that took, what their time went to, and their memory [MiB]."""
    context = get_context("spawn")
    ready, answers = context.Barrier(WORKERS + 1), context.Queue()
    workers = [context.Process(target=_work, args=(url, ready, answers)) for _ in range(WORKERS)]
    for worker in workers:
        worker.start()
    ready.wait()
    started = time.perf_counter()
    found = [answers.get() for _ in workers]
    wall_s = time.perf_counter() - started
    for worker in workers:
        worker.join()
    spent = Spent(**{field.name: sum(getattr(each, field.name) for each, _ in found) for field in fields(Spent)})
    return wall_s, spent, sum(peak for _, peak in found)


def _work(url: str, ready: Barrier, answers: Queue[tuple[Spent, float]]) -> None:
    """Do what ``run_fleet_chunk`` does chunk by chunk, with a stop-watch between the steps."""
    database, spent = Database(url, busy_timeout_ms=60_000), Spent()
    warm_up()
    ready.wait()
    cpu_s = time.process_time()
    while True:
        started = time.perf_counter()
        with database.system(write=True) as session:
            claims = claim_rows(session, ReplanChunk, limit=1, lease_ms=600_000)
        if not claims:
            break
        claimed = time.perf_counter()
        with database.scheme(SCHEME, write=False) as session:
            work = open_chunk(session, claims[0], AT)
            chunk = read_rows(session, work)
        read = time.perf_counter()
        answered = solve_rows(chunk, work)
        solved = time.perf_counter()
        with database.fleet(SCHEME) as writer:
            begun = time.perf_counter()
            stored, _done = store_answers(writer, answered, work)
            close_chunk(writer.connection, claims[0], work, stored, AT)
        written = time.perf_counter()
        spent.read_s, spent.solve_s = spent.read_s + read - claimed, spent.solve_s + solved - read
        spent.wait_s += claimed - started + begun - solved
        spent.write_s, spent.changed = spent.write_s + written - begun, spent.changed + stored.changed_count
    spent.cpu_s = time.process_time() - cpu_s
    database.close()
    answers.put((spent, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024))


def _usual(database: Database, household_ids: tuple[str, ...]) -> dict[str, Any]:
    """Return what the usual way would store for the homes made in full."""
    with database.scheme(SCHEME, write=False) as session:
        solved = solve(prepare_homes(session, household_ids, as_of_slot=next_slot(AT)))
    return {each.week.home.id: schedule(each.week, each.plan) for each in solved if each.plan is not None}


def _differing(database: Database, usual: dict[str, Any]) -> int:
    """Return how many of them got another plan."""
    found = {}
    ids = sorted(usual)
    with database.scheme(SCHEME, write=False) as session:
        for part in np.array_split(np.array(ids), max(1, len(ids) // 200)):
            rows = session.execute(
                select(CurrentPlan.id, Plan.schedule)
                .join(Plan, (Plan.id == CurrentPlan.plan_id) & (Plan.scheme_id == CurrentPlan.scheme_id))
                .where(CurrentPlan.id.in_(part.tolist()))
            )
            found.update((home_id, scheduled) for home_id, scheduled in rows)
    return sum(found.get(home_id) != wanted for home_id, wanted in usual.items())


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("count", type=int)
    parser.add_argument("made_in_full", type=int)
    asked = parser.parse_args()
    print(json.dumps(measure(asked.count, asked.made_in_full)))
