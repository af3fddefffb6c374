"""What the worker runs for advice: reckon what works at a home would change, a few homes at a time."""

from __future__ import annotations

from service.advice.operations import upgrade_standings
from service.infrastructure.tasks import JobContext

HOMES_A_TICK = 40
"""Own choice: about two seconds of planning, so that nothing else the clock asks for waits long."""
HOMES_A_WRITE = 20


def reckon_upgrades(context: JobContext) -> int:
    """Reckon the homes that are due, at most ``HOMES_A_TICK``; planned in a reading session, written in a short one."""
    at = context.clock.now()
    with context.database.system(write=False) as system:
        schemes = upgrade_standings.schemes_with_homes(system)
    left = HOMES_A_TICK
    for scheme_id in schemes:
        while left > 0:
            with context.database.scheme(scheme_id, write=False) as session:
                due = upgrade_standings.due_homes(session, at=at, limit=min(left, HOMES_A_WRITE))
                kept = upgrade_standings.reckon(session, due, at=at) if due else {}
            if not kept:
                break
            with context.database.scheme(scheme_id, write=True) as session:
                upgrade_standings.keep(session, kept, at=at)
            left -= len(kept)
    return HOMES_A_TICK - left
