"""The compiled kernel against hand-worked cases, enumeration of every plan, and itself in other orders."""

from itertools import product

import numpy as np
import pytest

from service.planning.domain.path_kernel import (
    MAX_ENERGY_WH,
    MAX_PRICE_UP,
    PathPlans,
    cheapest_path,
    cheapest_paths,
    least_unmet,
    path_batch,
    price_tables,
    warm_up,
)


def used(plan: PathPlans) -> dict[int, int]:
    return dict(zip(plan.used_slot.tolist(), plan.used_wh.tolist(), strict=True))


def test_a_part_filled_half_hour_goes_on_being_filled_for_the_next_departure():
    plan = cheapest_path(price_tables([5, 3, 9]), [400, 900], [5000, 5000], [[(0, 2, 1000)], [(2, 3, 1000)]])
    assert used(plan) == {1: 900}
    assert plan.cost_np.tolist() == [2700]


def test_equal_prices_go_to_the_earlier_half_hour():
    assert used(cheapest_path(price_tables([7] * 5), [250], [250], [[(0, 5, 100)]])) == {0: 100, 1: 100, 2: 50}


def test_a_full_battery_in_between_bars_the_cheap_half_hours_before_it():
    # slot 0 is cheapest, but only 100 Wh fit before the first departure
    plan = cheapest_path(price_tables([1, 8, 9]), [0, 300], [100, 300], [[(0, 1, 1000)], [(1, 3, 150)]])
    assert used(plan) == {0: 100, 1: 150, 2: 50}


def test_below_zero_energy_is_taken_up_to_the_ceiling_and_no_further():
    plan = cheapest_path(price_tables([5, -2, -1, 0]), [0], [250], [[(0, 4, 100)]])
    assert used(plan) == {1: 100, 2: 100}
    assert plan.cost_np.tolist() == [-300]
    assert used(cheapest_path(price_tables([5, -2, -1, 0]), [0], [150], [[(0, 4, 100)]])) == {1: 100, 2: 50}


def test_what_cannot_be_met_is_named_at_the_departure_that_lacks_it():
    plan = cheapest_path(
        price_tables([4, 4, 4, 4]), [500, 500, 900], [900, 900, 900], [[(0, 2, 100)], [], [(2, 4, 100)]]
    )
    assert plan.unmet_wh.tolist() == [300, 0, 200]
    assert used(plan) == {0: 100, 1: 100, 2: 100, 3: 100}


def test_energy_charged_elsewhere_for_one_departure_counts_towards_the_next():
    plan = cheapest_path(price_tables([1, 1]), [300, 350], [400, 400], [[(0, 1, 100)], [(1, 2, 100)]])
    assert plan.unmet_wh.tolist() == [200, 0]
    assert used(plan) == {0: 100, 1: 50}


@pytest.mark.parametrize(
    ("lower", "upper", "windows"),
    [([0], [0], [[]]), ([0], [-50], [[(0, 3, 100)]]), ([-10], [0], [[(0, 3, 100)]]), ([0], [100], [[(0, 3, 0)]])],
)
def test_no_need_or_no_room_charges_nothing(lower, upper, windows):
    plan = cheapest_path(price_tables([-1, -1, -1]), lower, upper, windows)
    assert used(plan) == {}
    assert plan.unmet_wh.tolist() == [0]


def test_no_prices_and_no_households_are_an_empty_answer():
    assert cheapest_path(price_tables([]), [10], [10], [[]]).unmet_wh.tolist() == [10]
    empty = cheapest_paths(price_tables([1, 2]), path_batch([]))
    assert len(empty.cost_np) == len(empty.used_slot) == 0


