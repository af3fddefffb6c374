"""One run a night against hand-worked cases, every combination of runs, and itself in other orders."""

import numpy as np
import pytest

from service.planning.domain.block_kernel import cheapest_block, cheapest_blocks, has_one_run_a_night, warm_up
from service.planning.domain.path_kernel import (
    MAX_ENERGY_WH,
    MAX_PRICE_UP,
    PathPlans,
    cheapest_path,
    path_batch,
    price_tables,
)
from tests.prove.block_oracle import BlockCase, best_of_all, cost_and_late, unmet_of
from tests.prove.one_block import small_case


def used(plan: PathPlans) -> dict[int, int]:
    return dict(zip(plan.used_slot.tolist(), plan.used_wh.tolist(), strict=True))


def one_night(prices, need, window, *, ceiling=10**6, loss=0):
    return cheapest_block(price_tables(prices), [need], [ceiling], [[window]], [[0]], loss)


def solve(case: BlockCase) -> PathPlans:
    return cheapest_block(
        price_tables(case.price_up), case.lower_wh, case.upper_wh, case.windows, case.nights, case.start_loss_wh
    )


def test_cheap_half_hours_apart_cannot_both_be_had():
    plan = one_night([1, 9, 1, 5], 200, (0, 4, 100))
    assert used(plan) == {2: 100, 3: 100}
    assert plan.cost_np.tolist() == [600]


def test_a_run_ends_early_or_starts_late_where_that_is_cheaper():
    assert used(one_night([4, 1, 2], 150, (0, 3, 100))) == {1: 100, 2: 50}
    assert used(one_night([2, 1, 4], 150, (0, 3, 100))) == {0: 50, 1: 100}


def test_equal_prices_go_to_the_earlier_run():
    assert used(one_night([7] * 5, 250, (0, 5, 100))) == {0: 100, 1: 100, 2: 50}


def test_less_than_a_half_hour_takes_the_cheapest_one():
    assert used(one_night([3, 2, 2], 40, (0, 3, 100))) == {1: 40}


def test_two_nights_share_a_need_where_one_run_would_go_on_into_dear_half_hours():
    plan = cheapest_block(
        price_tables([1, 1, 8, 8, 1, 9, 9]), [250], [900], [[(0, 3, 100), (4, 7, 100)]], [[0, 1]]
    )
    assert used(plan) == {0: 100, 1: 100, 4: 50}


def test_one_night_has_a_single_run_even_over_two_windows():
    windows = [[(0, 1, 100), (2, 4, 100)]]
    plan = cheapest_block(price_tables([1, 1, 5, 6]), [150], [900], windows, [[4, 4]])
    assert used(plan) == {2: 100, 3: 50}
    short = cheapest_block(price_tables([1, 1, 5, 6]), [250], [900], windows, [[4, 4]])
    assert short.unmet_wh.tolist() == [50]
    assert used(cheapest_block(price_tables([1, 1, 5, 6]), [250], [900], windows, [[4, 5]])) == {0: 100, 2: 100, 3: 50}


def test_a_departure_ends_a_night():
    windows, nights = [[(0, 1, 100)], [(1, 2, 100)]], [[0], [0]]
    assert used(cheapest_block(price_tables([1, 1]), [0, 200], [200, 200], windows, nights)) == {0: 100, 1: 100}


def test_a_full_battery_in_between_bars_a_longer_cheap_run_before_it():
    windows, nights = [[(0, 2, 100)], [(2, 4, 100)]], [[0], [1]]
    plan = cheapest_block(price_tables([1, 1, 8, 9]), [0, 200], [130, 900], windows, nights)
    assert used(plan) == {0: 100, 1: 30, 2: 70}


def test_below_zero_the_run_grows_to_the_ceiling_through_a_dearer_half_hour():
    assert used(one_night([-5, 1, -4, 3], 0, (0, 4, 100))) == {0: 100, 1: 100, 2: 100}
    assert used(one_night([-5, 1, -4, 3], 0, (0, 4, 100), ceiling=150)) == {0: 100}


@pytest.mark.parametrize(
    ("lower", "upper", "windows"),
    [([0], [0], [[]]), ([0], [-50], [[(0, 3, 100)]]), ([-10], [0], [[(0, 3, 100)]]), ([0], [100], [[(0, 3, 0)]])],
)
def test_no_need_or_no_room_charges_nothing(lower, upper, windows):
    plan = cheapest_block(price_tables([-1, -1, -1]), lower, upper, windows, [[0] * len(group) for group in windows])
    assert used(plan) == {}
    assert plan.unmet_wh.tolist() == [0]


def test_what_cannot_be_met_is_named_at_the_departure_that_lacks_it():
    windows, nights = [[(0, 2, 100)], [], [(2, 4, 100)]], [[0], [], [1]]
    plan = cheapest_block(price_tables([4, 4, 4, 4]), [500, 500, 900], [900, 900, 900], windows, nights)
    assert plan.unmet_wh.tolist() == [300, 0, 200]
    assert used(plan) == {0: 100, 1: 100, 2: 100, 3: 100}


