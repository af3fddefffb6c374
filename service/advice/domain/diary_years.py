"""Years of driving drawn from a short diary: what is kept stands for what is to come, as it was kept.

Whole weeks are drawn whole where there are two or more of them, so that a long Saturday keeps its quiet Sunday; with
fewer, days are drawn by themselves, weekdays for weekdays and weekends for weekends. A week may begin on any weekday:
the one that makes the most whole weeks of this diary. Journeys entered for dates ahead are laid over each year.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final

import numpy as np
from numpy.typing import NDArray

FEWEST_DAYS: Final = 7
"""Fewer days of diary say nothing."""
MOST_DAYS: Final = 60
"""Older days than the newest sixty are left out: own choice, how a car is driven changes."""
FEWEST_WEEKS: Final = 2
WEEK_DAYS: Final = 7
YEAR_WEEKS: Final = 52
YEAR_DAYS: Final = YEAR_WEEKS * WEEK_DAYS
_SATURDAY: Final = 5

Energies = NDArray[np.int32]
"""Battery energy that a day's driving takes [Wh]."""


@dataclass(frozen=True)
class DiaryBlocks:
    """What years are drawn from; ``first_weekday`` is the day on which a simulated week begins, 0 is Monday.

    ``weeks`` has a row for each whole week, in the order of its days; where it has none, ``pools`` holds the days to
    draw from for each day of a simulated week.
    """

    first_weekday: int
    weeks: Energies
    pools: tuple[Energies, ...]

    @property
    def is_by_weeks(self) -> bool:
        """Tell whether whole weeks are drawn."""
        return len(self.weeks) >= FEWEST_WEEKS


@dataclass(frozen=True)
class LaidOver:
    """A journey of a date ahead: its day of the year, days until it is back, battery energy it takes [Wh]."""

    day: int
    days_away: int
    used_wh: int
    replaces_routine: bool


def diary_blocks(used_wh: Mapping[date, int]) -> DiaryBlocks:
    """Return the blocks of a diary, by day the battery energy that was driven [Wh]."""
    starts = {weekday: _whole_weeks(used_wh, weekday) for weekday in range(WEEK_DAYS)}
    first = max(range(WEEK_DAYS), key=lambda weekday: (len(starts[weekday]), -weekday))
    weeks = np.array(
        [[used_wh[start + timedelta(days=each)] for each in range(WEEK_DAYS)] for start in starts[first]],
        dtype=np.int32,
    ).reshape(-1, WEEK_DAYS)
    if len(weeks) >= FEWEST_WEEKS:
        return DiaryBlocks(first, weeks, ())
    return DiaryBlocks(0, weeks[:0], tuple(_pool(used_wh, weekday) for weekday in range(WEEK_DAYS)))


def draw_years(blocks: DiaryBlocks, years: int, rng: np.random.Generator) -> Energies:
    """Return years of driving, shape (days of a year, years): each a row of blocks drawn with replacement."""
    return _draw(blocks, 1, years, rng)


def draw_other_diaries(blocks: DiaryBlocks, diaries: int, years: int, rng: np.random.Generator) -> Energies:
    """Return years drawn from diaries that might have been kept instead, the years of one diary side by side.

    Each such diary is as many blocks as there are, drawn with replacement: how much its years differ from another's
    is how much so short a diary leaves open.
    """
    return _draw(blocks, diaries, years, rng, is_resampled=True)


def with_journeys(used: Energies, gains_wh: Sequence[int], journeys: Sequence[LaidOver]) -> tuple[Energies, Energies]:
    """Return the years, and each night's gain [Wh], with journeys laid over: no charging at home while away.

    ``gains_wh`` are those of the year's nights, the first before its first day.
    """
    driven = used.copy()
    gains = np.array(gains_wh, dtype=np.int32)
    for journey in journeys:
        last = min(journey.day + journey.days_away, YEAR_DAYS - 1)
        if journey.replaces_routine:
            driven[journey.day : last + 1] = 0
        driven[journey.day] += journey.used_wh
        gains[journey.day + 1 : last + 1] = 0
    return driven, gains


def gains_of_year(gains_wh: Sequence[int], first_weekday: int) -> tuple[int, ...]:
    """Return the nights of a year from those before each weekday, Monday first."""
    week = [gains_wh[(first_weekday + each) % WEEK_DAYS] for each in range(WEEK_DAYS)]
    return tuple(week * YEAR_WEEKS)


def year_starts_on(today: date, first_weekday: int) -> date:
    """Return the first day of the simulated year: the next of its weekday, today included."""
    return today + timedelta(days=(first_weekday - today.weekday()) % WEEK_DAYS)


def _whole_weeks(used_wh: Mapping[date, int], weekday: int) -> list[date]:
    return [
        day
        for day in sorted(used_wh)
        if day.weekday() == weekday and all(day + timedelta(days=each) in used_wh for each in range(WEEK_DAYS))
    ]


def _pool(used_wh: Mapping[date, int], weekday: int) -> Energies:
    alike = [used_wh[day] for day in sorted(used_wh) if (day.weekday() >= _SATURDAY) == (weekday >= _SATURDAY)]
    return np.array(alike or [used_wh[day] for day in sorted(used_wh)], dtype=np.int32)


def _draw(
    blocks: DiaryBlocks, diaries: int, years: int, rng: np.random.Generator, *, is_resampled: bool = False
) -> Energies:
    if blocks.is_by_weeks:
        picks = _picks(len(blocks.weeks), (diaries, years, YEAR_WEEKS), rng, is_resampled=is_resampled)
        drawn = blocks.weeks[picks]  # (diaries, years, weeks, days)
        return np.ascontiguousarray(drawn.reshape(diaries * years, YEAR_DAYS).T)
    used = np.empty((YEAR_WEEKS, WEEK_DAYS, diaries * years), dtype=np.int32)
    for position, pool in enumerate(blocks.pools):
        picks = _picks(len(pool), (diaries, years, YEAR_WEEKS), rng, is_resampled=is_resampled)
        used[:, position, :] = pool[picks].reshape(diaries * years, YEAR_WEEKS).T
    return used.reshape(YEAR_DAYS, diaries * years)


def _picks(
    count: int, shape: tuple[int, int, int], rng: np.random.Generator, *, is_resampled: bool
) -> NDArray[np.int64]:
    drawn = rng.integers(count, size=shape)
    if not is_resampled:
        return drawn
    kept = rng.integers(count, size=(shape[0], count))
    return np.take_along_axis(kept, drawn.reshape(shape[0], -1), axis=1).reshape(shape)