def random_household(rng, count, most_segments=4, most_wh=12):
    segments = int(rng.integers(1, most_segments + 1))
    cuts = np.sort(rng.integers(0, count + 1, 2 * segments)).tolist()
    windows = [[(cuts[2 * j], cuts[2 * j + 1], int(rng.integers(0, 4)))] for j in range(segments)]
    lower = np.cumsum(rng.integers(-2, most_wh // 2, segments)).tolist()
    upper = (np.array(lower) + rng.integers(-2, most_wh // 2, segments)).tolist()
    return lower, upper, windows


def best_by_enumeration(prices, lower, upper, windows):
    """Return (unmet, cost, sum of slot x energy, plan) of the best of all plans."""
    slots = [(segment, slot, cap) for segment, [(a, b, cap)] in enumerate(windows) for slot in range(a, b)]
    floor = np.maximum.accumulate(np.maximum(lower, 0))
    roof = np.maximum(upper, floor)
    found = []
    for energies in product(*(range(cap + 1) for _, _, cap in slots)):
        elsewhere = 0
        for segment in range(len(lower)):
            here = sum(energy for (s, _, _), energy in zip(slots, energies, strict=True) if s <= segment)
            elsewhere = max(elsewhere, int(floor[segment]) - here)
            if here + elsewhere > roof[segment]:
                break
        else:
            cost = sum(prices[slot] * energy for (_, slot, _), energy in zip(slots, energies, strict=True))
            late = sum(slot * energy for (_, slot, _), energy in zip(slots, energies, strict=True))
            plan = {slot: energy for (_, slot, _), energy in zip(slots, energies, strict=True) if energy}
            found.append((elsewhere, cost, late, plan))
    return min(found, key=lambda option: option[:3])


def test_the_plan_is_the_best_of_all_plans_and_the_earliest_of_equals():
    rng = np.random.default_rng(5)
    with_unmet = 0
    for _ in range(300):
        prices = rng.integers(-2, 4, 6).tolist()
        lower, upper, windows = random_household(rng, 6)
        plan = cheapest_path(price_tables(prices), lower, upper, windows)
        unmet, cost, _, best = best_by_enumeration(prices, lower, upper, windows)
        assert (int(plan.unmet_wh.sum()), int(plan.cost_np[0]), used(plan)) == (unmet, cost, best)
        with_unmet += unmet > 0
    assert with_unmet > 30


@pytest.mark.parametrize("count", [1, 63, 64, 65, 334, 336, 338])
def test_order_and_size_of_the_batch_change_nothing(count):
    rng = np.random.default_rng(count)
    tables = price_tables(rng.integers(-3_000_000, 30_000_000, count))
    households = [random_household(rng, count, 8, 400) for _ in range(40)]
    shuffled = rng.permutation(40)
    together = cheapest_paths(tables, path_batch([households[position] for position in shuffled]))
    for place, position in enumerate(shuffled):
        alone = cheapest_path(tables, *households[position])
        start, stop = together.used_offset[place : place + 2]
        assert together.cost_np[place] == alone.cost_np[0]
        assert together.used_slot[start:stop].tolist() == alone.used_slot.tolist()
        assert together.used_wh[start:stop].tolist() == alone.used_wh.tolist()


def test_a_batch_that_uses_every_half_hour_outgrows_its_first_buffer():
    count, households = 338, 50
    tables = price_tables(np.arange(count))
    plans = cheapest_paths(tables, path_batch([([count], [count], [[(0, count, 1)]])] * households))
    assert len(plans.used_slot) == count * households
    assert set(plans.cost_np.tolist()) == {count * (count - 1) // 2}


def test_more_half_hours_are_never_worse():
    rng = np.random.default_rng(9)
    tables = price_tables(rng.integers(-5, 30, 60))
    for _ in range(200):
        lower, upper, windows = random_household(rng, 60, 5, 60)
        ends = [*(window[0][0] for window in windows[1:]), 60]
        longer = [[(a, int(rng.integers(b, end + 1)), cap)] for [(a, b, cap)], end in zip(windows, ends, strict=True)]
        before, after = cheapest_path(tables, lower, upper, windows), cheapest_path(tables, lower, upper, longer)
        assert (after.unmet_wh.sum(), after.cost_np[0]) <= (before.unmet_wh.sum(), before.cost_np[0])


def test_unmet_energy_alone_is_what_the_plan_finds():
    rng = np.random.default_rng(11)
    tables = price_tables(rng.integers(-5, 30, 40))
    for _ in range(100):
        lower, upper, windows = random_household(rng, 40, 6, 90)
        capacity = [(b - a) * cap for [(a, b, cap)] in windows]
        assert least_unmet(lower, upper, capacity) == cheapest_path(tables, lower, upper, windows).unmet_wh.tolist()


def test_bounds_come_back_tightened_in_terms_of_energy_really_charged():
    plan = cheapest_path(price_tables([1, 1]), [300, 350], [400, 380], [[(0, 1, 100)], [(1, 2, 100)]])
    assert plan.lower_wh.tolist() == [100, 150]
    assert plan.upper_wh.tolist() == [180, 180]


@pytest.mark.parametrize(
    "windows",
    [[[(0, 4, 10)]], [[(2, 1, 10)]], [[(-1, 1, 10)]], [[(0, 2, 10)], [(1, 3, 10)]], [[(0, 2, -1)]]],
)
def test_windows_that_overlap_run_backwards_or_leave_the_horizon_are_refused(windows):
    with pytest.raises(ValueError, match="windows must be"):
        cheapest_path(price_tables([1, 2, 3]), [0] * len(windows), [1] * len(windows), windows)


def test_sizes_that_could_overflow_a_cost_are_refused():
    with pytest.raises(ValueError, match="micro-pence"):
        price_tables([MAX_PRICE_UP + 1])
    with pytest.raises(ValueError, match="Wh for one household"):
        cheapest_path(price_tables([1]), [MAX_ENERGY_WH + 1], [MAX_ENERGY_WH + 1], [[(0, 1, 1)]])


def test_the_largest_sizes_allowed_still_cost_exactly():
    tables = price_tables([MAX_PRICE_UP])
    plan = cheapest_path(tables, [MAX_ENERGY_WH], [MAX_ENERGY_WH], [[(0, 1, MAX_ENERGY_WH)]])
    assert plan.cost_np.tolist() == [MAX_PRICE_UP * MAX_ENERGY_WH]


def test_price_tables_cannot_be_written_to():
    tables = price_tables([3, 1, 2])
    assert tables.order.tolist() == [1, 2, 0]
    with pytest.raises(ValueError, match="read-only"):
        tables.price_up[0] = 4


def test_warming_up_leaves_a_kernel_that_answers():
    warm_up()
    assert used(cheapest_path(price_tables([2, 1]), [5], [5], [[(0, 2, 9)]])) == {1: 5}
