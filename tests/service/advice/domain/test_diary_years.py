"""Years drawn from a diary."""

from datetime import date, timedelta

import numpy as np
import pytest

from service.advice.domain.diary_years import (
    YEAR_DAYS,
    LaidOver,
    diary_blocks,
    draw_other_diaries,
    draw_years,
    gains_of_year,
    with_journeys,
    year_starts_on,
)

WEDNESDAY = date(2026, 11, 4)


def diary(days: int, *, start: date = WEDNESDAY) -> dict[date, int]:
    """Return days that each take another energy, by which it is known again."""
    return {start + timedelta(days=each): 1000 + each for each in range(days)}


def rng() -> np.random.Generator:
    return np.random.default_rng(7)


def test_two_whole_weeks_are_kept_together_from_whichever_day_they_start() -> None:
    blocks = diary_blocks(diary(14))
    assert (blocks.is_by_weeks, blocks.first_weekday) == (True, 2)
    years = draw_years(blocks, 5, rng())
    assert years.shape == (YEAR_DAYS, 5)
    weeks = {tuple(week) for year in years.T for week in year.reshape(-1, 7)}
    assert weeks == {tuple(range(1000, 1007)), tuple(range(1007, 1014))}


def test_a_gap_leaves_fewer_whole_weeks() -> None:
    kept = diary(28)
    del kept[WEDNESDAY + timedelta(days=9)]
    blocks = diary_blocks(kept)
    assert blocks.is_by_weeks and len(blocks.weeks) == 3


def test_with_one_whole_week_weekdays_stand_for_weekdays_and_weekends_for_weekends() -> None:
    kept = diary(9)
    blocks = diary_blocks(kept)
    assert not blocks.is_by_weeks
    years = draw_years(blocks, 20, rng())
    weekend = {wh for day, wh in kept.items() if day.weekday() >= 5}
    assert set(years[5::7].flat) | set(years[6::7].flat) == weekend
    assert set(years[0::7].flat) == set(kept.values()) - weekend


def test_a_diary_without_weekends_draws_all_days_for_them() -> None:
    kept = {day: wh for day, wh in diary(12).items() if day.weekday() < 5}
    assert set(draw_years(diary_blocks(kept), 50, rng())[5].flat) <= set(kept.values())


def test_every_week_comes_as_often_as_any_other() -> None:
    years = draw_years(diary_blocks(diary(28)), 1000, rng())
    firsts, counts = np.unique(years[0::7], return_counts=True)
    assert list(firsts) == [1000, 1007, 1014, 1021]
    assert counts == pytest.approx(13_000, rel=0.03)  # 52,000 weeks over four


def test_the_same_seed_draws_the_same_years() -> None:
    blocks = diary_blocks(diary(21))
    assert (draw_years(blocks, 10, rng()) == draw_years(blocks, 10, rng())).all()


def test_other_diaries_hold_some_weeks_of_this_one_and_each_keeps_to_its_own() -> None:
    years = draw_other_diaries(diary_blocks(diary(21)), 30, 50, rng())
    kinds = [frozenset(part[0::7].flat) for part in np.split(years, 30, axis=1)]
    assert set().union(*kinds) == {1000, 1007, 1014}
    assert len({len(kind) for kind in kinds}) > 1  # some hold one week twice or thrice


def test_a_journey_takes_the_place_of_its_days_and_nothing_is_charged_while_it_is_away() -> None:
    years = draw_years(diary_blocks(diary(14)), 3, rng())
    used, gains = with_journeys(years, [9000] * YEAR_DAYS, [LaidOver(10, 2, 33_000, True)])
    assert (used[10] == 33_000).all() and (used[11:13] == 0).all() and (used[13] == years[13]).all()
    assert list(gains[9:15]) == [9000, 9000, 0, 0, 9000, 9000]


def test_a_journey_besides_the_routine_is_added() -> None:
    years = draw_years(diary_blocks(diary(14)), 3, rng())
    used, _ = with_journeys(years, [9000] * YEAR_DAYS, [LaidOver(363, 3, 500, False)])
    assert (used[363] == years[363] + 500).all()


def test_a_year_starts_on_the_next_day_of_its_kind_and_its_nights_follow() -> None:
    assert year_starts_on(date(2026, 11, 25), 2) == date(2026, 11, 25)
    assert year_starts_on(date(2026, 11, 25), 0) == date(2026, 11, 30)
    assert gains_of_year(range(7), 2)[:8] == (2, 3, 4, 5, 6, 0, 1, 2)
