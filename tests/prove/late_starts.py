"""Proof: free half-hours in which every start loses energy, against HiGHS as a mixed-integer programme.

A few days each, since HiGHS takes long over them; prices from 0 up. Small cases with prices below
zero are enumerated in the tests.
"""

from __future__ import annotations

import sys
import time

import numpy as np

from service.planning.domain.path_kernel import price_tables
from service.planning.domain.start_loss import cheapest_plan_with_start_loss, warm_up
from tests.prove.block_oracle import BlockCase, BlockProgramme

TOLERANCE_P = 1e-5


def main(count: int = 60, seed: int = 20_261_128, *, budget_s: float | None = None) -> int:
    """Print one line for ``count`` households, or as many as the budget allows; return 1 if any differs."""
    rng = np.random.default_rng(seed)
    done = mismatches = with_unmet = with_restarts = in_units = 0
    largest_p = ours_s = highs_s = 0.0
    warm_up()
    started = time.perf_counter()
    for number in range(count):
        if budget_s is not None and time.perf_counter() - started > budget_s:
            break
        done += 1
        case = days_case(rng)
        tables = price_tables(case.price_up)
        began = time.perf_counter()
        plan = cheapest_plan_with_start_loss(tables, case.lower_wh, case.upper_wh, case.windows, case.start_loss_wh)
        between = time.perf_counter()
        programme = BlockProgramme(case, is_free=True)
        unmet_wh = programme.least_unmet()
        answer = programme.least_cost(unmet_wh)
        highs_s += time.perf_counter() - between
        ours_s += between - began
        difference_p = abs(answer.cost_p - int(plan.cost_np[0]) / 1e9)
        largest_p = max(largest_p, difference_p)
        is_equal = int(plan.unmet_wh.sum()) == unmet_wh and difference_p <= TOLERANCE_P
        mismatches += not is_equal
        with_unmet += unmet_wh > 0
        with_restarts += bool(plan.begins_run.sum() > sum(bool(group) for group in case.windows))
        in_units += case.start_loss_wh % 20 == 0
        if not is_equal:
            print(
                f"household {number} of seed {seed}: {plan.unmet_wh.sum()} Wh, {plan.cost_np[0] / 1e9} p; "
                f"HiGHS {unmet_wh} Wh, {answer.cost_p} p",
                file=sys.stderr,
            )
    print(
        f"late_starts: {done} of {count} households of 3 days, seed {seed}, {mismatches} mismatches with HiGHS "
        f"(largest cost difference {largest_p:.1e} p), unmet {with_unmet}, more runs than stays {with_restarts}, "
        f"loss on whole 20 Wh {in_units}; ours {ours_s / max(1, done) * 1e3:.1f} ms, "
        f"HiGHS {highs_s / max(1, done) * 1e3:.0f} ms, {time.perf_counter() - started:.0f} s in all"
    )
    return 1 if mismatches or not done else 0


def days_case(rng: np.random.Generator) -> BlockCase:
    """Return three days with a stay each night; bounds and loss on whole 20 Wh in half of the cases."""
    cap_wh, unit = int(rng.choice([1150, 1840, 3680])), int(rng.choice([1, 20]))
    if cap_wh % unit:
        unit = 10
    spans = [(int(rng.integers(34, 42)) + 48 * day, int(rng.integers(60, 66)) + 48 * day) for day in range(3)]
    need = np.cumsum(rng.integers(0, int(cap_wh * rng.choice([8, 16, 28])), 3))
    lower = need // unit * unit
    upper = (need + rng.integers(0, cap_wh * 12, 3)) // unit * unit
    loss = int(rng.integers(0, cap_wh // 2)) // unit * unit
    centre = np.repeat(rng.integers(5, 30, 41), 4) * 1_000_000
    prices = np.maximum(0, centre + rng.integers(-4_000_000, 4_000_000, len(centre)))
    windows = [[(first, end, cap_wh)] for first, end in spans]
    return BlockCase(prices.tolist(), lower.tolist(), upper.tolist(), windows, [[0], [1], [2]], loss)


if __name__ == "__main__":
    sys.exit(main(*(int(argument) for argument in sys.argv[1:])))
