"""Random homes whose cars share outlets, for proofs: scarce turns, journeys that matter, caps that differ by outlet.

Bounds and windows are drawn in half-hours without the service's own segments; prices and days are
those of ``random_weeks``. Everything follows from the generator given.
"""

from __future__ import annotations

from datetime import timedelta

import numpy as np

from service.common.slots import instant_at, slot_index
from service.planning.domain.path_kernel import Window, price_tables
from service.planning.domain.turns import SharedCar, SharedHome
from tests.prove.random_weeks import FIRST_DAYS, random_prices

CAPS_WH = (690, 1150, 1610, 3680)
EVENINGS = ((18 * 60,), (18 * 60, 22 * 60 + 30), (7 * 60, 18 * 60))  # minutes after midnight


def random_home(rng: np.random.Generator, *, cars: int, outlets: int, most_turns: int = 99) -> SharedHome:
    """Return a home over seven local days in which plugs may be swapped each evening, or more often.

    Of the times to swap some are left out where there would be too many turns.
    """
    day, zone = FIRST_DAYS[rng.integers(len(FIRST_DAYS))]
    first, end = (slot_index(instant_at(day + timedelta(days=ahead), 0, zone)) for ahead in (0, 7))
    minutes = EVENINGS[rng.integers(len(EVENINGS))] if most_turns < 9 else EVENINGS[0]
    swaps = [instant_at(day + timedelta(days=ahead), minute, zone) for ahead in range(7) for minute in minutes]
    kept = [slot_index(swaps[place]) - first for place in rng.permutation(len(swaps))[: most_turns - 1]]
    caps = [int(rng.choice(CAPS_WH)) for _ in range(outlets)]
    hardship = float(rng.choice([0.1, 0.25, 0.5, 0.9]))
    ordinals = rng.permutation(10 * cars)[:cars].tolist()
    return SharedHome(
        price_tables(random_prices(rng, range(first, end), zone)),
        sorted(kept),
        outlets,
        [random_car(rng, ordinal, end - first, caps, hardship) for ordinal in ordinals],
    )


def random_car(rng: np.random.Generator, ordinal: int, count: int, caps: list[int], hardship: float) -> SharedCar:
    """Return a car that commutes by day or by night, or comes and goes as it will."""
    battery = int(rng.integers(15_000, 90_001))
    start = int(rng.integers(0, battery + 1))
    reserve = int(rng.integers(0, battery // 4 + 1))
    ceiling = int(rng.integers(reserve, battery + 1)) if rng.random() < 0.6 else battery
    ends_at = count if rng.random() < 0.85 else int(rng.integers(0, count))  # of the evidence
    own_caps = [cap if rng.random() < 0.9 else 0 for cap in caps]
    lower, upper, is_important = [], [], []
    windows: list[list[list[Window]]] = [[] for _ in caps]
    home_slot = driven = 0

    def stay(until: int, used: int) -> None:
        needed = min(used + reserve, battery)
        lower.append(driven + needed - start)
        upper.append(driven + max(ceiling, needed if rng.random() < 0.8 else 0) - start)
        is_important.append(rng.random() < 0.3)
        stop = min(until, ends_at)
        for outlet, cap in enumerate(own_caps):
            group = [(home_slot, stop, cap)] if cap and stop > home_slot else []
            if group and rng.random() < 0.2:
                middle = int(rng.integers(home_slot, stop + 1))
                group = [(home_slot, middle, cap), (middle, stop, cap)]
            windows[outlet].append(group)

    for leaves, returns in _absences(rng, count):
        used = min(int(rng.integers(0, int(battery * hardship) + 1)), battery - reserve)
        stay(max(leaves, home_slot), used)
        driven += used
        home_slot = max(home_slot, returns)
    stay(count, 0)
    return SharedCar(ordinal, lower, upper, windows, is_important)


def _absences(rng: np.random.Generator, count: int) -> list[tuple[int, int]]:
    """Return (slot of leaving, slot of return) within the horizon, in the order in which they leave."""
    style = int(rng.integers(3))
    if style == 2:
        leaves = sorted(rng.integers(0, count, int(rng.integers(0, 9))).tolist())
        return [(slot, min(slot + int(rng.integers(0, 60)), count)) for slot in leaves]
    found = []
    for midnight in range(0, count - 47, 48):
        slot = midnight + (14 if style == 0 else 42) + int(rng.integers(-4, 5))
        if rng.random() < 0.75:
            found.append((slot, min(slot + int(rng.integers(4, 26)), count)))
    return found
