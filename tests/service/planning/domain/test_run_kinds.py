"""One way into every planner: batches give what each household gives alone."""

import numpy as np
import pytest

from service.planning.domain.block_kernel import cheapest_blocks
from service.planning.domain.path_kernel import cheapest_paths, path_batch, price_tables
from service.planning.domain.run_kinds import cheapest_batch


def households(rng, count):
    for _ in range(count):
        lower = np.cumsum(rng.integers(0, 5, 3) * 500).tolist()
        upper = [bound + int(rng.integers(0, 6)) * 500 for bound in lower]
        windows = [[(stay * 16, stay * 16 + 6, 1150), (stay * 16 + 8, stay * 16 + 14, 1150)] for stay in range(3)]
        yield lower, upper, windows


@pytest.mark.parametrize("seed", range(8))
def test_one_run_a_night_is_the_same_with_the_free_plan_tried_first(seed):
    rng = np.random.default_rng(seed)
    tables = price_tables(rng.integers(-2, 9, 48) * 1_000_000)
    drawn = list(households(rng, 12))
    batch = path_batch(drawn)
    nights = np.tile(np.repeat(np.arange(3), 2), 12)
    found = cheapest_batch(tables, batch, nights, 0)
    exact = cheapest_blocks(tables, batch, nights, np.zeros(12, dtype=np.int64))
    for name in ("unmet_wh", "cost_np", "used_offset", "used_slot", "used_wh", "lower_wh", "upper_wh"):
        np.testing.assert_array_equal(getattr(found, name), getattr(exact, name), err_msg=name)
    free = cheapest_paths(tables, batch)
    assert (free.cost_np <= found.cost_np).all()
