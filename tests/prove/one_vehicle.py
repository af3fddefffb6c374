"""Proof: plans of random one-vehicle households against HiGHS, shortfall first, then cost.

Both must be equal as whole numbers: what HiGHS draws in each half-hour is rounded to whole Wh and priced
exactly again. The weeks go through ``week.plan_household``; the oracle builds its own programme from the
same whole inputs.
"""

from __future__ import annotations

import sys
import time
from collections import Counter

import numpy as np

from service.planning.domain.household_week import HouseholdWeek
from service.planning.domain.week import plan_household
from tests.prove.random_weeks import RandomWeek, random_week
from tests.prove.week_lp import WeekProgramme, optimum, week_programme

TOLERANCE_P = 1e-6


def main(count: int = 5000, seed: int = 20_261_125, *, budget_s: float | None = None) -> int:
    """Print one line of figures for ``count`` households, or as many as the budget allows; return 1 if any differs."""
    rng = np.random.default_rng(seed)
    seen: Counter[str] = Counter()
    largest_p = planning_s = 0.0
    started = time.perf_counter()
    done = 0
    for number in range(count):
        if budget_s is not None and time.perf_counter() - started > budget_s:
            break
        done += 1
        drawn = random_week(rng)
        week = drawn.week
        began = time.perf_counter()
        plan = plan_household(week).vehicles[0]
        planning_s += time.perf_counter() - began
        programme = week_programme(week.vehicles[0], week.prices)
        best = optimum(programme, week.prices.tables.price_up)
        cost_np = planned_cost_np(week)
        difference_p = abs(cost_np / 1e9 - best.cost_p)
        largest_p = max(largest_p, difference_p)
        is_equal = plan.unmet_wh == best.unmet_wh and cost_np == best.cost_np and difference_p <= TOLERANCE_P
        seen.update(_kinds(drawn, programme, plan.unmet_wh, is_equal))
        if not is_equal:
            print(
                f"household {number} of seed {seed}: short {plan.unmet_wh} Wh against {best.unmet_wh}, "
                f"cost {cost_np / 1e9:.9f} p against {best.cost_p:.9f}",
                file=sys.stderr,
            )
    print(
        f"one_vehicle: {done} of {count} households, seed {seed}, {seen['mismatch']} mismatches with HiGHS "
        f"in whole Wh and nano-pence (largest difference from its unrounded cost {largest_p:.1e} p), "
        f"unmet needs {seen['unmet']}, negative prices {seen['negative']}, zero headroom {seen['zero headroom']}, "
        f"46-slot day {seen['shorter']}, 50-slot day {seen['longer']} "
        f"(whole weeks of 334/336/338 half-hours: {seen['334']}/{seen['336']}/{seen['338']}), "
        f"evidence ends in the week {seen['evidence']}, no outlet {seen['no outlet']}, "
        f"{planning_s:.2f} s planning, {time.perf_counter() - started:.1f} s in all"
    )
    return 1 if seen["mismatch"] or not done else 0


def planned_cost_np(week: HouseholdWeek) -> int:
    """Return what the first vehicle's blocks cost, stand-in prices included, as the solver weighs it [1e-9 p]."""
    plan = plan_household(week).vehicles[0]
    return sum(
        week.prices.price_up[slot - week.prices.first_slot] * energy
        for block in plan.blocks
        for slot, energy in enumerate(block.energy_wh, start=block.first_slot)
    )


def _kinds(drawn: RandomWeek, programme: WeekProgramme, unmet_wh: int, is_equal: bool) -> list[str]:
    prices, vehicle = drawn.week.prices, drawn.week.vehicles[0]
    kinds = {
        "mismatch": not is_equal,
        "zero headroom": any(
            least == most for least, most in zip(programme.lower_wh, programme.upper_wh, strict=True)
        ),
        "unmet": unmet_wh > 0,
        "negative": prices.tables.negative_count > 0,
        "shorter": drawn.clock_change_slots > 0,
        "longer": drawn.clock_change_slots < 0,
        "evidence": prices.first_slot < vehicle.usable_until_slot < prices.end_slot,
        "no outlet": not vehicle.has_outlet,
        str(prices.count): True,
    }
    return [name for name, holds in kinds.items() if holds]


if __name__ == "__main__":
    sys.exit(main(*(int(argument) for argument in sys.argv[1:])))
