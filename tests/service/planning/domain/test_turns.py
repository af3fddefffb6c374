"""Shared outlets by hand, against every plan of small homes, every way to give the turns, and HiGHS."""

from dataclasses import replace
from functools import partial
from itertools import pairwise, product

import numpy as np
import pytest

from service.planning.domain.block_kernel import cheapest_blocks
from service.planning.domain.path_kernel import MAX_ENERGY_WH, cheapest_paths, price_tables
from service.planning.domain.turns import (
    NOBODY,
    Gap,
    Objective,
    SharedCar,
    SharedHome,
    TurnPlan,
    share_outlets,
    why_tonight,
)
from tests.prove.random_homes import random_home
from tests.prove.turn_oracles import TurnProgramme, best_of_all, objective_with

FULL = 1000  # an upper bound that never binds here


def home_of(prices, boundaries, *cars, outlets=1):
    return SharedHome(price_tables(prices), boundaries, outlets, cars)


def car_of(ordinal, *stays, important=()):
    """A car whose stays are (end slot, least and greatest energy by then), each at 100 Wh a half-hour, back at once."""
    windows = [[(first, end, 100)] for first, end in pairwise([0, *(stay[0] for stay in stays)])]
    flags = [position in important for position in range(len(stays))]
    return SharedCar(ordinal, [stay[1] for stay in stays], [stay[2] for stay in stays], [windows], flags)


def used(plan: TurnPlan, car: int) -> dict[int, int]:
    path = plan.paths[car]
    return dict(zip(path.used_slot.tolist(), path.used_wh.tolist(), strict=True))


@pytest.mark.parametrize("important", [0, 1])
def test_the_car_with_the_important_journey_gets_the_night_before(important):
    cars = [
        car_of(ordinal, (4, 400, FULL), (8, 400, FULL), important={0} if ordinal == important else ())
        for ordinal in (0, 1)
    ]
    plan = share_outlets(home_of([3] * 8, [4], *cars))
    assert plan.holders[0] == (important,)
    assert plan.objective == Objective(0, 400, 1200)
    assert plan.paths[important].unmet_wh.tolist() == [0, 0]
    assert plan.paths[1 - important].unmet_wh.tolist() == [400, 0]


def test_important_energy_counts_before_more_energy_that_is_not():
    # alone in the only turn, the important car lacks nothing and the other 400 Wh; the other way round 100 and 0
    small, large = car_of(0, (4, 100, FULL), important={0}), car_of(1, (4, 400, FULL))
    plan = share_outlets(home_of([3] * 4, [], small, large))
    assert plan.holders == ((0,),)
    assert plan.objective == Objective(0, 400, 300)


def test_a_car_that_can_wait_waits_for_the_one_that_leaves_first():
    # the first night is cheaper for both, and the car that can wait has the lower ordinal
    plan = share_outlets(home_of([2] * 4 + [5] * 4, [4], car_of(0, (8, 400, FULL)), car_of(1, (4, 400, FULL))))
    assert plan.holders == ((1,), (0,))
    assert plan.objective == Objective(0, 0, 2 * 400 + 5 * 400)
    assert (used(plan, 0), used(plan, 1)) == ({4: 100, 5: 100, 6: 100, 7: 100}, {0: 100, 1: 100, 2: 100, 3: 100})


def test_a_full_battery_leaves_the_night_to_the_other_car():
    full = car_of(0, (4, 0, 0), (8, 200, 400))
    plan = share_outlets(home_of([-5] * 4 + [3] * 4, [4], full, car_of(1, (8, 200, 400))))
    assert plan.holders == ((1,), (0,))
    assert plan.objective == Objective(0, 0, -5 * 400 + 3 * 200)


def test_prices_below_zero_go_to_the_car_with_more_room():
    plan = share_outlets(home_of([-2] * 4, [], car_of(0, (4, 0, 100)), car_of(1, (4, 0, 400))))
    assert plan.holders == ((1,),)
    assert plan.objective == Objective(0, 0, -800)


def test_without_a_swap_in_the_night_one_car_is_short_and_with_one_none_is():
    cars = [car_of(ordinal, (8, 400, FULL)) for ordinal in (0, 1)]
    assert share_outlets(home_of([3] * 8, [], *cars)).objective == Objective(0, 400, 1200)
    shared = share_outlets(home_of([3] * 8, [4], *cars))
    assert shared.objective == Objective(0, 0, 2400)
    assert shared.holders == ((0,), (1,))


