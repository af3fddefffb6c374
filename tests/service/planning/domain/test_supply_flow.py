"""Several cars under one supply: hand-worked cases, HiGHS on random households, and the plan against itself."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import linprog

from service.planning.domain.path_kernel import cheapest_path, price_tables
from service.planning.domain.supply_flow import CarDraws, SupplyCar, SupplyPlan, share_supply
from tests.prove.shared_lp import shared_optimum, shared_programme
from tests.prove.shared_supply import broken_rules, main, random_shared_week
from tests.prove.small_shared_weeks import small_week


def car(ordinal, need, windows, *, most=100_000, **more):
    """A car with one departure at the end."""
    return SupplyCar(ordinal, [need], [most], [windows], **more)


def used(draws: CarDraws) -> dict[int, int]:
    return dict(zip(draws.used_slot, draws.used_wh, strict=True))


def test_two_cars_that_fit_beside_each_other_keep_their_own_plans():
    cars = [car(0, 1000, [(0, 3, 1000)]), car(1, 1000, [(0, 3, 1000)])]
    plan = share_supply(price_tables([5, 3, 9]), cars, [2000] * 3)
    assert [used(draws) for draws in plan.cars] == [{1: 1000}, {1: 1000}]
    assert (plan.was_certified, plan.cost_np, plan.unmet_wh) == (True, 6000, 0)


def test_one_car_moves_to_the_next_cheapest_half_hour_where_the_fuse_is_full():
    cars = [car(0, 1000, [(0, 3, 1000)]), car(1, 1000, [(0, 3, 1000)])]
    plan = share_supply(price_tables([5, 3, 9]), cars, [1500] * 3)
    # 1,500 Wh at 3 and 500 Wh at 5; who charges at 0:00 is settled by ordinal
    assert [used(draws) for draws in plan.cars] == [{0: 500, 1: 500}, {1: 1000}]
    assert (plan.was_certified, plan.cost_np) == (False, 7000)


def test_a_car_that_can_wait_gives_way_to_one_that_leaves():
    # alone both would take slot 1; the second car is home for nothing else
    plan = share_supply(price_tables([5, 3, 9]), [car(0, 900, [(0, 3, 900)]), car(1, 900, [(1, 2, 900)])], [900] * 3)
    assert [used(draws) for draws in plan.cars] == [{0: 900}, {1: 900}]


def test_a_chain_of_cars_moves_over_for_the_last_one():
    # 2 wants only slot 2, so 1 moves to slot 1, so 0 moves to slot 0: every half-hour is used in full
    cars = [car(0, 700, [(0, 2, 700)]), car(1, 700, [(1, 3, 700)]), car(2, 700, [(2, 3, 700)])]
    plan = share_supply(price_tables([9, 5, 3]), cars, [700] * 3)
    assert [used(draws) for draws in plan.cars] == [{0: 700}, {1: 700}, {2: 700}]


def test_equal_prices_go_to_the_earlier_half_hour_and_the_lower_ordinal():
    cars = [car(5, 800, [(0, 4, 400)]), car(2, 800, [(0, 4, 400)])]
    plan = share_supply(price_tables([7] * 4), cars, [500] * 4)
    # 1,600 Wh fill three half-hours only if both cars draw in the third; ordinal 2 then goes first where it may
    assert [used(draws) for draws in plan.cars] == [{0: 100, 1: 200, 2: 400, 3: 100}, {0: 400, 1: 300, 2: 100}]


def test_a_circuit_limits_only_its_own_cars():
    windows = [(0, 2, 1000)]
    cars = [car(0, 1000, windows, circuit=0), car(1, 1000, windows, circuit=0), car(2, 1000, windows)]
    plan = share_supply(price_tables([1, 2]), cars, [3000, 3000], [[1000, 1000]])
    assert [used(draws) for draws in plan.cars] == [{0: 1000}, {1: 1000}, {0: 1000}]


def test_an_important_departure_is_met_before_a_lesser_one():
    windows = [(0, 1, 1000)]
    lesser, important = car(0, 1000, windows), car(1, 1000, windows, is_important=[True])
    plan = share_supply(price_tables([4]), [lesser, important], [1200])
    assert [draws.unmet_wh for draws in plan.cars] == [(800,), (0,)]
    plan = share_supply(price_tables([4]), [lesser, replace(important, is_important=())], [1200])
    assert [draws.unmet_wh for draws in plan.cars] == [(0,), (800,)]  # else the lower ordinal is served


def test_a_lesser_departure_of_the_same_car_gives_way_too():
    stays = [[(0, 1, 500)], []]
    one = SupplyCar(0, [500, 1000], [1000, 1000], stays, is_important=[False, True])
    plan = share_supply(price_tables([4]), [one], [500])
    assert plan.cars[0].unmet_wh == (500, 0)
    assert share_supply(price_tables([4]), [replace(one, is_important=())], [500]).cars[0].unmet_wh == (0, 500)


def test_below_zero_energy_goes_where_it_still_fits():
    cars = [car(0, 0, [(0, 2, 1000)], most=300), car(1, 500, [(0, 2, 1000)], most=900)]
    plan = share_supply(price_tables([-5, -2]), cars, [700, 700])
    assert [used(draws) for draws in plan.cars] == [{0: 300}, {0: 400, 1: 500}]
    assert plan.cost_np == -5 * 700 - 2 * 500


def test_what_negative_prices_pay_for_gives_way_to_a_need():
    # slot 0 pays, and only the second car needs energy; slot 1 must not be bought for it
    cars = [car(0, 0, [(0, 1, 1000)], most=1000), car(1, 600, [(0, 2, 1000)])]
    plan = share_supply(price_tables([-5, 30]), cars, [1000, 1000])
    assert [used(draws) for draws in plan.cars] == [{0: 400}, {0: 600}]


def test_a_half_hour_without_headroom_is_not_used():
    plan = share_supply(price_tables([1, 9]), [car(0, 600, [(0, 2, 1000)])], [0, 1000])
    assert used(plan.cars[0]) == {1: 600}
    assert plan.was_certified


@pytest.mark.parametrize(
    ("cars", "headroom", "circuits"),
    [
        ([car(1, 1, [(0, 1, 1)]), car(1, 1, [(0, 1, 1)])], [1, 1], []),
        ([car(1, 1, [(0, 1, 1)])], [1], []),
        ([car(1, 1, [(0, 1, 1)])], [1, -1], []),
        ([car(1, 1, [(0, 3, 1)])], [1, 1], []),
        ([car(1, 1, [(0, 1, -1)])], [1, 1], []),
        ([car(1, 1, [(0, 1, 1)], circuit=1)], [1, 1], [[1, 1]]),
        ([car(1, 1, [(0, 1, 1)], is_important=[True, False])], [1, 1], []),
        ([SupplyCar(1, [1, 2], [3], [[(0, 1, 1)]])], [1, 1], []),
    ],
)
def test_what_does_not_fit_together_is_refused(cars, headroom, circuits):
    with pytest.raises(ValueError):
        share_supply(price_tables([1, 2]), cars, headroom, circuits)


def test_no_cars_and_no_half_hours_are_an_empty_answer():
    assert share_supply(price_tables([1]), [], [5]) == SupplyPlan((), True)
    plan = share_supply(price_tables([]), [SupplyCar(0, [10], [10], [[]])], [], skips_certificate=True)
    assert plan.cars == (CarDraws(0, (), (), (10,), 0),)


def test_one_car_with_all_the_supply_is_planned_as_by_the_path_kernel():
    rng = np.random.default_rng(3)
    for _ in range(150):
        week = small_week(rng, cars=1)
        only = replace(week.cars[0], circuit=None, is_important=())
        plan = share_supply(week.prices, [only], [10**6] * week.prices.count, skips_certificate=True).cars[0]
        alone = cheapest_path(week.prices, only.lower_wh, only.upper_wh, only.windows)
        assert used(plan) == dict(zip(alone.used_slot.tolist(), alone.used_wh.tolist(), strict=True))
        assert (list(plan.unmet_wh), plan.cost_np) == (alone.unmet_wh.tolist(), int(alone.cost_np[0]))


@given(st.integers(0, 2**32 - 1))
@settings(max_examples=150, deadline=None)
def test_small_households_are_planned_as_by_highs(seed):
    week = small_week(np.random.default_rng(seed))
    plan = week.plan()
    best = shared_optimum(shared_programme(week.cars, week.headroom_wh, week.circuits_wh), week.prices.price_up)
    assert week.lacking(plan) == (best.important_wh, best.unmet_wh)
    assert plan.cost_np / 1e9 == pytest.approx(best.cost_p, abs=1e-6)
    assert week.plan(skips_certificate=True).cars == plan.cars


def earliest_sum(week, best):
    """The least sum of half-hour times energy among all plans of least shortfall and least cost, by HiGHS."""
    programme = shared_programme(week.cars, week.headroom_wh, week.circuits_wh)
    draws = len(programme.slots)
    price = np.concatenate([week.prices.price_up[programme.slots] / 1e6, np.zeros(len(programme.is_important))])
    short = np.concatenate([np.zeros(draws), np.ones(len(programme.is_important))])
    vital = np.concatenate([np.zeros(draws), programme.is_important])
    rows = np.vstack([programme.rows.toarray(), price, short, vital])
    most = np.concatenate([programme.most, [best.cost_p * 1000 + 1e-7, best.unmet_wh, best.important_wh]])
    time = np.concatenate([programme.slots, np.zeros(len(programme.is_important))])
    return linprog(time, A_ub=rows, b_ub=most, bounds=[(0, cap) for cap in programme.caps]).fun


def test_of_plans_that_cost_the_same_the_earliest_is_made():
    rng = np.random.default_rng(12)
    for _ in range(80):
        week = small_week(rng)
        plan = week.plan(skips_certificate=True)
        best = shared_optimum(shared_programme(week.cars, week.headroom_wh, week.circuits_wh), week.prices.price_up)
        own = sum(slot * wh for draws in plan.cars for slot, wh in used(draws).items())
        assert own == pytest.approx(earliest_sum(week, best), abs=1e-4)


def test_the_order_in_which_cars_are_named_changes_nothing():
    rng = np.random.default_rng(5)
    for _ in range(100):
        week = small_week(rng)
        order = rng.permutation(len(week.cars))
        shuffled = replace(week, cars=[week.cars[at] for at in order])
        assert shuffled.plan().cars == tuple(week.plan().cars[at] for at in order)


def test_more_headroom_is_never_worse():
    rng = np.random.default_rng(6)
    for _ in range(100):
        week = small_week(rng)
        wider = replace(week, headroom_wh=[wh + int(rng.integers(0, 4)) for wh in week.headroom_wh])
        before, after = week.plan(), wider.plan()
        assert (*wider.lacking(after), after.cost_np) <= (*week.lacking(before), before.cost_np)


def test_whole_weeks_keep_every_limit_and_equal_highs(capsys):
    assert main(25, 4) == 0
    line = capsys.readouterr().out
    assert "25 of 25 households, seed 4, 0 mismatches" in line


def test_a_plan_that_breaks_a_rule_is_noticed():
    rng = np.random.default_rng(2)
    week = next(drawn for drawn in iter(lambda: random_shared_week(rng), None) if drawn.plan().cars[0].used_wh)
    plan = week.plan()
    assert list(broken_rules(week, plan)) == []
    assert any("supply" in fault for fault in broken_rules(replace(week, headroom_wh=[0] * week.prices.count), plan))
    first = plan.cars[0]
    for wrong, word in (
        (replace(first, cost_np=first.cost_np + 1), "cost"),
        (replace(first, used_wh=(10**6, *first.used_wh[1:])), "windows"),
        (replace(first, unmet_wh=(10**6, *first.unmet_wh[1:])), "bounds"),
    ):
        assert any(word in fault for fault in broken_rules(week, replace(plan, cars=(wrong, *plan.cars[1:])))), word
