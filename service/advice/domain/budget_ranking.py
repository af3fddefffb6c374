"""Which homes first for a budget: stopped homes in order of risk, then the best set of the others.

Safety is not weighed against money.  Homes that charging is stopped in come first as far as the budget goes, the
riskiest first; only what is left is spent where it avoids most shortfall, and then saves most.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from enum import StrEnum
from typing import Final

from service.advice.domain.budget import Chosen, Work, best_set
from service.advice.domain.upgrade_verdict import Weighed, best_replacement
from service.advice.domain.upgrade_words import kwh, pounds_of
from service.common.errors import Fault, Rejected
from service.common.units import PENCE_PER_POUND
from service.common.working import Step
from service.safety.domain.levels import Clearance

BUDGET_POUNDS_MAX: Final = 10_000_000
"""Own bound: beyond any scheme's budget for outlets at home."""
CHECK_FIRST: Final = "; its clearance is not known, so a check of what is there comes first"
SOURCE: Final = "rule of this service"


class Place(StrEnum):
    """What a home's place in the list rests on, the first first."""

    SAFETY = "safety"
    CHOSEN = "chosen"
    NOT_REACHED = "not_reached"
    NO_GAIN = "no_gain"
    NOT_KNOWN = "not_known"
    NOT_RECKONED = "not_reckoned"


@dataclass(frozen=True, slots=True)
class SchemeHome:
    """A home with its works weighed; ``weighed`` is None while it is not reckoned.

    ``risk`` orders stopped homes; ``no_question`` says why there is nothing to weigh, "" where there is.
    """

    household_id: str
    reference: str
    clearance: str
    is_stopped: bool
    risk: int
    weighed: tuple[Weighed, ...] | None
    no_question: str
    reckoned_at: datetime | None


@dataclass(frozen=True, slots=True)
class RankedHome:
    """A home in its place: the work meant for it, whether the budget pays for it, and why."""

    rank: int
    home: SchemeHome
    place: Place
    work: Weighed | None
    is_paid_for: bool
    why: str


@dataclass(frozen=True, slots=True)
class Ranking:
    """The homes in order, what is spent of the budget [whole pounds], and how the choice was made."""

    rows: tuple[RankedHome, ...]
    budget_pounds: int
    spent_pounds: int
    avoided_wh: int
    worth_pence: int
    counts: Mapping[Place, int]
    steps: tuple[Step, ...]


def rank_homes(homes: Sequence[SchemeHome], budget_pounds: int) -> Ranking:
    """Return the homes of a scheme in the order in which a budget should reach them; raises ``Rejected``."""
    if not 0 <= budget_pounds <= BUDGET_POUNDS_MAX:
        rule = f"must lie between 0 and {BUDGET_POUNDS_MAX} pounds"
        raise Rejected(Fault("budget_pounds", budget_pounds, rule))
    stopped = sorted((home for home in homes if home.is_stopped), key=lambda home: (-home.risk, home.reference))
    others = [home for home in homes if not home.is_stopped]
    first, spent = _safety(stopped, budget_pounds)
    left = budget_pounds - spent
    works = [_open_works(home) for home in others]
    chosen = best_set([[work for _, work in each] for each in works], left)
    rest = [
        _placed(home, open_works, place) for home, open_works, place in zip(others, works, chosen.places, strict=True)
    ]
    rest.sort(key=_order)
    rows = tuple(RankedHome(rank, *each) for rank, each in enumerate([*first, *rest], start=1))
    paid = [row.work for row in rows if row.is_paid_for and row.work is not None]
    return Ranking(
        rows,
        budget_pounds,
        spent + chosen.spent_pounds,
        sum(each.yearly.avoided_wh for each in paid),
        sum(each.pay.worth_pence for each in paid if each.pay is not None),
        {place: sum(row.place is place for row in rows) for place in Place},
        _steps(budget_pounds, spent, first, chosen, works),
    )


_Placed = tuple[SchemeHome, Place, Weighed | None, bool, str]


