"""The average home: seasons as the profile bounds them, figures as published, scaled to a year's use."""

from datetime import date, timedelta
from zoneinfo import ZoneInfo

import pytest

from service.common.errors import Rejected
from service.common.slots import local_day_slots, local_walls
from service.planning.domain.typical_load import (
    PROFILE_SOURCE,
    DayType,
    Season,
    day_type_of,
    profile_year_wh,
    season_of,
    typical_w,
)

LONDON = ZoneInfo("Europe/London")


def walls_of_day(day):
    slots = local_day_slots(day, LONDON)
    return local_walls(slots.start, len(slots), LONDON)


@pytest.mark.parametrize(
    ("day", "season"),
    [
        # 2026: clocks change on 29 March and 25 October, the August bank holiday is the 31st
        (date(2026, 1, 1), Season.WINTER),
        (date(2026, 3, 28), Season.WINTER),
        (date(2026, 3, 29), Season.SPRING),
        (date(2026, 5, 15), Season.SPRING),
        (date(2026, 5, 16), Season.SUMMER),  # the 16th Saturday before 31 August
        (date(2026, 7, 24), Season.SUMMER),
        (date(2026, 7, 25), Season.HIGH_SUMMER),  # the 6th
        (date(2026, 9, 6), Season.HIGH_SUMMER),  # the Sunday after
        (date(2026, 9, 7), Season.AUTUMN),
        (date(2026, 10, 24), Season.AUTUMN),
        (date(2026, 10, 25), Season.WINTER),
        (date(2025, 8, 31), Season.HIGH_SUMMER),  # a holiday on the 25th
        (date(2025, 9, 1), Season.AUTUMN),
    ],
)
def test_seasons_begin_and_end_as_the_profile_says(day, season):
    assert season_of(day) == season


def test_summer_has_ten_weeks_and_high_summer_six_and_two_days():
    for year in range(2020, 2041):
        seasons = [season_of(date(year, 1, 1) + timedelta(days=number)) for number in range(365)]
        assert (seasons.count(Season.SUMMER), seasons.count(Season.HIGH_SUMMER)) == (70, 44)


def test_days_are_weekdays_saturdays_and_sundays():
    assert [day_type_of(date(2026, 1, day)) for day in range(5, 12)] == [
        *[DayType.WEEKDAY] * 5,
        DayType.SATURDAY,
        DayType.SUNDAY,
    ]


@pytest.mark.reference
def test_the_average_home_is_the_published_one(record_property):
    # a home that uses what the profile's does has the profile's own demand: winter weekday, half-hours that end at
    # 00:30, 04:00, 18:00 and 18:30, and the winter Sunday's 13:00 [kW]
    published = {"weekday": {0: 0.33, 7: 0.2, 35: 0.92, 36: 0.92}, "sunday": {25: 0.77}}
    own_kwh = profile_year_wh(2026) / 1000
    for kind, day in (("weekday", date(2026, 1, 7)), ("sunday", date(2026, 1, 11))):
        drawn = typical_w(walls_of_day(day), round(own_kwh))
        for half_hour, kw in published[kind].items():
            assert drawn[half_hour] == pytest.approx(kw * 1000, abs=1.5)
    record_property("source", PROFILE_SOURCE)


def test_a_year_of_it_is_what_the_home_uses():
    days = [date(2026, 1, 1) + timedelta(days=number) for number in range(365)]
    total_wh = sum(sum(typical_w(walls_of_day(day), 2_500)) for day in days) / 2
    # rounded up to whole watts, and clock changes add and drop an hour of night
    assert 2_500_000 <= total_wh <= 2_500_000 + 365 * 48 / 2 + 500


def test_twice_the_use_is_twice_the_load():
    day = walls_of_day(date(2026, 6, 10))
    for once, twice in zip(typical_w(day, 2_000), typical_w(day, 4_000), strict=True):
        assert twice in (2 * once, 2 * once - 1)
    assert set(typical_w(day, 0)) == {0}


@pytest.mark.parametrize("kwh", [-1, 100_001])
def test_a_use_out_of_range_is_refused(kwh):
    with pytest.raises(Rejected, match="must lie between"):
        typical_w(walls_of_day(date(2026, 6, 10)), kwh)
