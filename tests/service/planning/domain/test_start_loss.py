"""Runs that each begin late: worked by hand, against every way to fill and split half-hours, and at no loss."""

import math
from itertools import pairwise, product

import numpy as np
import pytest

from service.planning.domain.path_kernel import MAX_ENERGY_WH, PathPlans, cheapest_path, path_batch, price_tables
from service.planning.domain.start_loss import (
    MAX_CAP_WH,
    MAX_LEVELS,
    cheapest_plan_with_start_loss,
    cheapest_with_start_loss,
    warm_up,
)


def used(plan: PathPlans) -> dict[int, int]:
    return dict(zip(plan.used_slot.tolist(), plan.used_wh.tolist(), strict=True))


def one_stay(prices, need, windows, loss, *, ceiling=100_000):
    return cheapest_plan_with_start_loss(price_tables(prices), [need], [ceiling], [windows], loss)


def test_a_late_start_is_made_up_for_by_a_longer_run():
    plan = one_stay([1, 2, 9], 100, [(0, 3, 100)], 30)
    assert used(plan) == {0: 100, 1: 30}
    assert plan.cost_np.tolist() == [160]


def test_splitting_pays_only_where_prices_differ_by_more_than_a_start():
    # at a loss of 10: 140 x 5 apart against 100 x 5 + 30 x 7 in one run; at 20: 160 x 5 against 100 x 5 + 40 x 7
    assert used(one_stay([5, 7, 5], 120, [(0, 3, 100)], 10)) == {0: 100, 2: 40}
    assert used(one_stay([5, 7, 5], 120, [(0, 3, 100)], 20)) == {0: 100, 1: 40}


def test_where_two_runs_meet_in_a_half_hour_it_is_told_where_the_second_begins():
    plan = one_stay([1, 4, 1], 150, [(0, 3, 100)], 40)
    assert used(plan) == {0: 100, 1: 30, 2: 100}  # 230 less two losses; one run of 190 would cost 460
    assert plan.cost_np.tolist() == [320]
    assert plan.begins_run.sum() == 2
    assert plan.begins_run[0]


def test_a_gap_that_costs_less_than_a_start_is_charged_through():
    assert used(one_stay([1, 2, 1], 150, [(0, 3, 100)], 50)) == {0: 100, 1: 100}
    assert used(one_stay([1, 20, 1], 150, [(0, 3, 100)], 25)) == {0: 100, 2: 100}


def test_a_run_does_not_pass_from_one_window_to_the_next_unless_they_touch_at_the_same_cap():
    assert used(one_stay([1, 1], 140, [(0, 1, 100), (1, 2, 100)], 50)) == {0: 100, 1: 90}
    plan = one_stay([1, 1], 140, [(0, 1, 100), (1, 2, 90)], 50)
    assert plan.unmet_wh.tolist() == [50]  # 50 + 40 are sure


def test_at_a_cap_smaller_than_the_loss_a_run_loses_a_half_hour_at_most():
    plan = one_stay([1, 1, 1], 70, [(0, 3, 40)], 100)
    assert used(plan) == {0: 40, 1: 40, 2: 30}  # 110 less 40
    assert one_stay([1], 5, [(0, 1, 40)], 100).unmet_wh.tolist() == [5]


def test_a_departure_ends_a_run():
    plan = cheapest_plan_with_start_loss(
        price_tables([1, 1]), [0, 150], [200, 200], [[(0, 1, 100)], [(1, 2, 100)]], 50
    )
    assert plan.unmet_wh.tolist() == [0, 50]


def test_a_run_that_is_sure_of_nothing_is_not_planned():
    plan = one_stay([-9, 5, -9], 50, [(0, 1, 40), (2, 3, 40)], 40)
    assert used(plan) == {}
    assert plan.unmet_wh.tolist() == [50]


def test_below_zero_the_upper_bound_holds_for_what_is_sure():
    assert used(one_stay([-1, 5, 5], 0, [(0, 3, 100)], 30, ceiling=120)) == {0: 100}
    two_runs = one_stay([-1, -1, 5], 0, [(0, 3, 100)], 30, ceiling=120)
    assert used(two_runs) == {0: 100, 1: 80}  # 180 less two losses
    assert two_runs.begins_run.tolist() == [True, True]


def test_later_stays_of_many_windows_after_a_bound_is_met():
    windows = [[(0, 4, 100)], [(5, 8, 100), (9, 10, 100), (11, 14, 100), (15, 18, 100)]]
    plan = cheapest_plan_with_start_loss(price_tables([5] * 20), [250, 250], [250, 250], windows, 33)
    assert used(plan) == {0: 100, 1: 100, 2: 83}


