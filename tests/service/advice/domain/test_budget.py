"""The set that a budget buys is the best there is: against every set there could be."""

from __future__ import annotations

import random
import time
from itertools import product

import pytest

from service.advice.domain import budget
from service.advice.domain.budget import Work, best_set


def value_of(homes: list[list[Work]], places: tuple[int | None, ...]) -> tuple[int, int, int]:
    done = [homes[home][place] for home, place in enumerate(places) if place is not None]
    return (
        sum(work.avoided_wh for work in done),
        sum(work.worth_pence for work in done),
        -sum(work.cost_pounds for work in done),
    )


def by_brute_force(homes: list[list[Work]], budget_pounds: int) -> tuple[int, int, int]:
    return max(
        value
        for places in product(*([None, *range(len(works))] for works in homes))
        for value in [value_of(homes, places)]
        if -value[2] <= budget_pounds
    )


def some_homes(dice: random.Random, *, greatest: int) -> list[list[Work]]:
    return [
        [
            Work(dice.randint(1, greatest), dice.choice([0, 0, dice.randint(0, 9)]), dice.randint(-400, 900))
            for _ in range(dice.randint(0, 3))
        ]
        for _ in range(dice.randint(0, 6))
    ]


@pytest.mark.parametrize("seed", range(8))
def test_the_choice_equals_the_best_of_all_sets(seed: int) -> None:
    print(f"seed {seed}")
    dice = random.Random(seed)
    for _ in range(60):
        homes = some_homes(dice, greatest=12)
        pounds = dice.randint(0, 40)
        chosen = best_set(homes, pounds)
        assert value_of(homes, chosen.places) == by_brute_force(homes, pounds)
        assert chosen.spent_pounds == -value_of(homes, chosen.places)[2] <= pounds
        assert chosen.is_exact


def test_shortfall_comes_before_money() -> None:
    homes = [[Work(100, 5, -20_000)], [Work(100, 0, 90_000)]]
    assert best_set(homes, 150).places == (0, None)
    assert best_set(homes, 200).places == (0, 0)


def test_two_small_works_beat_one_large_that_has_the_better_rate() -> None:
    homes = [[Work(60, 61, 0)], [Work(50, 50, 0)], [Work(50, 50, 0)]]
    assert best_set(homes, 100).places == (None, 0, 0)


def test_what_is_worth_less_than_nothing_is_left_out_however_much_there_is() -> None:
    assert best_set([[Work(10, 0, -1)], [Work(10, 0, 0)], []], 1_000).places == (None, None, None)


def test_no_money_buys_nothing() -> None:
    assert best_set([[Work(1, 1, 1)]], 0) == budget.Chosen((None,), 0, 1, True)


def test_costs_are_counted_in_the_greatest_unit_that_divides_them() -> None:
    chosen = best_set([[Work(450, 1, 1)], [Work(1_100, 1, 1)]], 1_560)
    assert (chosen.unit_pounds, chosen.spent_pounds) == (50, 1_550)


def test_three_hundred_homes_with_odd_costs_take_a_moment() -> None:
    dice = random.Random(3)
    homes = [
        [Work(dice.randint(300, 1_500), dice.randint(0, 900_000), dice.randint(-90_000, 90_000))] for _ in range(300)
    ]
    start = time.perf_counter()
    chosen = best_set(homes, 100_000)
    assert chosen.is_exact and chosen.spent_pounds <= 100_000
    print(f"{time.perf_counter() - start:.2f} s")


def test_beyond_the_bound_money_is_counted_coarser_never_over_the_budget_and_that_is_said(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(budget, "CELLS_MAX", 50)
    homes = [[Work(7, 3, 1)], [Work(11, 4, 1)], [Work(13, 5, 1)]]
    chosen = best_set(homes, 24)
    assert not chosen.is_exact and chosen.unit_pounds > 1
    assert chosen.spent_pounds <= 24
