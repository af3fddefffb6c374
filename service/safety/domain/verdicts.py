"""Clearance put together from rules: each says how much it allows at most, and none can make another milder."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo

from service.common.slots import instant_at
from service.common.working import Step, Working
from service.safety.domain.levels import Clearance, worst_of
from service.safety.domain.needs import Need


@dataclass(frozen=True, slots=True)
class Part:
    """What one rule says of an item.

    ``limit_a`` [A] and ``until_on`` (its local midnight ends it) are None where the rule sets none. ``next_step``
    is what to do if this rule decides, or, where charging is allowed, what to do before ``until_on``.
    """

    clearance: Clearance
    steps: tuple[Step, ...]
    evidence: str = ""
    missing: tuple[str, ...] = ()
    needs: tuple[Need, ...] = ()
    next_step: str = ""
    limit_a: int | None = None
    until_on: date | None = None


@dataclass(frozen=True, slots=True)
class Whole:
    """The parts as one answer; ``limit_a`` and ``valid_until`` are None unless charging is allowed."""

    clearance: Clearance
    limit_a: int | None
    valid_until: datetime | None
    evidence: str
    missing: tuple[str, ...]
    needs: tuple[Need, ...]
    next_step: str
    working: Working


def put_together(parts: Sequence[Part], zone: ZoneInfo) -> Whole:
    """Return the worst of the parts, with the least current and the earliest end; the first of equals has the word."""
    clearance = worst_of(part.clearance for part in parts)
    ends = [part for part in parts if part.until_on is not None]
    limit_a, valid_until, deciding = None, None, next(part for part in parts if part.clearance is clearance)
    if clearance.allows_charging:
        limit_a = min((part.limit_a for part in parts if part.limit_a is not None), default=None)
        if ends:
            deciding = min(ends, key=lambda part: part.until_on or date.max)
            valid_until = instant_at(deciding.until_on, 0, zone) if deciding.until_on else None
    return Whole(
        clearance,
        limit_a,
        valid_until,
        "; ".join(part.evidence for part in parts if part.evidence),
        tuple(dict.fromkeys(words for part in parts for words in part.missing)),
        tuple(dict.fromkeys(need for part in parts for need in part.needs)),
        deciding.next_step,
        Working(tuple(step for part in parts for step in part.steps)),
    )