def every_plan(prices, windows, loss, least):
    """Return (sure, cost, sum of slot x energy) of every way to fill one window's half-hours and cut them into runs.

    A run is sure of ``least`` or more.
    """
    (first, end, cap), found = windows, []
    for energies in product(range(cap + 1), repeat=end - first):
        for cuts in product((False, True), repeat=max(0, end - first - 1)):
            runs: list[list[int]] = [[]]
            for place, energy in enumerate(energies):
                if energy == 0 or (place and cuts[place - 1]):
                    runs.append([])
                if energy:
                    runs[-1].append(energy)
            runs = [run for run in runs if run]
            if all(sum(run) >= loss + least and set(run[1:-1]) <= {cap} for run in runs):
                drawn = list(enumerate(energies, start=first))
                cost, late = sum(prices[s] * e for s, e in drawn), sum(s * e for s, e in drawn)
                found.append((sum(energies) - loss * len(runs), cost, late))
    return np.array(found, dtype=np.int64)


def best_by_enumeration(prices, lower, upper, windows, loss, least):
    floor = np.maximum.accumulate(np.maximum(lower, 0))
    roof = np.maximum(upper, floor)
    sure, cost, late, elsewhere = (np.zeros(1, dtype=np.int64) for _ in range(4))
    allowed = np.ones(1, dtype=bool)
    for segment, group in enumerate(windows):
        for window in group:
            ways = every_plan(prices, window, loss, least)
            sure, cost, late = (
                np.add.outer(total, column).ravel() for total, column in zip((sure, cost, late), ways.T, strict=True)
            )
            elsewhere, allowed = np.repeat(elsewhere, len(ways)), np.repeat(allowed, len(ways))
        elsewhere = np.maximum(elsewhere, floor[segment] - sure)
        allowed = allowed & (sure + elsewhere <= roof[segment])
    best = np.lexsort((late[allowed], cost[allowed], elsewhere[allowed]))[0]
    return tuple(int(column[allowed][best]) for column in (elsewhere, cost, late))


