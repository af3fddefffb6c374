"""How sure an answer is that rests on few days: said in plain words, with a range where one can be given."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from service.common.working import Step

RULE_OF_THREE: Final = 3
"""Of n cases without one, up to 3/n may still be so, nineteen times in twenty: common practice, no source."""
FAIR_FROM_DAYS: Final = 14
GOOD_FROM_DAYS: Final = 28
"""Own choices: two weeks, and four, before an impression is called more than a first one."""
_PERMILLE: Final = 1000
_LOW, _HIGH = 5, 95


@dataclass(frozen=True)
class Sure:
    """How sure: ``level`` in words; other diaries as long would give from ``low`` to ``high`` nights in a thousand.

    ``could_be_permille`` is how many days in a thousand may still lie beyond what a night gives though none of the
    diary does; None where some do.
    """

    level: str
    words: str
    low_permille: int
    high_permille: int
    could_be_permille: int | None
    step: Step


def how_sure(days: int, beyond_days: int, night_shares: NDArray[np.float64], *, whole_weeks: int) -> Sure:
    """Return how sure a diary makes.

    Parameters
    ----------
    days : int
        Days of the diary.
    beyond_days : int
        How many of them take more than the least night gives.
    night_shares : ndarray
        Share of nights that fall short, one for each diary that might have been kept instead.
    whole_weeks : int
        Whole weeks that years were drawn from; 0 where days were drawn.
    """
    low, high = (round(float(each) * _PERMILLE) for each in np.percentile(night_shares, (_LOW, _HIGH)))
    could_be = None if beyond_days else min(_PERMILLE, round(RULE_OF_THREE * _PERMILLE / days))
    level = _level(days)
    words = f"This is {level}: it rests on {days} days. {_range_words(low, high)}"
    if could_be is not None:
        words += (
            f" None of the {days} days took more than a night carries, but so few days cannot rule out that "
            f"{_days_in(could_be)} does."
        )
    if days < GOOD_FROM_DAYS:
        words += " Holidays, visits and winter are not in it: keep the diary for four weeks to be surer."
    step = Step(
        "How sure this is",
        {
            "days kept": str(days),
            "whole weeks drawn from": str(whole_weeks) if whole_weeks else "none: days were drawn",
            "diaries that might have been kept": str(len(night_shares)),
            "days beyond a night": str(beyond_days),
        },
        "each other diary is as many weeks or days of this one, drawn with replacement; the middle nine tenths of what "
        "their years come to; where no day lies beyond a night, up to 3 in as many days may (rule of three)",
        "common practice, no source",
        f"{low / 10:g} to {high / 10:g} % of nights"
        + ("" if could_be is None else f"; up to {could_be / 10:g} % of days not ruled out"),
    )
    return Sure(level, words, low, high, could_be, step)


def _level(days: int) -> str:
    if days < FAIR_FROM_DAYS:
        return "a first impression"
    return "a fair impression" if days < GOOD_FROM_DAYS else "a good picture"


def _range_words(low: int, high: int) -> str:
    if low == high:
        return "Other days of the same kind would come to the same."
    return f"Other weeks of the same kind would give from {low / 10:g} to {high / 10:g} nights short in a hundred."


def _days_in(permille: int) -> str:
    every = round(_PERMILLE / permille)
    return f"1 day in {every}" if every > 1 else "every day"
