"""What a year of an appliance's runs costs at each start of the day, exactly, at the home's own prices.

Each local day with all its prices known counts once; runs are spread over them evenly, and a year is 52 weeks. On a day
whose clock skips the start, the run begins an hour later; what goes past midnight is bought at the next day's prices.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final
from zoneinfo import ZoneInfo

from service.advice.domain.appliances import HALF_HOURS_A_DAY, Run
from service.advice.domain.charged_prices import PaidPrices
from service.common.slots import instant_at, slot_index
from service.common.units import MINUTES_PER_HALF_HOUR
from service.planning.domain.worth import WEEKS_A_YEAR

LEAST_DAYS: Final = 28
"""Own choice: fewer days with all their prices known say nothing of a year."""
NP_PER_UP: Final = 1_000


@dataclass(frozen=True)
class YearOfRuns:
    """The exact cost of a year of runs by start, a place for each half-hour of the day [1e-6 p], over ``days`` days."""

    cost_up: tuple[Fraction, ...]
    days: int

    def saving_up(self, usual: int, start: int) -> Fraction:
        """Return what starting at another half-hour of the day saves in a year; below nought it costs more."""
        return self.cost_up[usual] - self.cost_up[start]


def year_of_runs(run: Run, prices: PaidPrices, zone: ZoneInfo) -> YearOfRuns | None:
    """Return the year, or None where fewer than ``LEAST_DAYS`` days have all their prices.

    A day counts only if every start of it can be priced to its end, so that starts are compared over the same days;
    the last day of the prices is there for runs that go past the midnight before it, and does not count.
    """
    totals = [0] * HALF_HOURS_A_DAY
    count = 0
    for on, _ in prices.days[:-1]:
        costs = []
        for start in range(HALF_HOURS_A_DAY):
            first = slot_index(instant_at(on, start * MINUTES_PER_HALF_HOUR, zone))
            cost = _run_np(run.half_hours_wh, prices, first)
            if cost is None:
                break
            costs.append(cost)
        if len(costs) == HALF_HOURS_A_DAY:
            count += 1
            totals = [total + cost for total, cost in zip(totals, costs, strict=True)]
    if count < LEAST_DAYS:
        return None
    runs = run.runs_a_week * WEEKS_A_YEAR
    return YearOfRuns(tuple(Fraction(total * runs, count * NP_PER_UP) for total in totals), count)


def _run_np(half_hours_wh: Sequence[int], prices: PaidPrices, first: int) -> int | None:
    """Return what one run costs [1e-9 p], None where a price is missing."""
    total = 0
    for step, wh in enumerate(half_hours_wh):
        price = prices.price(first + step)
        if price is None:
            return None
        total += price * wh
    return total
