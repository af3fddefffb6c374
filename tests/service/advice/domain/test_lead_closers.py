"""What would close a gap, tried on the same years."""

import numpy as np
import pytest

from service.advice.domain.diary_years import YEAR_DAYS
from service.advice.domain.lead_closers import Remedies, Years, closers, permille, without_longest
from service.advice.domain.lead_simulation import Battery

BATTERY = Battery(40_000, 32_000, 8_000)


def years(used_wh: int, gain_wh: int) -> Years:
    return Years(np.full((YEAR_DAYS, 2), used_wh, dtype=np.int32), (gain_wh,) * 7, 0, (), BATTERY)


def test_nothing_is_offered_where_nothing_falls_short() -> None:
    asked = years(9_000, 9_000)
    assert closers(asked, asked.nights(), Remedies(other_car_wh=1)) == ()


def test_only_the_longest_day_of_each_week_goes_to_the_other_car() -> None:
    used = np.tile(np.array([[1], [9], [3], [4], [5], [6], [7], [2], [2], [2], [2], [2], [2], [2]], dtype=np.int32), 2)
    left = without_longest(used, 4)
    assert left[:, 0].tolist() == [1, 4, 3, 4, 5, 6, 7, 2, 2, 2, 2, 2, 2, 2]
    assert used[1, 0] == 9, "the years themselves stay as they were"


def test_a_lead_without_limit_shows_what_the_battery_lacks() -> None:
    assert years(30_000, 5_000).nights_always_full().night_share == 1
    assert years(20_000, 5_000).nights_always_full().night_share == 0


@pytest.mark.parametrize(("share", "told"), [(0, 0), (0.00001, 1), (0.0126, 13), (1, 1000)])
def test_what_is_there_at_all_is_never_told_as_none(share: float, told: int) -> None:
    assert permille(share) == told
