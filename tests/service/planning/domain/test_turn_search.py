"""The search behind shared outlets: what it skips, what it falls back to, and what it compiles."""

import numpy as np
import pytest

from service.planning.domain import turn_search
from service.planning.domain.turns import _board, share_outlets, warm_up
from tests.prove.random_homes import random_home
from tests.prove.turn_oracles import objective_of


@pytest.mark.parametrize(("cars", "outlets", "most_turns"), [(2, 1, 8), (3, 1, 6), (2, 2, 4), (3, 2, 3)])
def test_a_set_that_is_never_solved_has_the_worth_of_the_plan_made_for_it(cars, outlets, most_turns):
    rng = np.random.default_rng(cars * 10 + outlets)
    solved = compared = 0

    for _ in range(3):
        home = random_home(rng, cars=cars, outlets=outlets, most_turns=most_turns)
        board = _board(home, None)
        turns = len(home.turns)
        allowed = np.concatenate([np.ones((cars, turns, 1), dtype=bool), board.useful], axis=2)
        sets, _ = turn_search._sets_of_turns(outlets + 1, turns)
        [(evaluate, ranks)] = board.groups

        def counting(batch, evaluate=evaluate):
            nonlocal solved
            solved += len(batch.segment_offset) - 1
            return evaluate(batch)

        board.groups[:] = [(counting, ranks)]
        nothing = np.zeros((cars, turns), dtype=np.int8)
        worth = turn_search._worths(board, nothing, np.arange(turns), allowed)
        for rank, position in enumerate(board.order):
            for number, choices in enumerate(sets.tolist()):
                if all(allowed[rank, turn, choice] for turn, choice in enumerate(choices)):
                    expected = objective_of(home, home.cars[position], tuple(choices))
                    short, cost_np, _ = worth[rank, number].tolist()
                    assert (short >> 31, short & (2**31 - 1), cost_np) == expected
                    compared += 1
    assert 0 < solved < compared


def test_a_search_by_parts_stays_between_the_bound_and_the_best(monkeypatch):
    rng = np.random.default_rng(10)
    homes = [random_home(rng, cars=3, outlets=1 + number % 2) for number in range(12)]
    exact = [share_outlets(home).objective for home in homes]
    monkeypatch.setattr(turn_search, "_MOST_SETS", 0)
    monkeypatch.setattr(turn_search, "_FEW_SETS", 200)
    by_parts = [share_outlets(home) for home in homes]
    assert all(plan.bound <= best <= plan.objective for plan, best in zip(by_parts, exact, strict=True))
    assert all(plan.objective == best for plan, best in zip(by_parts, exact, strict=True) if plan.is_proven)
    assert sum(plan.objective == best for plan, best in zip(by_parts, exact, strict=True)) >= 8


def test_after_warming_up_nothing_is_left_to_compile():
    warm_up()
    compiled = [len(turn_search._clip.signatures), len(turn_search._add_car.signatures)]
    rng = np.random.default_rng(1)
    for outlets in (1, 2):
        share_outlets(random_home(rng, cars=2, outlets=outlets))
    assert [len(turn_search._clip.signatures), len(turn_search._add_car.signatures)] == compiled == [1, 1]
