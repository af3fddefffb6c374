"""Years of state of charge: equal to a plain oracle, and to closed forms where the miles are constant."""

import time
from datetime import date, timedelta

import numpy as np
import pytest

from service.advice.domain.diary_years import diary_blocks, draw_years
from service.advice.domain.lead_simulation import FILLED_NIGHTS, Battery, simulate

BATTERY = Battery(40_000, 32_000, 8_000)


def plain_year(used, gains, battery: Battery, fill_before_wh: int | None = None) -> list[int]:
    """Say night by night what a plain reading of the rule makes of one year."""
    charge, missing = battery.ceiling_wh, []
    for day in range(len(used)):
        ceiling = battery.ceiling_wh
        if fill_before_wh is not None and any(each > fill_before_wh for each in used[day : day + FILLED_NIGHTS]):
            ceiling = battery.full_wh
        room = max(0, ceiling - charge)
        charge += min(room, gains[day])
        charge -= used[day]
        lacks = 0
        if charge < battery.reserve_wh:
            lacks = battery.reserve_wh - charge
            charge = battery.reserve_wh
        missing.append(lacks)
    return missing


@pytest.mark.parametrize("seed", range(8))
@pytest.mark.parametrize("is_filled", [False, True])
def test_nights_are_those_of_a_plain_reading_of_the_rule(seed: int, is_filled: bool) -> None:
    rng = np.random.default_rng(seed)
    used = rng.integers(0, 45_000, size=(56, 6)).astype(np.int32) // rng.integers(1, 5, size=(56, 6)).astype(np.int32)
    gains = [int(each) for each in rng.integers(0, 20_000, size=56)]
    fill = 15_000 if is_filled else None
    found = simulate(used, gains, BATTERY, fill_before_wh=fill)
    expected = [plain_year([int(each) for each in used[:, year]], gains, BATTERY, fill) for year in range(6)]
    assert found.missing_wh.T.tolist() == expected
    assert found.night_share == sum(lack > 0 for year in expected for lack in year) / (56 * 6)
    weeks = [any(year[first : first + 7]) for year in expected for first in range(0, 56, 7)]
    assert found.week_share == pytest.approx(sum(weeks) / len(weeks))
    assert found.missing_wh_a_year == round(sum(map(sum, expected)) / 6)
    assert found.short_nights_a_year == sum(lack > 0 for year in expected for lack in year) / 6


@pytest.mark.parametrize(("used_wh", "gain_wh"), [(12_000, 12_000), (5_000, 9_000), (24_000, 24_000)])
def test_constant_miles_that_a_night_gives_back_never_fall_short(used_wh: int, gain_wh: int) -> None:
    nights = simulate(np.full((364, 3), used_wh, dtype=np.int32), [gain_wh] * 364, BATTERY)
    assert (nights.night_share, nights.week_share) == (0, 0)


@pytest.mark.parametrize(("used_wh", "gain_wh"), [(12_000, 11_000), (12_000, 4_500), (20_000, 19_900)])
def test_constant_miles_beyond_a_night_fall_short_from_the_day_the_buffer_is_gone(used_wh: int, gain_wh: int) -> None:
    nights = simulate(np.full((364, 1), used_wh, dtype=np.int32), [gain_wh] * 364, BATTERY)
    # The first night finds the battery at its ceiling; from then on a day takes more than a night gives.
    buffer_wh = BATTERY.ceiling_wh - BATTERY.reserve_wh - used_wh
    days_carried = 1 + buffer_wh // (used_wh - gain_wh)
    assert np.count_nonzero(nights.missing_wh[:days_carried]) == 0
    assert (nights.missing_wh[days_carried:] > 0).all()
    assert nights.night_share == pytest.approx((364 - days_carried) / 364)
    assert int(nights.missing_wh[-1, 0]) == used_wh - gain_wh


def test_a_day_beyond_the_ceiling_is_carried_where_the_nights_before_it_may_fill() -> None:
    used = np.full((28, 1), 4_000, dtype=np.int32)
    used[13] = 30_000
    assert simulate(used, [10_000] * 28, BATTERY).night_share > 0
    assert simulate(used, [10_000] * 28, BATTERY, fill_before_wh=10_000).night_share == 0


def test_shares_of_groups_of_years_stand_apart() -> None:
    used = np.full((14, 4), 1_000, dtype=np.int32)
    used[:, 2:] = 30_000
    assert simulate(used, [20_000] * 14, BATTERY).night_shares(2).tolist() == [0.0, 1.0]


def test_ten_thousand_years_are_simulated_quickly(record_property) -> None:
    rng = np.random.default_rng(1)
    used = rng.integers(0, 25_000, size=(364, 10_000)).astype(np.int32)
    began = time.perf_counter()
    nights = simulate(used, [12_000] * 364, BATTERY)
    took_s = time.perf_counter() - began
    record_property("seconds_for_10000_years", round(took_s, 3))
    print(f"10,000 years in {took_s:.3f} s")  # printed, never asserted: the machine may be busy
    assert nights.years == 10_000


@pytest.mark.parametrize("seed", range(5))
def test_years_of_a_diary_are_those_of_a_plain_bootstrap(seed: int) -> None:
    """Draw with the same dice by plain lists and loops, from whole weeks and from days, and compare night by night."""
    start = date(2026, 11, 2)
    for count in (21, 10):
        values = np.random.default_rng(seed + 100).integers(0, 40_000, size=count)
        diary = {start + timedelta(days=each): int(values[each]) for each in range(count)}
        blocks = diary_blocks(diary)
        used = draw_years(blocks, 4, np.random.default_rng(seed))
        found = simulate(used, [11_000] * 364, BATTERY)
        plain = plain_weeks(diary, seed) if count == 21 else plain_days(diary, seed)
        assert found.missing_wh.T.tolist() == [plain_year(year, [11_000] * 364, BATTERY) for year in plain]


def plain_weeks(diary: dict[date, int], seed: int) -> list[list[int]]:
    days = list(diary.values())
    weeks = [days[first : first + 7] for first in range(0, len(days), 7)]
    dice = np.random.default_rng(seed).integers(len(weeks), size=(1, 4, 52))[0]
    return [[wh for pick in year for wh in weeks[pick]] for year in dice.tolist()]


def plain_days(diary: dict[date, int], seed: int) -> list[list[int]]:
    rng = np.random.default_rng(seed)
    weekdays = [wh for day, wh in diary.items() if day.weekday() < 5]
    weekends = [wh for day, wh in diary.items() if day.weekday() >= 5]
    pools = [weekdays] * 5 + [weekends] * 2
    dice = [rng.integers(len(pool), size=(1, 4, 52))[0].tolist() for pool in pools]
    return [
        [pools[weekday][dice[weekday][year][week]] for week in range(52) for weekday in range(7)] for year in range(4)
    ]
