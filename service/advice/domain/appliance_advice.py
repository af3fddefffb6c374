"""Which appliances to move, when to, and what that adds in a year; where nothing fits, why not.

One after the other, in the order they are stated: what is suggested for one counts as load for the next.  Of the starts
that pass every check the cheapest is taken, the earliest in the day where several are.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from fractions import Fraction
from typing import Final
from zoneinfo import ZoneInfo

from service.advice.domain.appliance_checks import BARRIER_WORDS, Barrier, HomeLimits, barrier_of
from service.advice.domain.appliance_costs import LEAST_DAYS, YearOfRuns, year_of_runs
from service.advice.domain.appliances import HALF_HOURS_A_DAY, Run, clock
from service.advice.domain.charged_prices import PaidPrices
from service.common.money import format_pence, round_half_up
from service.common.units import MINUTES_PER_HALF_HOUR, WH_PER_KWH
from service.common.working import Step
from service.planning.domain.house_load import NO_PROTECTION
from service.planning.domain.worth import WEEKS_A_YEAR

CAUTIONS: Final = (
    "Never leave a dishwasher, washing machine or tumble dryer on while you sleep or are out: they start fires. Have a "
    "working smoke alarm where you would hear it.",
    "A delay timer does not make a run safe overnight: start it when somebody is awake and at home.",
    "This is about prices only. It is no statement on your wiring: only a competent electrician on site can pass that. "
    "Where anything smells, is warm or trips, stop and switch off.",
)
"""Always shown. Fire safety: common practice of fire and rescue services, from memory."""


class Move(StrEnum):
    """What to do with an appliance."""

    MOVE = "move"
    STAY = "stay"  # no start that fits is cheaper
    NOT_SUGGESTED = "not_suggested"  # a cheaper start exists, and none of them may be suggested
    NOT_KNOWN = "not_known"  # there are no prices to go by


@dataclass(frozen=True)
class ApplianceAdvice:
    """Advice on one appliance; starts are half-hours of the local day, money is 1e-6 p a year."""

    run: Run
    move: Move
    headline: str
    usual_start: int
    start: int | None
    yearly_cost_up: int | None
    yearly_saving_up: int | None
    barriers: tuple[Barrier, ...]
    steps: tuple[Step, ...]


def advise(runs: Sequence[Run], prices: PaidPrices, limits: HomeLimits, zone: ZoneInfo) -> list[ApplianceAdvice]:
    """Return advice on each appliance, in order.

    Of the others each counts where it is suggested, or at its usual start as long as nothing is suggested for it.
    """
    starts = [run.starts_at for run in runs]
    found = []
    for place, run in enumerate(runs):
        others = [(other, start) for at, (other, start) in enumerate(zip(runs, starts, strict=True)) if at != place]
        within = replace(limits, others_w=_together_w(others))
        advice = _advise(run, year_of_runs(run, prices, zone), within, ", ".join(prices.names))
        if advice.start is not None:
            starts[place] = advice.start
        found.append(advice)
    return found


def _together_w(runs: Sequence[tuple[Run, int]]) -> tuple[int, ...]:
    """Return the power of some runs at their starts, by half-hour of the day."""
    watts = [0] * HALF_HOURS_A_DAY
    for run, start in runs:
        for step in range(run.half_hours):
            watts[(start + step) % HALF_HOURS_A_DAY] += run.power_w
    return tuple(watts)


def _advise(run: Run, year: YearOfRuns | None, limits: HomeLimits, tariff: str) -> ApplianceAdvice:
    usual = run.starts_at
    figures = tuple(
        Step(f"{run.label}: {what}", {}, "figure used", source, value) for what, value, source in run.figures
    )
    if year is None:
        words = f"Fewer than {LEAST_DAYS} days have a price for every half-hour."
        return ApplianceAdvice(run, Move.NOT_KNOWN, words, usual, None, None, None, (), figures)
    cheaper = [start for start in range(HALF_HOURS_A_DAY) if year.saving_up(usual, start) > 0]
    barriers = {start: barrier_of(run, start, limits) for start in cheaper}
    fitting = [start for start in cheaper if barriers[start] is None]
    told = tuple(dict.fromkeys(each for each in Barrier for barrier in barriers.values() if barrier is each))
    cost_up = _rounded(year.cost_up[usual])
    if fitting:
        start = min(fitting, key=lambda each: (year.cost_up[each], each))
        saving = year.saving_up(usual, start)
        words = f"Start it at {_at(start)} instead of {_at(usual)}, while somebody is awake and at home."
        steps = (*figures, *_steps(run, year, start, saving, limits, tariff))
        return ApplianceAdvice(run, Move.MOVE, words, usual, start, cost_up, _rounded(saving), told, steps)
    if not cheaper:
        words = f"{_at(usual)} is already as cheap as any other start."
        return ApplianceAdvice(run, Move.STAY, words, usual, None, cost_up, 0, (), figures)
    reasons = "; ".join(BARRIER_WORDS[each] for each in told)
    words = f"Every cheaper start is barred: {reasons}."
    steps = (*figures, *_barrier_steps(run, list(barriers.values()), len(cheaper)))
    return ApplianceAdvice(run, Move.NOT_SUGGESTED, words, usual, None, cost_up, None, told, steps)


def _steps(
    run: Run, year: YearOfRuns, start: int, saving: Fraction, limits: HomeLimits, tariff: str
) -> Iterator[Step]:
    yield Step(
        f"{run.label}: a year of runs",
        {
            "runs": f"{run.runs_a_week} a week, {WEEKS_A_YEAR} weeks",
            "energy of a run": f"{run.run_wh / WH_PER_KWH:g} kWh, evenly over {run.half_hours} half-hours",
            f"cost at {_at(run.starts_at)}": f"{format_pence(_rounded(year.cost_up[run.starts_at]))} p",
            f"cost at {_at(start)}": f"{format_pence(_rounded(year.cost_up[start]))} p",
        },
        f"each half-hour's energy x its price, VAT included, averaged over {year.days} local days with all their "
        "prices known; exact, rounded once",
        tariff or "no tariff",
        f"{format_pence(_rounded(saving))} p saved a year",
    )
    places = [(start + step) % HALF_HOURS_A_DAY for step in range(run.half_hours)]
    load_w = max(limits.load_w[place] for place in places) if limits.load_w else 0
    yield Step(
        f"{run.label}: within circuit and supply at {_at(start)}",
        {
            "fuse": f"{limits.fuse_a} A",
            "house, at most": f"{load_w} W",
            "cars, at most": f"{max(limits.car_w[place] for place in places)} W",
            "other appliances, at most": f"{max(limits.others_w[place] for place in places)} W",
            "this appliance": f"{run.power_w} W",
        },
        "in each half-hour: house, cars as planned this week, other appliances and this one on one phase are no more "
        "than fuse x 230 V less a fifth; where a car charges, its circuit carries car and appliances together, or a "
        f"charging point is all there is on it. {NO_PROTECTION}",
        "declared voltage: ESQCR 2002 reg. 27; the fifth kept free: own choice, no source",
        "fits",
    )


def _barrier_steps(run: Run, found: Sequence[Barrier | None], count: int) -> Iterator[Step]:
    yield Step(
        f"{run.label}: why no cheaper start is suggested",
        {BARRIER_WORDS[each]: f"{found.count(each)} of {count} starts" for each in Barrier if each in found},
        "of each cheaper start the first reason that holds",
        "rules of this service",
        "not suggested",
    )


def _at(start: int) -> str:
    return clock(start * MINUTES_PER_HALF_HOUR)


def _rounded(up: Fraction) -> int:
    return round_half_up(up.numerator, up.denominator)
