"""Proof: in no combination of evidence of an outlet, its lead and an extension lead may a car charge that should not.

The same walk as the tests', which draw a share of it: every state of inspections with every look.
"""

from __future__ import annotations

import sys
import time

from tests.service.safety.domain.test_verdicts import (
    CLEAR_LOOKS,
    EXTENSIONS,
    LEAD_TESTS,
    OTHER_LOOKS,
    states_of_inspections,
    walk,
)

WHOLE_WITHIN_S = 90
"""What the whole walk may take; given less, that share of the looks is drawn."""


def main(budget_s: float | None = None) -> int:
    """Print one line of figures; return 1 where the walk left states out. A wrong answer is raised with its state."""
    share = 1.0 if budget_s is None else min(1.0, budget_s / WHOLE_WITHIN_S)
    drawn = round(share * len(OTHER_LOOKS))
    seed = int(time.time())
    began = time.perf_counter()
    walks = {use: walk(use, drawn=drawn, seed=seed) for use in EXTENSIONS}
    states, allowed = sum(each.states for each in walks.values()), sum(each.allowed for each in walks.values())
    expected = len(EXTENSIONS) * states_of_inspections() * (len(CLEAR_LOOKS) + drawn) * len(LEAD_TESTS)
    print(
        f"safety_states: {states} states, {allowed} may charge, {drawn} of {len(OTHER_LOOKS)} other looks each"
        f"{'' if drawn == len(OTHER_LOOKS) else f' (cut, seed {seed})'}, {time.perf_counter() - began:.0f} s"
    )
    return int(states != expected or not 0 < allowed < states // 100)


if __name__ == "__main__":
    sys.exit(main())
