"""Habits as half-hours, also on the days on which clocks change."""

from datetime import UTC, date, datetime
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest

from service.common.slots import slot_index, slot_start
from service.planning.domain.evening import NOON_MIN, quiet_spans, slots_at
from service.planning.domain.price_book import LocalWeek

LONDON = ZoneInfo("Europe/London")


def local_week(day: date) -> LocalWeek:
    return LocalWeek.at(slot_index(datetime(day.year, day.month, day.day, tzinfo=UTC)) + 2, LONDON)


@pytest.mark.parametrize("day", [date(2026, 6, 10), date(2026, 3, 25), date(2026, 10, 22)])
def test_a_time_of_day_stays_that_time_through_a_clock_change(day):
    found = slots_at(local_week(day), LONDON, (1140,))
    assert len(found) == 7
    assert {slot_start(slot).astimezone(LONDON).strftime("%H:%M") for slot in found} == {"19:00"}


def test_noons_stand_between_nights():
    found = slots_at(local_week(date(2026, 10, 22)), LONDON, (NOON_MIN,))
    hours = [later - earlier for earlier, later in pairwise(found)]
    assert hours == [48, 48, 50, 48, 48, 48]  # the clock goes back in the night to Sunday the 25th


def test_quiet_hours_past_midnight_reach_into_the_week_and_out_of_it():
    week = local_week(date(2026, 6, 10))  # it begins at 02:00 in London
    spans = quiet_spans(week, LONDON, (23 * 60, 6 * 60))
    assert [(first - week.day_slot, end - week.day_slot) for first, end in spans[:2]] == [(4, 12), (46, 60)]
    assert spans[-1][1] == week.end_slot
    assert len(spans) == 8


def test_a_half_hour_that_is_quiet_in_part_is_quiet_and_no_habit_leaves_all_open():
    week = local_week(date(2026, 6, 10))
    spans = quiet_spans(week, LONDON, (13 * 60 + 10, 13 * 60 + 40))
    assert [(first - week.day_slot, end - week.day_slot) for first, end in spans[:1]] == [(26, 28)]
    assert quiet_spans(week, LONDON, None) == ()