def two_outlet_car(ordinal, need, caps, end=4):
    return SharedCar(ordinal, [need], [FULL * 9], [[[(0, end, cap)] if cap else []] for cap in caps], [False])


def test_of_two_outlets_the_faster_one_goes_to_the_car_that_needs_it():
    cars = two_outlet_car(0, 300, (100, 400)), two_outlet_car(1, 1600, (100, 400))
    plan = share_outlets(home_of([3] * 4, [], *cars, outlets=2))
    assert plan.holders == ((0, 1),)
    assert plan.objective == Objective(0, 0, 3 * 1900)


def test_one_car_never_draws_from_two_outlets_in_one_turn():
    plan = share_outlets(home_of([3] * 4, [], two_outlet_car(0, 800, (100, 150)), outlets=2))
    assert plan.holders == ((NOBODY, 0),)
    assert plan.objective == Objective(0, 200, 3 * 600)


def test_a_car_may_move_to_the_other_outlet_in_the_next_turn():
    mover = SharedCar(0, [500], [FULL], [[[(0, 4, 50)]], [[(2, 4, 200)]]], [False])
    plan = share_outlets(home_of([3] * 4, [2], mover, outlets=2))
    assert plan.holders == ((0, NOBODY), (NOBODY, 0))
    assert used(plan, 0) == {0: 50, 1: 50, 2: 200, 3: 200}


def test_of_equal_plans_the_one_with_the_fewest_swaps_is_taken_then_the_lower_ordinal_first():
    plan = share_outlets(home_of([3] * 8, [2, 4, 6], car_of(5, (8, 100, FULL)), car_of(2, (8, 100, FULL))))
    assert plan.holders == ((1,), (1,), (1,), (0,))
    assert plan.swaps == 1


def test_a_turn_belongs_to_the_only_car_at_home_or_to_nobody():
    out = SharedCar(0, [100, 100], [FULL, FULL], [[[(0, 2, 100)], []]], [False, False])
    back = SharedCar(1, [0, 100], [FULL, FULL], [[[], [(4, 6, 100)]]], [False, False])
    plan = share_outlets(home_of([3] * 6, [2, 4], out, back))
    assert plan.holders == ((0,), (NOBODY,), (1,))
    assert plan.swaps == 1


def test_no_cars_and_no_half_hours_are_an_empty_answer():
    empty = share_outlets(home_of([1, 1], [1]))
    assert (empty.holders, empty.objective, empty.is_proven) == (((NOBODY,), (NOBODY,)), Objective(0, 0, 0), True)
    none = share_outlets(SharedHome(price_tables([]), [], 1, [SharedCar(0, [10], [10], [[[]]], [True])]))
    assert none.objective == Objective(10, 10, 0)


def least_of(prices, car, slots):
    """Return the best (important unmet, unmet, cost) of all plans of a car; slots are (segment, slot, cap)."""
    floor = np.maximum.accumulate(np.maximum(car.lower_wh, 0)).tolist()
    roof = np.maximum(car.upper_wh, floor).tolist()
    best = None
    for energies in product(*(range(cap + 1) for _, _, cap in slots)):
        elsewhere, important = 0, 0
        for segment in range(len(floor)):
            here = sum(energy for (of, _, _), energy in zip(slots, energies, strict=True) if of <= segment)
            short = max(0, floor[segment] - here - elsewhere)
            elsewhere += short
            important += short if car.is_important[segment] else 0
            if here + elsewhere > roof[segment]:
                break
        else:
            cost = sum(prices[slot] * energy for (_, slot, _), energy in zip(slots, energies, strict=True))
            best = min(best or (important, elsewhere, cost), (important, elsewhere, cost))
    return best


def best_of_every_plan(home):
    """Return the best of all plans under all ways to give the turns, cell by cell, each half-hour counted alone."""
    prices = home.tables.price_up.tolist()
    seen = {}
    found = []
    ways = [way for way in product(range(home.outlets + 1), repeat=len(home.cars)) if is_sharing(way)]
    for given in product(ways, repeat=len(home.turns)):
        total = np.zeros(3, dtype=int)
        for position, car in enumerate(home.cars):
            mine = tuple(way[position] for way in given)
            if (position, mine) not in seen:
                slots = [
                    (segment, slot, cap)
                    for outlet, segments in enumerate(car.windows)
                    for segment, windows in enumerate(segments)
                    for first, end, cap in windows
                    for slot in range(first, end)
                    if mine[sum(slot >= cut for cut in home.boundaries)] == outlet + 1
                ]
                seen[position, mine] = least_of(prices, car, sorted(slots, key=lambda entry: entry[1]))
            total += seen[position, mine]
        found.append(tuple(total.tolist()))
    return Objective(*min(found))


