"""Proof: on random drives the place found for the outlet is as good as the best of a plain search.

The plain search (``drive_oracle``) tries every ``STEP_M`` of every wall. What it counts (cars reached, ways round,
crossings) must nowhere be better than what the service found; the service's own best is judged there again and must
come to the same; and the cable on the ground may be longer by no more than a step for each way.
"""

from __future__ import annotations

import sys
import time
from collections import Counter
from random import Random

import numpy as np

from service.advice.domain.siting.drawing import Drawing
from service.advice.domain.siting.score import ranked
from service.advice.domain.siting.search import CarAtHome, Search
from tests.prove.drive_oracle import Judged, Oracle
from tests.prove.random_drives import random_drive

STEP_M = 0.04
OUR_STEP_M = 0.1
THREAD_M = 1e-6  # what hangs by less is left open: floats
ROUNDED_M = 0.1  # lengths are ranked by whole decimetres


def main(count: int = 500, seed: int = 20_261_129, *, budget_s: float | None = None) -> int:
    """Print one line for ``count`` drives; return 1 if any differs or none was done."""
    rng = Random(seed)
    seen: Counter[str] = Counter()
    ours_s = 0.0
    started = time.perf_counter()
    for number in range(count):
        if budget_s is not None and time.perf_counter() - started > budget_s:
            break
        drawing, cars = random_drive(rng)
        before = time.perf_counter()
        best = our_best(drawing, cars)
        ours_s += time.perf_counter() - before
        faults = compare(drawing, cars, best, seen)
        seen["drives"] += 1
        seen["differ"] += bool(faults)
        for fault in faults:
            print(f"drive {number} of seed {seed}: {fault}", file=sys.stderr)
    print(
        f"drives: {seen['drives']} of {count} random drives, seed {seed}, {seen['differ']} mismatches with every "
        f"{STEP_M} m of every wall (nothing usable {seen['none']}, every car both ways round {seen['all']}, "
        f"some reached {seen['some']}, none reached {seen['nobody']}, a path crossed {seen['crossing']}, "
        f"better than between the steps {seen['between']}); "
        f"ours {ours_s / max(1, seen['drives']) * 1e3:.0f} ms a drive, {time.perf_counter() - started:.0f} s in all"
    )
    return int(seen["differ"] > 0 or seen["drives"] == 0)


def our_best(drawing: Drawing, cars: list[CarAtHome]) -> tuple[Judged, tuple[float, float]] | None:
    """Return what the service's best position comes to and where it is; None where every position is refused."""
    found = Search(drawing, cars).found()
    if found is None:
        return None
    order = ranked(found)
    if not len(order.order):
        return None
    at = int(order.order[0])
    judged = Judged(int(order.cars[at]), int(order.ways[at]), int(order.crossings[at]), float(order.ground_dm[at]) / 10)
    return judged, (float(found.positions.points[at][0]), float(found.positions.points[at][1]))


def compare(
    drawing: Drawing, cars: list[CarAtHome], best: tuple[Judged, tuple[float, float]] | None, seen: Counter[str]
) -> list[str]:
    """Return what differs between the service's best and the plain search's."""
    oracle = Oracle(drawing, cars)
    positions = oracle.positions(STEP_M)
    theirs = oracle.judge(positions[:, :2], longer_m=-THREAD_M) if len(positions) else []
    if best is None:
        seen["none"] += 1
        return ["nothing found, the plain search has positions"] if theirs else []
    ours, point = best
    faults = []
    if not oracle.is_allowed(*point):
        faults.append(f"the best position {point} is refused")
    here = np.array([point])
    (shorter,), (longer,) = oracle.judge(here, longer_m=-THREAD_M), oracle.judge(here, longer_m=THREAD_M)
    if not shorter.counts <= ours.counts <= longer.counts:
        faults.append(f"ours comes to {ours}, judged again {shorter} to {longer}")
    if ours.counts == longer.counts and abs(ours.ground_m - longer.ground_m) > ROUNDED_M:
        faults.append(f"ours is {ours.ground_m} m, judged again {longer.ground_m} m")
    if theirs:
        top = max(theirs, key=lambda each: (each.counts, -each.ground_m))
        if top.counts > ours.counts:
            faults.append(f"ours {ours}, the plain search found {top}")
        if top.counts == ours.counts and ours.ground_m > top.ground_m + ours.ways * OUR_STEP_M + ROUNDED_M:
            faults.append(f"ours {ours.ground_m} m, the plain search found {top.ground_m} m")
        seen["between"] += top.counts < ours.counts
    seen["all"] += ours.ways == 2 * len(cars)
    seen["some"] += 0 < ours.ways < 2 * len(cars)
    seen["nobody"] += ours.ways == 0
    seen["crossing"] += ours.crossings > 0
    return faults


if __name__ == "__main__":
    sys.exit(main())
