"""Compile the planner's kernels once, on two processes, before several test processes would each compile them.

``python -m tests.warm_kernels``; what is compiled already takes a second.
"""

from __future__ import annotations

import sys
from multiprocessing import get_context

from service.planning.domain import block_kernel, packed_weeks, path_kernel, start_loss, supply_flow, turns

HALVES = (
    (path_kernel.warm_up, block_kernel.warm_up, turns.warm_up, packed_weeks.warm_up),
    (start_loss.warm_up, supply_flow.warm_up),
)


def _warm(half: int) -> None:
    for warm_up in HALVES[half]:
        warm_up()


def main() -> int:
    """Compile both halves side by side."""
    with get_context("spawn").Pool(len(HALVES)) as pool:
        pool.map(_warm, range(len(HALVES)))
    return 0


if __name__ == "__main__":
    sys.exit(main())
