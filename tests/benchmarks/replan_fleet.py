"""A whole fleet replanned after one tariff change, on SQLite with every commit synced.

The value is households a second, the ratio the share of that time which is planning itself;
the rest is reading the homes and storing the plans.
"""

from __future__ import annotations

import resource
import tempfile
import time
from collections.abc import Iterator
from datetime import UTC, datetime
from typing import Any

from service.accounts import operations as accounts
from service.cli.migrate import migrate
from service.common.clock import FixedClock
from service.infrastructure.claims import claim_rows, finish
from service.infrastructure.db.sessions import Database
from service.infrastructure.settings import Settings
from service.planning.models import ReplanChunk
from service.planning.operations.gather import prepare_homes
from service.planning.operations.replan import Cause, solve, store
from service.planning.operations.runs import next_slot, start_run
from service.planning.operations.triggers import households_on_tariff
from service.tariffs.operations import publish_version
from service.worker import create_worker
from tests.factories.fleet import make_fleet

HOMES = {"small": 500, "full": 10_000}
AT = datetime(2026, 11, 25, 12, 0, tzinfo=UTC)
SCHEME = "e" * 32


def rows(size: str) -> Iterator[dict[str, Any]]:
    """Yield the row of one replanned fleet."""
    count = HOMES[size]
    with tempfile.TemporaryDirectory() as folder:
        settings = Settings(data_dir=folder)
        database = Database(settings.database_url)
        migrate(database)
        with database.system(write=True) as session:
            accounts.create_scheme(session, scheme_id=SCHEME, name="Fleet", now=AT)
        began = time.perf_counter()
        fleet = make_fleet(database, SCHEME, count, seed=1, now=AT, moving_share=1.0)
        build_s = time.perf_counter() - began
        create_worker(settings, database=database, clock=FixedClock(AT)).prepare_plans()
        spent = _replan(database, fleet.tariff_id, fleet.draft_version_id, settings.chunk_size)
        database.close()
    total_s = spent["read"] + spent["solve"] + spent["write"]
    yield {
        "name": "replan_fleet_after_tariff_change",
        "value": round(count / total_s, 1),
        "unit": "households/s",
        "reference": "planning alone in the same run (read "
        f"{spent['read'] / total_s:.0%}, plan {spent['solve'] / total_s:.0%}, write {spent['write'] / total_s:.0%} "
        f"of {total_s:.1f} s; {count} homes, {spent['changed']:.0f} plans rewritten; fleet built in {build_s:.1f} s)",
        "ratio": round(spent["solve"] / total_s, 4),
        "mismatches": count - int(spent["changed"]),
        "peak_mib": round(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024, 1),
    }


def _replan(database: Database, tariff_id: str, version_id: str, chunk_size: int) -> dict[str, float]:
    """Publish, then do what the worker does chunk by chunk, with a stop-watch between the steps."""
    with database.scheme(SCHEME, write=True) as session:
        publish_version(session, tariff_id, version_id, by=None, at=AT)
        homes = households_on_tariff(session, tariff_id, on=AT.date())
        start_run(
            session,
            homes,
            occasion="bench",
            reason="tariff_change",
            label="bench",
            at=AT,
            chunk_size=chunk_size,
            version_id=version_id,
        )
    spent = {"read": 0.0, "solve": 0.0, "write": 0.0, "changed": 0.0}
    while True:
        started = time.perf_counter()
        with database.system(write=True) as session:
            claims = claim_rows(session, ReplanChunk, limit=1, lease_ms=60_000)
        if not claims:
            return spent
        claim = claims[0]
        with database.scheme(SCHEME, write=False) as session:
            chunk = session.get_one(ReplanChunk, (SCHEME, claim.id))
            prepared = prepare_homes(session, chunk.household_ids, as_of_slot=next_slot(AT))
        read = time.perf_counter()
        solved = solve(prepared)
        planned = time.perf_counter()
        with database.fleet(SCHEME) as writer:
            stored = store(writer, solved, as_of_slot=next_slot(AT), cause=Cause("tariff_change", "bench"), at=AT)
            finish(writer.connection, ReplanChunk, claim, status="done", changed_count=stored.changed_count)
        written = time.perf_counter()
        spent["read"] += read - started
        spent["solve"] += planned - read
        spent["write"] += written - planned
        spent["changed"] += stored.changed_count
