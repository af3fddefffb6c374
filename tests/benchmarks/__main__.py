"""Run the benchmarks; print one JSON object a line.

A ratio is the reference's time over ours, the median of interleaved rounds in this very run.
"""

from __future__ import annotations

import argparse
import json
import sys

from tests.benchmarks import (
    plan_one_block,
    plan_one_car,
    plan_shared_outlet,
    plan_shared_supply,
    replan_fleet,
    replan_million,
    requests_a_second,
)

MODULES = (
    plan_one_car,
    plan_one_block,
    plan_shared_outlet,
    plan_shared_supply,
    replan_fleet,
    replan_million,
    requests_a_second,
)


def main() -> int:
    """Print every row; fail if any result differs from its reference."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--size", choices=("small", "full"), default="full")
    size = parser.parse_args().size
    mismatches = 0
    for module in MODULES:
        for row in module.rows(size):
            mismatches += row["mismatches"] or 0
            print(json.dumps(row), flush=True)
    return int(mismatches > 0)


if __name__ == "__main__":
    sys.exit(main())