def is_sharing(way):
    taken = [choice for choice in way if choice]
    return len(set(taken)) == len(taken)


def tiny_home(rng):
    count, cars, outlets = 6, int(rng.integers(2, 4)), int(rng.integers(1, 3))
    caps = rng.integers(0, 3, outlets).tolist()
    found = []
    for ordinal in range(cars):
        segments = int(rng.integers(1, 4))
        cuts = np.sort(rng.integers(0, count + 1, 2 * segments)).tolist()
        groups = [(cuts[2 * place], cuts[2 * place + 1]) for place in range(segments)]
        lower = np.cumsum(rng.integers(-1, 5, segments))
        found.append(
            SharedCar(
                ordinal,
                lower.tolist(),
                (lower + rng.integers(-1, 4, segments)).tolist(),
                [[[(first, end, cap)] for first, end in groups] for cap in caps],
                (rng.random(segments) < 0.4).tolist(),
            )
        )
    boundaries = sorted(rng.choice(np.arange(1, count), int(rng.integers(0, 3)), replace=False).tolist())
    return SharedHome(price_tables(rng.integers(-2, 5, count)), boundaries, outlets, found)


def test_small_homes_get_the_best_of_all_plans_under_all_ways_to_share():
    rng = np.random.default_rng(11)
    shorter, negative = 0, 0
    for _ in range(120):
        home = tiny_home(rng)
        plan = share_outlets(home)
        assert plan.objective == best_of_every_plan(home)
        shorter += plan.objective.important_unmet_wh > 0
        negative += plan.objective.cost_np < 0
    assert shorter > 10
    assert negative > 10


SIZES = ((2, 1, 8), (3, 1, 7), (4, 1, 5), (2, 2, 4), (3, 2, 3), (4, 2, 3))


@pytest.mark.parametrize(("cars", "outlets", "most_turns"), SIZES)
def test_weeks_get_the_best_of_all_ways_to_share_and_the_first_of_equals(cars, outlets, most_turns):
    rng = np.random.default_rng(cars * 10 + outlets)
    for _ in range(5):
        home = random_home(rng, cars=cars, outlets=outlets, most_turns=most_turns)
        plan, best = share_outlets(home), best_of_all(home)
        assert (plan.objective, plan.holders) == (best.objective, best.holders)
        assert plan.is_proven
        assert objective_with(home, plan.holders) == plan.objective == plan.bound


@pytest.mark.parametrize(("cars", "outlets"), [(2, 1), (3, 1), (2, 2)])
def test_weeks_are_worth_what_highs_finds(cars, outlets):
    rng = np.random.default_rng(cars * 10 + outlets)
    for _ in range(3):
        home = random_home(rng, cars=cars, outlets=outlets)
        objective, answer = share_outlets(home).objective, TurnProgramme(home).solve()
        assert objective_with(home, answer.holders) == objective
        assert answer[1:3] == objective[:2]
        assert answer.cost_p == pytest.approx(objective.cost_np / 1e9, abs=1e-5)


@pytest.mark.parametrize("outlets", [1, 2])
def test_the_order_in_which_cars_are_given_changes_nothing(outlets):
    rng = np.random.default_rng(3)
    for _ in range(8):
        home = random_home(rng, cars=3, outlets=outlets, most_turns=6)
        order = rng.permutation(3).tolist()
        plan = share_outlets(home)
        other = share_outlets(replace(home, cars=[home.cars[position] for position in order]))
        named = [[NOBODY if holder == NOBODY else order[holder] for holder in turn] for turn in other.holders]
        assert named == [list(turn) for turn in plan.holders]
        assert (other.objective, other.swaps) == (plan.objective, plan.swaps)
        for place, position in enumerate(order):
            assert used(other, place) == used(plan, position)


def test_more_chances_to_swap_never_make_a_home_worse():
    rng = np.random.default_rng(4)
    better = 0
    for _ in range(12):
        home = random_home(rng, cars=3, outlets=1, most_turns=8)
        fewer = share_outlets(replace(home, boundaries=home.boundaries[::2])).objective
        better += share_outlets(home).objective < fewer
        assert share_outlets(home).objective <= fewer
    assert better > 3