def random_case(rng):
    """Return (prices, lower, upper, windows, loss); windows of a stay lie apart."""
    slots, spans, stays = int(rng.integers(2, 8)), int(rng.integers(1, 4)), int(rng.integers(1, 3))
    cuts = np.sort(rng.choice(slots + 1, size=min(2 * spans, (slots + 1) // 2 * 2), replace=False)).tolist()
    cap = int(rng.integers(1, 4))
    loss = int(rng.integers(0, cap + 1))
    of_stay = np.sort(rng.integers(0, stays, len(cuts) // 2)).tolist()
    windows = [
        [(a, min(b, a + 4), cap) for a, b, s in zip(cuts[::2], cuts[1::2], of_stay, strict=True) if s == stay]
        for stay in range(stays)
    ]
    lower = np.cumsum(rng.integers(-2, 6, stays))
    upper = lower + rng.integers(-2, 8, stays)
    return rng.integers(int(rng.choice([-3, 0])), 8, slots).tolist(), lower.tolist(), upper.tolist(), windows, loss


def test_the_plan_is_the_best_of_all_plans_and_the_earliest_of_equals():
    rng = np.random.default_rng(3)
    with_unmet = with_negative = with_split = with_unit = 0
    for _ in range(300):
        prices, lower, upper, windows, loss = random_case(rng)
        plan = cheapest_plan_with_start_loss(price_tables(prices), lower, upper, windows, loss)
        drawn = used(plan)
        late = sum(slot * energy for slot, energy in drawn.items())
        assert sum(prices[slot] * energy for slot, energy in drawn.items()) == int(plan.cost_np[0])
        caps = [cap for group in windows for _, _, cap in group]
        unit = math.gcd(loss, *caps, *plan.lower_wh.tolist(), *plan.upper_wh.tolist()) or 1
        best = best_by_enumeration(prices, lower, upper, windows, loss, unit)
        assert (int(plan.unmet_wh.sum()), int(plan.cost_np[0]), late) == best, (prices, lower, upper, windows, loss)
        sure = sum(drawn.values()) - loss * int(plan.begins_run.sum())
        assert plan.lower_wh[-1] <= sure <= plan.upper_wh[-1]
        with_unmet += best[0] > 0
        with_negative += min(prices) < 0
        with_split += len(drawn) > 1 and loss > 0
        with_unit += unit > 1 and min(prices) < 0 and bool(drawn)
    assert min(with_unmet, with_negative, with_split) > 30
    assert with_unit > 5


def random_week(rng, count):
    cuts = np.sort(rng.choice(count + 1, size=12, replace=False)).tolist()
    cap = int(rng.integers(20, 60))
    spans = list(zip(cuts[::2], cuts[1::2], strict=True))
    windows = [[(a, b, cap) for a, b in spans[2 * stay : 2 * stay + 2]] for stay in range(3)]
    lower = np.cumsum(rng.integers(-50, 400, 3))
    return (lower.tolist(), (lower + rng.integers(0, 300, 3)).tolist(), windows), cap // 3


def test_at_no_loss_it_costs_what_free_half_hours_cost():
    rng = np.random.default_rng(7)
    for _ in range(60):
        household, _ = random_week(rng, 80)
        tables = price_tables(rng.integers(-4, 30, 80))
        with_loss, free = cheapest_plan_with_start_loss(tables, *household, 0), cheapest_path(tables, *household)
        assert with_loss.unmet_wh.tolist() == free.unmet_wh.tolist()
        assert with_loss.cost_np.tolist() == free.cost_np.tolist()


def test_a_longer_wait_is_never_cheaper_where_no_price_is_below_zero():
    rng = np.random.default_rng(8)
    dearer = 0
    for _ in range(40):
        household, loss = random_week(rng, 80)
        tables = price_tables(rng.integers(0, 30, 80))
        plans = [cheapest_plan_with_start_loss(tables, *household, part) for part in (0, loss // 2, loss)]
        figures = [(int(plan.unmet_wh.sum()), int(plan.cost_np[0])) for plan in plans]
        assert all(few[0] < many[0] or few <= many for few, many in pairwise(figures))
        dearer += figures[0] != figures[2]
    assert dearer > 20


def test_counting_in_larger_units_changes_nothing():
    rng = np.random.default_rng(9)
    for _ in range(40):
        (lower, upper, windows), loss = random_week(rng, 80)
        tables = price_tables(rng.integers(int(rng.choice([-9, 0])), 30, 80))
        small = cheapest_plan_with_start_loss(tables, lower, upper, windows, loss)
        scaled = [[(a, b, cap * 100) for a, b, cap in group] for group in windows]
        large = cheapest_plan_with_start_loss(
            tables, [x * 100 for x in lower], [x * 100 for x in upper], scaled, loss * 100
        )
        assert used(large) == {slot: energy * 100 for slot, energy in used(small).items()}
        assert large.cost_np[0] == small.cost_np[0] * 100


def test_single_wh_would_give_the_same_plan_as_larger_units_where_no_price_is_below_zero():
    rng = np.random.default_rng(10)
    compared = 0
    for _ in range(40):
        (lower, upper, windows), loss = random_week(rng, 80)
        lower, upper, loss = ([x * 20 for x in lower], [x * 20 for x in upper], loss * 20)
        windows = [[(a, b, cap * 20) for a, b, cap in group] for group in windows]
        prices = rng.integers(0, 30, 80).tolist()
        units = cheapest_plan_with_start_loss(price_tables([*prices, 10**6]), lower, upper, windows, loss)
        windows[-1].append((80, 81, loss + 1))  # dear, never used, and not a multiple of anything
        single = cheapest_plan_with_start_loss(price_tables([*prices, 10**6]), lower, upper, windows, loss)
        if not units.unmet_wh.any():
            assert used(single) == used(units)
            compared += bool(used(units))
    assert compared > 10


@pytest.mark.parametrize("count", [80, 334, 338])
def test_order_and_size_of_the_batch_change_nothing(count):
    rng = np.random.default_rng(count)
    tables = price_tables(rng.integers(-2, 30, count))
    drawn = [random_week(rng, count) for _ in range(12)]
    shuffled = rng.permutation(12)
    together = cheapest_with_start_loss(
        tables, path_batch([drawn[p][0] for p in shuffled]), [drawn[p][1] for p in shuffled]
    )
    for place, position in enumerate(shuffled):
        household, loss = drawn[position]
        alone = cheapest_plan_with_start_loss(tables, *household, loss)
        start, stop = together.used_offset[place : place + 2]
        assert together.cost_np[place] == alone.cost_np[0]
        assert together.used_slot[start:stop].tolist() == alone.used_slot.tolist()
        assert together.used_wh[start:stop].tolist() == alone.used_wh.tolist()


def test_no_prices_and_no_households_are_an_empty_answer():
    assert cheapest_plan_with_start_loss(price_tables([]), [10], [10], [[]], 0).unmet_wh.tolist() == [10]
    empty = cheapest_with_start_loss(price_tables([1, 2]), path_batch([]), [])
    assert len(empty.cost_np) == len(empty.used_slot) == 0


@pytest.mark.parametrize(
    ("windows", "loss", "rule"),
    [
        ([(0, 4, 10)], 0, "windows must be"),
        ([(2, 1, 10)], 0, "windows must be"),
        ([(0, 2, 10), (1, 3, 10)], 0, "windows must be"),
        ([(0, 2, MAX_CAP_WH + 1)], 0, "windows must be"),
        ([(0, 2, 10)], -1, "start loss"),
    ],
)
def test_what_does_not_fit_is_refused(windows, loss, rule):
    with pytest.raises(ValueError, match=rule):
        one_stay([1, 2, 3], 0, windows, loss)


def test_sizes_beyond_the_tables_are_refused():
    with pytest.raises(ValueError, match="for one household"):
        one_stay([1], MAX_ENERGY_WH + 1, [(0, 1, 1)], 0)
    with pytest.raises(ValueError, match="for one household"):
        one_stay([-1] * 338, 0, [(0, 338, MAX_CAP_WH)], 1, ceiling=MAX_LEVELS * 2)


def test_warming_up_leaves_a_kernel_that_answers():
    warm_up()
    assert used(one_stay([2, 1], 5, [(0, 2, 9)], 1)) == {1: 6}
