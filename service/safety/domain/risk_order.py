"""In which order to visit homes: one whole number out of facts, with its working.

The weights are common practice, no source: they order a day's list, decide nothing about use, and are shown.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from service.common.working import Step, Working

SOURCE: Final = "common practice, no source: the weights only order the list"
STOPPED: Final = 40
NEVER_INSPECTED: Final = 25
OVERDUE: Final = 15
LOST_PEN: Final = 15
SOCKET: Final = 10
A_NIGHT: Final = 3
NIGHTS_MAX: Final = 7
A_WEEK_WAITING: Final = 1
WEEKS_MAX: Final = 10


@dataclass(frozen=True)
class RiskFacts:
    """What of a visit's home and outlets counts; ``nights_a_week`` is of its 13 A sockets, None: not known."""

    is_stopped: bool
    was_never_inspected: bool
    is_overdue: bool
    has_socket: bool
    nights_a_week: int | None
    may_lose_pen_outdoors: bool
    days_waiting: int


def risk_of(facts: RiskFacts) -> tuple[int, Working]:
    """Return the sum of the weights that apply, and each with its reason."""
    parts = tuple(_parts(facts))
    total = sum(weight for weight, _ in parts)
    return total, Working(tuple(step for _, step in parts))


def _parts(facts: RiskFacts) -> Iterator[tuple[int, Step]]:
    if facts.is_stopped:
        yield _part(STOPPED, "a sign, a finding or a failed reading stops use now", "the home cannot charge till then")
    if facts.was_never_inspected:
        yield _part(NEVER_INSPECTED, "an outlet of the visit has no recorded inspection", "nothing is known of it")
    if facts.is_overdue:
        yield _part(OVERDUE, "a recheck of the home is overdue", "what was known has aged")
    if facts.may_lose_pen_outdoors:
        yield _part(
            LOST_PEN,
            "a car stands outdoors, or nobody knows where, on a PME earth or one that is not known",
            "a lost combined conductor would make its body live",
        )
    if facts.has_socket:
        yield _part(SOCKET, "a 13 A socket feeds a car", "it was made for shorter loads than a night's")
        nights = NIGHTS_MAX if facts.nights_a_week is None else min(facts.nights_a_week, NIGHTS_MAX)
        if nights:
            told = "not known, taken as every night" if facts.nights_a_week is None else f"{nights} a week"
            yield _part(A_NIGHT * nights, f"nights on the socket: {told}", f"{A_NIGHT} for each night of a week")
    weeks = min(max(facts.days_waiting, 0) // 7, WEEKS_MAX)
    if weeks:
        yield _part(
            A_WEEK_WAITING * weeks, f"asked for {weeks} weeks ago", f"{A_WEEK_WAITING} a week, at most {WEEKS_MAX}"
        )


def _part(weight: int, what: str, rule: str) -> tuple[int, Step]:
    return weight, Step(what=what, inputs={}, rule=rule, source=SOURCE, result=str(weight))