def test_nobody_holds_two_outlets_or_one_it_cannot_use():
    rng = np.random.default_rng(8)
    for _ in range(10):
        home = random_home(rng, cars=4, outlets=2)
        plan = share_outlets(home)
        for (begins, ends), holders in zip(home.turns, plan.holders, strict=True):
            held = [holder for holder in holders if holder != NOBODY]
            assert len(set(held)) == len(held)
            for outlet, holder in enumerate(holders):
                windows = [] if holder == NOBODY else [w for group in home.cars[holder].windows[outlet] for w in group]
                assert holder == NOBODY or any(cap and max(a, begins) < min(b, ends) for a, b, cap in windows)


def test_why_says_what_the_important_journey_would_lack():
    cars = car_of(0, (4, 400, FULL), important={0}), car_of(1, (4, 100, FULL))
    home = home_of([3] * 4, [], *cars)
    [reason] = why_tonight(home, share_outlets(home), 0)
    assert (reason.outlet, reason.holder) == (0, 0)
    [other] = reason.alternatives
    assert (other.car, other.objective) == (1, Objective(400, 400, 300))
    assert (other.extra_important_unmet_wh, other.extra_unmet_wh, other.extra_cost_np) == (400, 300, 300 - 1200)


def test_why_says_what_the_choice_saves_where_either_would_do():
    # whoever has the cheap night: 300 Wh at 2 or 100 Wh at 2, the other waits and pays 5
    home = home_of([2] * 4 + [5] * 4, [4], car_of(0, (8, 100, FULL)), car_of(1, (8, 300, FULL)))
    plan = share_outlets(home)
    [tonight], [later] = why_tonight(home, plan, 0), why_tonight(home, plan, 1)
    assert (tonight.holder, later.holder) == (1, 0)
    assert [(each.car, each.extra_unmet_wh, each.extra_cost_np) for each in tonight.alternatives] == [(0, 0, 600)]
    assert [(each.car, each.extra_unmet_wh, each.extra_cost_np) for each in later.alternatives] == [(1, 0, 600)]


def test_why_is_worse_by_nothing_where_both_are_the_same():
    home = home_of([2] * 8, [4], car_of(0, (8, 100, FULL)), car_of(1, (8, 100, FULL)))
    [reason] = why_tonight(home, share_outlets(home), 0)
    assert [each[1:] for each in map(extras, reason.alternatives)] == [(0, 0, 0)]


def extras(each):
    return each.car, each.extra_important_unmet_wh, each.extra_unmet_wh, each.extra_cost_np


def test_why_on_two_outlets_leaves_every_other_turn_free_to_change():
    rng = np.random.default_rng(6)
    for _ in range(4):
        home = random_home(rng, cars=3, outlets=2, most_turns=3)
        plan = share_outlets(home)
        for reason in why_tonight(home, plan, 1):
            for each in reason.alternatives:
                forced = SharedHome(home.tables, home.boundaries, 2, [
                    only_for(car, position == each.car, reason.outlet, home.turns[1])
                    for position, car in enumerate(home.cars)
                ])  # fmt: skip
                assert each.objective == best_of_all(forced).objective
                assert each.objective >= plan.objective


def only_for(car, is_it, outlet, turn):
    """Return a car without windows in a turn where it may not have this outlet, or must have it."""

    def outside(window):
        first, end, cap = window
        return [(a, b, cap) for a, b in ((first, min(end, turn[0])), (max(first, turn[1]), end)) if a < b]

    kept = [
        groups
        if (number == outlet) == is_it
        else [[part for window in group for part in outside(window)] for group in groups]
        for number, groups in enumerate(car.windows)
    ]
    return replace(car, windows=kept)


def test_a_home_that_is_too_large_gets_an_honest_bound():
    rng = np.random.default_rng(9)
    home = random_home(rng, cars=4, outlets=2)
    home = replace(home, boundaries=list(range(12, home.tables.count, 12)))
    plan = share_outlets(home)
    assert not plan.is_proven
    assert plan.bound < plan.objective == objective_with(home, plan.holders)
    assert plan.gap != Gap(0, 0, 0)
    assert share_outlets(home).holders == plan.holders


def test_a_gap_in_cost_is_told_only_where_unmet_energy_is_proven():
    plan = share_outlets(home_of([3] * 4, [], car_of(0, (4, 100, FULL))))
    assert plan.gap == Gap(0, 0, 0)
    assert replace(plan, bound=Objective(0, 0, 100)).gap == Gap(0, 0, 200)
    assert replace(plan, objective=Objective(0, 5, 300), bound=Objective(0, 0, 100)).gap == Gap(0, 5, None)