def test_a_window_with_another_cap_can_hold_the_run():
    windows, nights = [[(0, 2, 100), (2, 4, 150)]], [[0, 0]]
    assert used(cheapest_block(price_tables([2, 2, 3, 3]), [200], [900], windows, nights)) == {0: 100, 1: 100}
    assert used(cheapest_block(price_tables([2, 2, 3, 3]), [210], [900], windows, nights)) == {2: 150, 3: 60}


def test_a_late_start_is_made_up_for_by_a_longer_run():
    plan = one_night([1, 2, 9], 100, (0, 3, 100), loss=30)
    assert used(plan) == {0: 100, 1: 30}
    assert plan.cost_np.tolist() == [160]


def test_a_further_night_must_be_worth_its_late_start():
    windows, nights = [[(0, 2, 100), (2, 4, 100)]], [[0, 1]]
    prices = price_tables([1, 6, 1, 6])
    assert used(cheapest_block(prices, [120], [900], windows, nights, 0)) == {0: 100, 2: 20}
    assert used(cheapest_block(prices, [120], [900], windows, nights, 40)) == {0: 100, 2: 100}
    assert used(cheapest_block(prices, [120], [900], windows, nights, 90)) == {0: 100, 1: 100, 2: 100}


def test_a_run_that_is_sure_of_nothing_is_not_planned():
    plan = one_night([-9, -9], 50, (0, 1, 40), loss=40)
    assert used(plan) == {}
    assert plan.unmet_wh.tolist() == [50]


def test_the_upper_bound_holds_for_what_is_sure_and_the_run_draws_its_loss_on_top():
    assert used(one_night([-1, -1, -1], 0, (0, 3, 100), ceiling=120, loss=30)) == {0: 100, 1: 50}


def test_the_plan_is_the_best_of_all_plans_and_the_earliest_of_equals():
    rng = np.random.default_rng(5)
    with_unmet = with_negative = with_loss = 0
    for _ in range(400):
        case = small_case(rng)
        plan = solve(case)
        best = best_of_all(case)
        assert (int(plan.unmet_wh.sum()), *cost_and_late(case, used(plan))) == best, case
        assert int(plan.cost_np[0]) == best[1]
        assert unmet_of(case, used(plan)) == best[0]
        with_unmet += best[0] > 0
        with_negative += min(case.price_up) < 0
        with_loss += case.start_loss_wh > 0
    assert min(with_unmet, with_negative, with_loss) > 40


