"""A claimed chunk of a run, opened for planning and closed with what was stored; and how runs are cut."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import Connection, Table, exists, select, update

from service.common.slots import slot_index
from service.infrastructure.claims import Claim, finish
from service.infrastructure.db.sessions import SchemeSession
from service.planning.models import ReplanChunk, ReplanRun
from service.planning.operations.replan import Cause, Stored
from service.tariffs.operations import find_version

IN_VIEW = "/in_view/"
FLEET_RUN = 2_500
"""Own choice: a run of so many homes or more at new prices is planned from their short rows first."""
FLEET_CHUNK = 20_000
"""Own choice: homes of such a run in one transaction: a second or two of writing, about a hundred MiB of memory."""

RUNS: Table = ReplanRun.__table__  # type: ignore[assignment]
CHUNKS: Table = ReplanChunk.__table__  # type: ignore[assignment]


@dataclass(frozen=True)
class Work:
    """A chunk's homes, why they are planned and from which half-hour on; the run's own instant stands in the rows."""

    run_id: str
    household_ids: Sequence[str]
    cause: Cause
    as_of_slot: int
    created_at: datetime


def next_slot(at: datetime) -> int:
    """Return the first half-hour that has not begun at an instant."""
    slot = slot_index(at)
    return slot if slot * 1800 == at.timestamp() else slot + 1


def chunk_size_at_new_prices(count: int, usual: int) -> int:
    """Return how many homes to plan in one go where prices alone have changed for ``count`` of them."""
    return max(usual, FLEET_CHUNK) if count >= FLEET_RUN else usual


def open_chunk(session: SchemeSession, claim: Claim, now: datetime) -> Work:
    """Return what a claimed chunk asks for."""
    run_id, household_ids = session.execute(
        select(ReplanChunk.run_id, ReplanChunk.household_ids).where(ReplanChunk.id == claim.id)
    ).one()
    run = session.scalars(select(ReplanRun).where(ReplanRun.id == run_id)).one()
    # A run that waited is planned from now: half-hours that passed meanwhile were not charged in.
    as_of_slot = run.as_of_slot if next_slot(now) <= run.as_of_slot + 1 else next_slot(now)
    return Work(run_id, household_ids, _cause(session, run), as_of_slot, run.created_at)


def close_chunk(
    connection: Connection, claim: Claim, work: Work, stored: Stored, now: datetime, **values: object
) -> None:
    """Mark the chunk done, and its run finished if nothing of it is left; raises ``LeaseLost``."""
    finish(
        connection,
        ReplanChunk,
        claim,
        status="done",
        changed_count=stored.changed_count,
        moved_count=stored.moved_count,
        **values,
    )
    finish_run(connection, claim.scheme_id, work.run_id, now)


def lock_run(connection: Connection, scheme_id: str, run_id: str) -> None:
    """Let one chunk at a time end: of two that end at once on PostgreSQL, neither would see the other's end."""
    statement = select(RUNS.c.id).where(RUNS.c.scheme_id == scheme_id, RUNS.c.id == run_id)
    connection.execute(statement.with_for_update(key_share=True))


def finish_run(connection: Connection, scheme_id: str, run_id: str, now: datetime) -> None:
    """Mark the run finished once none of its chunks is left."""
    lock_run(connection, scheme_id, run_id)
    is_run = (RUNS.c.scheme_id == scheme_id) & (RUNS.c.id == run_id)
    is_left = exists().where(
        CHUNKS.c.scheme_id == scheme_id, CHUNKS.c.run_id == run_id, CHUNKS.c.status.in_(("waiting", "claimed"))
    )
    connection.execute(update(RUNS).where(is_run, RUNS.c.finished_at.is_(None), ~is_left).values(finished_at=now))


def _cause(session: SchemeSession, run: ReplanRun) -> Cause:
    """Return why a run's homes are replanned; whatever days a version is looked at on, it is told once."""
    if IN_VIEW not in run.occasion or run.version_id is None:
        return Cause(run.reason, run.occasion)
    version = find_version(session, run.version_id)
    return Cause(run.reason, f"tariff/{run.version_id}", version.valid_from_on if version else None)