def test_each_car_may_have_a_planner_of_its_own():
    rng = np.random.default_rng(12)
    different = 0
    for _ in range(10):
        free = random_home(rng, cars=2, outlets=1, most_turns=6)
        noons = np.arange(24, free.tables.count, 48)

        def one_run_a_night(batch, tables=free.tables, noons=noons):
            stay = np.repeat(np.arange(len(batch.lower_wh)), np.diff(batch.window_offset))
            night = stay * (len(noons) + 1) + np.searchsorted(noons, batch.window_first, side="right")
            return cheapest_blocks(tables, batch, night, np.zeros(len(batch.segment_offset) - 1, dtype=np.int64))

        by_night = [
            [[(a, b, cap) for first, end, cap in group for a, b in cut_at(noons, first, end)] for group in groups]
            for groups in free.cars[0].windows
        ]
        timed = replace(free.cars[0], windows=by_night, evaluate=one_run_a_night)
        home = replace(free, cars=[timed, free.cars[1]])
        plan = share_outlets(home)
        assert plan.is_proven
        options = []
        for holders in product((0, 1), repeat=len(home.turns)):
            parts = [
                share_outlets(replace(home, cars=[only_in(car, position, holders, home.turns)])).objective
                for position, car in enumerate(home.cars)
            ]
            options.append(tuple(sum(values) for values in zip(*parts, strict=True)))
        assert plan.objective == Objective(*min(options))
        different += plan.objective != share_outlets(free).objective
    assert different > 2


def cut_at(noons, first, end):
    edges = [first, *(int(noon) for noon in noons if first < noon < end), end]
    return pairwise(edges)


def only_in(car, position, holders, spans):
    """Return a car with the windows it has in its own turns; adjoining turns stay one window."""
    mine = [span for span, holder in zip(spans, holders, strict=True) if holder == position]
    joined = []
    for first, end in mine:
        if joined and joined[-1][1] == first:
            joined[-1] = (joined[-1][0], end)
        else:
            joined.append((first, end))
    kept = [
        [
            [(max(a, x), min(b, y), cap) for a, b, cap in group for x, y in joined if max(a, x) < min(b, y)]
            for group in groups
        ]
        for groups in car.windows
    ]
    return replace(car, windows=kept)


def test_windows_keep_the_edges_they_came_with_and_get_none_where_a_turn_goes_on():
    batches = []

    def listening(batch):
        batches.append(batch)
        return cheapest_paths(tables, batch)

    tables = price_tables([3] * 12)
    car = SharedCar(0, [100], [FULL], [[[(0, 5, 100), (5, 12, 100)]]], [False])
    share_outlets(SharedHome(tables, [4, 8], 1, [car]), listening)
    last = batches[-1]
    assert list(zip(last.window_first.tolist(), last.window_end.tolist(), strict=True)) == [(0, 5), (5, 12)]


def test_a_planner_that_does_worse_for_being_cut_short_is_never_called_proven():
    tables = price_tables([3, 1, 2, 4, 3, 2, 1, 1])

    def dear_when_short(batch):
        plans = cheapest_paths(tables, batch)
        slots = np.concatenate([[0], np.cumsum(batch.window_end - batch.window_first)])
        own = np.diff(slots[batch.window_offset[batch.segment_offset]])
        return replace(plans, cost_np=plans.cost_np + 1000 * (8 - own))

    cars = [car_of(ordinal, (8, 100, FULL)) for ordinal in (0, 1)]
    home = SharedHome(tables, [2, 4, 6], 1, cars)
    assert share_outlets(home, partial(cheapest_paths, tables)).is_proven
    assert not share_outlets(home, dear_when_short).is_proven


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"boundaries": [0]}, "boundaries"),
        ({"boundaries": [8]}, "boundaries"),
        ({"boundaries": [4, 4]}, "boundaries"),
        ({"cars": [car_of(1, (8, 1, 1)), car_of(1, (8, 1, 1))]}, "ordinal"),
        ({"outlets": 2}, "windows for every outlet"),
        ({"cars": [replace(car_of(1, (8, 1, 1)), is_important=[])]}, "one entry a segment"),
        ({"cars": [car_of(number, (8, 0, MAX_ENERGY_WH // 2 + 1)) for number in (0, 1)]}, "more than"),
    ],
)
def test_a_home_that_makes_no_sense_is_refused(changes, words):
    sound = home_of([3] * 8, [4], car_of(0, (8, 1, 1)))
    with pytest.raises(ValueError, match=words):
        replace(sound, **changes)