def cost_pounds(weighed: Weighed) -> int:
    """Return what a work costs in whole pounds, rounded up: a budget must never be short of pence."""
    return -(-(weighed.cost.pence or 0) // PENCE_PER_POUND)


def _safety(stopped: Sequence[SchemeHome], budget_pounds: int) -> tuple[list[_Placed], int]:
    placed: list[_Placed] = []
    spent = 0
    for home in stopped:
        work = best_replacement(home.weighed or ())
        if work is None:
            why = home.no_question or "charging is stopped; what putting it right costs is not known here"
            placed.append((home, Place.SAFETY, None, False, why))
            continue
        cost = cost_pounds(work)
        is_paid = spent + cost <= budget_pounds
        spent += cost if is_paid else 0
        why = f"charging is stopped: safety comes before money (risk {home.risk}); an electrician says what is needed"
        placed.append((home, Place.SAFETY, work, is_paid, why if is_paid else f"{why}; beyond what is left"))
    return placed, spent


def _open_works(home: SchemeHome) -> list[tuple[Weighed, Work]]:
    return [
        (each, Work(cost_pounds(each), each.yearly.avoided_wh, each.pay.worth_pence))
        for each in home.weighed or ()
        if each.pay is not None
    ]


def _placed(home: SchemeHome, open_works: Sequence[tuple[Weighed, Work]], place: int | None) -> _Placed:
    if home.weighed is None:
        return home, Place.NOT_RECKONED, None, False, "not reckoned yet"
    if home.no_question:
        return home, Place.NO_GAIN, None, False, home.no_question
    if place is not None:
        return home, Place.CHOSEN, open_works[place][0], True, _why(home, open_works[place][0])
    if not open_works:
        return home, Place.NOT_KNOWN, None, False, "a cost, or a price of the coming week, is not known"
    best, work = max(open_works, key=lambda each: (each[1].value, -each[1].cost_pounds))
    if work.value > (0, 0):
        return home, Place.NOT_REACHED, best, False, f"{_why(home, best)}; other homes do more with the money"
    return home, Place.NO_GAIN, None, False, "no work avoids any shortfall or pays back"


def _why(home: SchemeHome, weighed: Weighed) -> str:
    avoided = weighed.yearly.avoided_wh
    closed = f"avoids {kwh(avoided)} of shortfall a year; " if avoided > 0 else ""
    check = CHECK_FIRST if home.clearance == Clearance.NOT_KNOWN else ""
    return f"{closed}{weighed.words}{check}"


def _order(placed: _Placed) -> tuple[int, bool, Decimal, int, str]:
    """Return the key of the list: by place, then the quickest payback, then the most shortfall avoided."""
    home, place, work, _, _ = placed
    years = work.pay.simple_years if work and work.pay else None
    avoided = work.yearly.avoided_wh if work else 0
    return list(Place).index(place), years is None, years or Decimal(0), -avoided, home.reference


def _steps(
    budget_pounds: int,
    spent: int,
    first: Sequence[_Placed],
    chosen: Chosen,
    works: Sequence[Sequence[tuple[Weighed, Work]]],
) -> tuple[Step, ...]:
    paid = sum(is_paid for *_, is_paid, _ in first)
    open_count = sum(bool(each) for each in works)
    exact = "exact: no other set is better" if chosen.is_exact else "costs rounded up to whole units: near the best"
    return (
        Step(
            "Homes that charging is stopped in",
            {"budget": pounds_of(budget_pounds * PENCE_PER_POUND), "homes": str(len(first))},
            "in order of risk, each paid for where what is left is enough; never weighed against saving",
            SOURCE,
            f"{paid} of {len(first)} paid for, {pounds_of(spent * PENCE_PER_POUND)}",
        ),
        Step(
            "The others",
            {
                "left": pounds_of((budget_pounds - spent) * PENCE_PER_POUND),
                "homes with a known work": str(open_count),
                "money counted in": pounds_of(chosen.unit_pounds * PENCE_PER_POUND),
            },
            "of all sets within what is left the one that avoids most shortfall, then is worth most, then costs least;"
            f" found by dynamic programming over money ({exact})",
            SOURCE,
            f"{sum(place is not None for place in chosen.places)} homes,"
            f" {pounds_of(chosen.spent_pounds * PENCE_PER_POUND)}",
        ),
    )