def week(rng, count):
    """Return a household of several nights in a few stays, as (lower, upper, windows), with its nights."""
    cuts = np.sort(rng.choice(count + 1, size=2 * min(8, max(1, count // 2)), replace=True)).tolist()
    spans = list(zip(cuts[::2], cuts[1::2], strict=True))
    cap = int(rng.integers(100, 300))
    stays = np.sort(rng.integers(0, 3, len(spans))).tolist()
    windows = [[(a, b, cap) for (a, b), stay in zip(spans, stays, strict=True) if stay == s] for s in range(3)]
    nights = [[n // 2 for n, stay in enumerate(stays) if stay == s] for s in range(3)]
    lower = np.cumsum(rng.integers(-200, 2500, 3))
    return (lower.tolist(), (lower + rng.integers(-50, 2500, 3)).tolist(), windows), nights


@pytest.mark.parametrize("count", [1, 64, 334, 336, 338])
def test_order_and_size_of_the_batch_change_nothing(count):
    rng = np.random.default_rng(count)
    tables = price_tables(rng.integers(-3_000_000, 30_000_000, count))
    households = [week(rng, count) for _ in range(20)]
    losses = rng.integers(0, 2, 20) * 40
    shuffled = rng.permutation(20)
    flat = [night for position in shuffled for group in households[position][1] for night in group]
    batch = path_batch([households[position][0] for position in shuffled])
    together = cheapest_blocks(tables, batch, flat, losses[shuffled])
    for place, position in enumerate(shuffled):
        alone = cheapest_block(tables, *households[position][0], households[position][1], int(losses[position]))
        start, stop = together.used_offset[place : place + 2]
        assert together.cost_np[place] == alone.cost_np[0]
        assert together.used_slot[start:stop].tolist() == alone.used_slot.tolist()
        assert together.used_wh[start:stop].tolist() == alone.used_wh.tolist()
        assert together.unmet_wh[3 * place : 3 * place + 3].tolist() == alone.unmet_wh.tolist()


def certificate(prices, need, windows, nights):
    batch = path_batch([([need], [10**6], [windows])])
    return bool(has_one_run_a_night(batch, nights, cheapest_path(price_tables(prices), [need], [10**6], [windows]))[0])


def test_a_free_plan_of_one_run_a_night_is_recognised():
    assert certificate([3, 1, 1, 2], 250, [(0, 4, 100)], [0])
    assert certificate([1, 9, 9, 1], 150, [(0, 2, 100), (2, 4, 100)], [0, 1])
    assert certificate([1, 1], 0, [(0, 2, 100)], [0])


def test_a_free_plan_of_another_shape_is_not_taken_for_one():
    assert not certificate([1, 9, 1], 200, [(0, 3, 100)], [0]), "a pause within the night"
    assert not certificate([1, 2, 1], 250, [(0, 3, 100)], [0]), "a part-loaded half-hour in between"
    assert not certificate([1, 9, 9, 1], 150, [(0, 2, 100), (2, 4, 100)], [0, 0]), "two windows of one night"
    assert not certificate([1, 1], 150, [(0, 1, 100), (1, 2, 100)], [0, 0]), "two windows that touch"


def test_two_part_loaded_ends_are_not_one_run():
    batch = path_batch([([0], [900], [[(0, 3, 100)]])])
    plan = PathPlans(
        *(np.zeros(1, dtype=np.int64) for _ in range(4)),
        np.array([0, 3]), np.array([0, 1, 2], dtype=np.int32), np.array([40, 100, 40]),
    )  # fmt: skip
    assert not has_one_run_a_night(batch, [0], plan)[0]


def test_a_certified_free_plan_is_the_plan_with_one_run_a_night():
    rng = np.random.default_rng(17)
    certified = 0
    for _ in range(400):
        (lower, upper, windows), nights = week(rng, 60)
        tables = price_tables(np.repeat(rng.integers(-2, 25, 4), 15))
        flat = [night for group in nights for night in group]
        free = cheapest_path(tables, lower, upper, windows)
        if has_one_run_a_night(path_batch([(lower, upper, windows)]), flat, free)[0]:
            certified += 1
            block = cheapest_block(tables, lower, upper, windows, nights)
            assert used(block) == used(free)
            assert block.unmet_wh.tolist() == free.unmet_wh.tolist()
    assert 40 < certified < 360


def test_one_run_a_night_is_never_better_than_free_half_hours():
    rng = np.random.default_rng(23)
    dearer = 0
    for _ in range(100):
        household, nights = week(rng, 120)
        tables = price_tables(rng.integers(-5, 30, 120))
        block, free = cheapest_block(tables, *household, nights), cheapest_path(tables, *household)
        assert (block.unmet_wh.sum(), block.cost_np[0]) >= (free.unmet_wh.sum(), free.cost_np[0])
        dearer += block.cost_np[0] != free.cost_np[0]
    assert dearer > 50


def test_no_prices_and_no_households_are_an_empty_answer():
    assert cheapest_block(price_tables([]), [10], [10], [[]], [[]]).unmet_wh.tolist() == [10]
    empty = cheapest_blocks(price_tables([1, 2]), path_batch([]), [], [])
    assert len(empty.cost_np) == len(empty.used_slot) == 0


@pytest.mark.parametrize(
    ("windows", "nights"),
    [
        ([(0, 4, 10)], [0]),
        ([(2, 1, 10)], [0]),
        ([(-1, 1, 10)], [0]),
        ([(0, 2, 10), (1, 3, 10)], [0, 0]),
        ([(0, 2, -1)], [0]),
        ([(0, 1, 10), (1, 2, 10)], [1, 0]),
    ],
)
def test_windows_out_of_order_and_nights_that_fall_are_refused(windows, nights):
    with pytest.raises(ValueError, match="windows must be"):
        cheapest_block(price_tables([1, 2, 3]), [0], [1], [windows], [nights])


def test_a_loss_below_zero_or_for_nobody_is_refused():
    tables, batch = price_tables([1]), path_batch([([0], [1], [[(0, 1, 1)]])])
    with pytest.raises(ValueError, match="start loss"):
        cheapest_blocks(tables, batch, [0], [-1])
    with pytest.raises(ValueError, match="one loss"):
        cheapest_blocks(tables, batch, [0], [])


def test_sizes_that_could_overflow_a_cost_are_refused():
    with pytest.raises(ValueError, match="Wh for one household"):
        one_night([1], MAX_ENERGY_WH + 1, (0, 1, 1))
    with pytest.raises(ValueError, match="Wh for one household"):
        one_night([1], MAX_ENERGY_WH, (0, 1, MAX_ENERGY_WH), ceiling=MAX_ENERGY_WH, loss=1)


def test_the_largest_sizes_allowed_still_cost_exactly():
    plan = one_night([MAX_PRICE_UP], MAX_ENERGY_WH, (0, 1, MAX_ENERGY_WH), ceiling=MAX_ENERGY_WH)
    assert plan.cost_np.tolist() == [MAX_PRICE_UP * MAX_ENERGY_WH]


def test_warming_up_leaves_a_kernel_that_answers():
    warm_up()
    assert used(one_night([2, 1], 5, (0, 2, 9))) == {1: 5}
