"""What a day may take: quantiles of a diary, by hand and against numpy's own definition."""

from datetime import date, timedelta
from decimal import Decimal

import numpy as np
import pytest

from service.planning.domain.need import careful_miles, observed_quantile

MONDAY = date(2026, 3, 2)


def kept(*miles: int) -> list[tuple[date, Decimal]]:
    return [(MONDAY + timedelta(days=day), Decimal(each)) for day, each in enumerate(miles)]


def test_a_diary_of_less_than_a_week_says_nothing():
    assert careful_miles(kept(9, 9, 9, 9, 9, 9), MONDAY, 900) is None
    assert careful_miles(kept(9, 9, 9, 9, 9, 9, 9), MONDAY, 900) == 9


def test_weekends_are_judged_by_weekends_once_there_are_enough_of_them():
    days = kept(*([20, 20, 20, 20, 20, 80, 60] * 3))
    assert careful_miles(days, MONDAY, 900) == 20
    assert careful_miles(days, MONDAY + timedelta(days=5), 900) == 80
    week = kept(20, 20, 20, 20, 20, 80, 60)  # two days of a weekend are too few: all days count
    assert careful_miles(week, MONDAY + timedelta(days=5), 500) == 20


@pytest.mark.parametrize("permille", [500, 800, 900, 950, 1000])
def test_the_quantile_is_an_observed_value_the_next_one_up(permille):
    rng = np.random.default_rng(4)
    for count in (7, 10, 28, 60):
        values = [Decimal(int(each)) for each in rng.integers(0, 90, count)]
        expected = np.quantile([float(each) for each in values], permille / 1000, method="inverted_cdf")
        assert float(observed_quantile(values, permille)) == expected


def test_surer_is_never_less():
    values = [Decimal(each) for each in (3, 60, 12, 12, 40, 7, 0)]
    found = [observed_quantile(values, permille) for permille in range(500, 1001, 25)]
    assert found == sorted(found)
    assert found[-1] == 60
