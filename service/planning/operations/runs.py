"""Runs: one reason to replan many homes, cut into chunks that are claimed, planned and written.

A run is unique by its occasion.  A chunk's plans and its own end are one transaction under
the claim's token, so a kill at any point loses nothing and repeats nothing.
"""

import logging
from collections.abc import Sequence
from datetime import datetime, timedelta

from sqlalchemy import Connection, delete, exists, select
from sqlalchemy.exc import IntegrityError

from service.infrastructure.claims import Claim, LeaseLost, claim_rows
from service.infrastructure.db.sessions import SchemeSession
from service.infrastructure.dispatch import put_back
from service.infrastructure.failpoints import failpoint
from service.infrastructure.tasks import JobContext
from service.planning.models import CurrentPlan, Plan, ReplanChunk, ReplanRun
from service.planning.operations.chunks import (
    CHUNKS,
    IN_VIEW,
    chunk_size_at_new_prices,
    close_chunk,
    finish_run,
    next_slot,
    open_chunk,
)
from service.planning.operations.fleet import run_fleet_chunk
from service.planning.operations.gather import prepare_homes
from service.planning.operations.replan import Stored, solve, store

__all__ = ["IN_VIEW", "chunk_size_at_new_prices", "next_slot"]  # for those who start runs

log = logging.getLogger(__name__)
RETRY_DELAYS_S = (1, 5, 30, 120, 600)
KEEP_RUNS = timedelta(days=90)
KEEP_PLANS = timedelta(days=14)
"""Own choice: a plan says when a home is empty, so one that no longer holds goes soon."""


def start_run(
    session: SchemeSession,
    household_ids: Sequence[str],
    *,
    occasion: str,
    reason: str,
    label: str,
    at: datetime,
    chunk_size: int,
    version_id: str | None = None,
    is_urgent: bool = False,
) -> ReplanRun | None:
    """Create a run with its chunks, or return None where this occasion has had its run.

    An urgent run goes before those that wait: somebody looks at the screen, or an outlet was stopped.
    """
    if had_run(session, occasion):
        return None
    ids = sorted(household_ids)
    parts = [ids[start : start + chunk_size] for start in range(0, len(ids), chunk_size)]
    run = ReplanRun(
        occasion=occasion,
        reason=reason,
        label=label,
        version_id=version_id,
        as_of_slot=next_slot(at),
        created_at=at,
        finished_at=None if parts else at,
        household_count=len(ids),
        chunk_count=len(parts),
    )
    try:
        with session.begin_nested():
            session.add(run)
    except IntegrityError:
        return None  # on PostgreSQL another worker may start it at the same moment
    session.add_all(
        ReplanChunk(
            run_id=run.id,
            position=position,
            household_ids=part,
            household_count=len(part),
            **({"not_before_ms": 0} if is_urgent else {}),
        )
        for position, part in enumerate(parts)
    )
    return run


def had_run(session: SchemeSession, occasion: str) -> bool:
    """Tell whether an occasion has had its run."""
    return session.scalar(select(ReplanRun.id).where(ReplanRun.occasion == occasion)) is not None


def run_due_chunks(context: JobContext) -> int:
    """Claim one chunk that is due and see it through; return how many were taken."""
    with context.database.system(write=True) as session:
        claims = claim_rows(session, ReplanChunk, limit=1, lease_ms=context.settings.lease_s * 1000)
    for claim in claims:
        failpoint("chunk.claimed")
        _run_guarded(context, claim)
    return len(claims)


def _run_guarded(context: JobContext, claim: Claim) -> None:
    try:
        if _household_count(context, claim) > context.settings.chunk_size:
            run_fleet_chunk(context, claim)
        else:
            run_chunk(context, claim)
    except LeaseLost:
        log.warning("a chunk was taken over", extra={"chunk": claim.id})
    except Exception:
        log.exception("a chunk failed", extra={"chunk": claim.id})
        put_back(context, ReplanChunk, claim, RETRY_DELAYS_S, "see the log")
        with context.database.fleet(claim.scheme_id) as fleet:
            finish_run(fleet.connection, claim.scheme_id, _run_of(fleet.connection, claim), context.clock.now())


def _household_count(context: JobContext, claim: Claim) -> int:
    """Return how many homes a chunk has: more than are planned at once the usual way go by their short rows."""
    with context.database.scheme(claim.scheme_id, write=False) as session:
        return session.scalars(select(ReplanChunk.household_count).where(ReplanChunk.id == claim.id)).one()


def run_chunk(context: JobContext, claim: Claim) -> Stored:
    """Plan a claimed chunk's homes and store the result together with the chunk's end."""
    with context.database.scheme(claim.scheme_id, write=False) as session:
        work = open_chunk(session, claim, context.clock.now())
        prepared = prepare_homes(session, work.household_ids, as_of_slot=work.as_of_slot)
    solved = solve(prepared)
    failed = sorted(set(work.household_ids) - {each.week.home.id for each in solved})
    failpoint("chunk.planned")
    with context.database.fleet(claim.scheme_id) as fleet:
        stored = store(fleet, solved, as_of_slot=work.as_of_slot, cause=work.cause, at=work.created_at)
        reason = f"not planned: {', '.join(failed)}"[:300] if failed else None
        close_chunk(fleet.connection, claim, work, stored, context.clock.now(), reason=reason)
        failpoint("chunk.before_commit")
    failpoint("chunk.committed")
    return stored


def _run_of(connection: Connection, claim: Claim) -> str:
    statement = select(CHUNKS.c.run_id).where(CHUNKS.c.scheme_id == claim.scheme_id, CHUNKS.c.id == claim.id)
    return str(connection.execute(statement).scalar_one())


def clear_runs(session: SchemeSession, *, before: datetime) -> int:
    """Forget runs that finished long ago; the plans they made stay."""
    gone = session.execute(delete(ReplanRun).where(ReplanRun.finished_at.is_not(None), ReplanRun.finished_at < before))
    return int(gone.rowcount)  # type: ignore[attr-defined]


def clear_plans(session: SchemeSession, *, before: datetime) -> int:
    """Forget plans made long ago that no pointer names."""
    is_named = exists().where(CurrentPlan.scheme_id == Plan.scheme_id, CurrentPlan.plan_id == Plan.id)
    gone = session.execute(
        delete(Plan).where(Plan.computed_at < before, ~is_named).execution_options(synchronize_session=False)
    )
    return int(gone.rowcount)  # type: ignore[attr-defined]
