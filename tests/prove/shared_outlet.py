"""Proof: shared outlets of random homes against every way to give the turns, and against HiGHS.

Against enumeration unmet energy, cost and turns must be equal, with the stated order of equals. HiGHS
solves a mixed-integer programme in three phases; its turns, planned again in whole numbers, must be
worth exactly the same, and its own figures must agree: whole Wh, costs within 1e-5 pence.
"""

from __future__ import annotations

import sys
import time
from collections import Counter

import numpy as np

from service.planning.domain.turns import SharedHome, TurnPlan, share_outlets, warm_up
from tests.prove.random_homes import random_home
from tests.prove.turn_oracles import TurnProgramme, best_of_all, objective_with

TOLERANCE_P = 1e-5
ENUMERATED = ((2, 1, 8), (2, 1, 8), (3, 1, 8), (4, 1, 7), (2, 2, 5), (3, 2, 4), (4, 2, 4))  # cars, outlets, turns
PROGRAMMED = ((2, 1), (2, 1), (2, 1), (3, 1), (3, 1), (2, 2), (2, 2), (3, 2), (4, 1), (4, 2))
HOMES_A_PROGRAMME = 4


def main(count: int = 2000, seed: int = 20_261_129, *, budget_s: float | None = None) -> int:
    """Print one line of figures for ``count`` homes, or as many as the budget allows; return 1 if any differs.

    Every one is enumerated; for every fourth another home is given to HiGHS.
    """
    rng = np.random.default_rng(seed)
    seen: Counter[str] = Counter()
    largest_p = ours_s = 0.0
    warm_up()
    started = time.perf_counter()
    for number in range(count):
        if budget_s is not None and time.perf_counter() - started > budget_s:
            break
        cars, outlets, turns = ENUMERATED[rng.integers(len(ENUMERATED))]
        home = random_home(rng, cars=cars, outlets=outlets, most_turns=turns)
        began = time.perf_counter()
        plan = share_outlets(home)
        ours_s += time.perf_counter() - began
        best = best_of_all(home)
        is_equal = (plan.objective, plan.holders) == (best.objective, best.holders) and _is_what_it_says(home, plan)
        seen.update(["enumerated", *_kinds(home, plan)])
        seen["ways"] += best.ways
        if not is_equal:
            seen["mismatch with enumeration"] += 1
            print(f"home {number} of seed {seed}: {plan.objective} against {best.objective}", file=sys.stderr)
        if number % HOMES_A_PROGRAMME:
            continue
        cars, outlets = PROGRAMMED[rng.integers(len(PROGRAMMED))]
        home = random_home(rng, cars=cars, outlets=outlets)
        plan = share_outlets(home)
        answer = TurnProgramme(home).solve()
        difference_p = abs(answer.cost_p - plan.objective.cost_np / 1e9)
        largest_p = max(largest_p, difference_p)
        again = objective_with(home, answer.holders)
        agrees = answer[1:3] == plan.objective[:2] and difference_p <= TOLERANCE_P
        seen.update(["programmed", *(f"programmed: {kind}" for kind in _kinds(home, plan))])
        if again != plan.objective or not agrees or not _is_what_it_says(home, plan):
            seen["mismatch with HiGHS"] += 1
            print(f"home {number} of seed {seed}: {plan.objective}, HiGHS {answer[1:]}, again {again}", file=sys.stderr)
    mismatches = seen["mismatch with enumeration"] + seen["mismatch with HiGHS"]
    print(
        f"shared_outlet: {seen['enumerated']} of {count} homes, seed {seed}, "
        f"{seen['mismatch with enumeration']} mismatches with enumeration of {seen['ways']} ways "
        f"({_listed(seen, '')}); {seen['programmed']} homes of 7 or 8 turns, {seen['mismatch with HiGHS']} mismatches "
        f"with HiGHS (largest cost difference {largest_p:.1e} p; {_listed(seen, 'programmed: ')}); "
        f"{ours_s / max(1, seen['enumerated']) * 1e3:.2f} ms a home, {time.perf_counter() - started:.1f} s in all"
    )
    return 1 if mismatches or not seen["programmed"] else 0


def _is_what_it_says(home: SharedHome, plan: TurnPlan) -> bool:
    """Return whether a plan is called proven and its turns are worth what it says."""
    return plan.is_proven and objective_with(home, plan.holders) == plan.objective == plan.bound


def _kinds(home: SharedHome, plan: TurnPlan) -> list[str]:
    kinds = {
        "unmet": plan.objective.unmet_wh > 0,
        "important unmet": plan.objective.important_unmet_wh > 0,
        "negative prices": home.tables.negative_count > 0,
        "two outlets": home.outlets == 2,
        **{f"{count} cars": len(home.cars) == count for count in (2, 3, 4)},
        **{f"{count} half-hours": home.tables.count == count for count in (334, 336, 338)},
    }
    return [name for name, holds in kinds.items() if holds]


def _listed(seen: Counter[str], prefix: str) -> str:
    names = ["2 cars", "3 cars", "4 cars", "two outlets", "unmet", "important unmet", "negative prices"]
    names += [f"{count} half-hours" for count in (334, 336, 338)]
    return ", ".join(f"{name} {seen[prefix + name]}" for name in names)


if __name__ == "__main__":
    sys.exit(main(*(int(argument) for argument in sys.argv[1:])))
