"""Trips of some local days: zones, clock changes, journeys that replace the routine, overlaps."""

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.households.domain.homes import JourneyLine, RoutineLine
from service.households.domain.trips import TripTimes, expand_trips

LONDON = ZoneInfo("Europe/London")
MONDAY = date(2026, 11, 23)


def line(weekday: int, leaves: str, returns: str, *, later: int = 0, miles: str = "40") -> RoutineLine:
    """Return a weekly departure from clock times."""
    leaves_min, returns_min = (int(text[:2]) * 60 + int(text[3:]) for text in (leaves, returns))
    return RoutineLine(weekday, leaves_min, returns_min, later, Decimal(miles))


def journey(leaves: str, returns: str, *, replaces: bool = True, important: bool = False, id: str = "j") -> JourneyLine:
    """Return a dated journey from UTC times."""
    return JourneyLine(id, _at(leaves), _at(returns), Decimal(100), important, replaces)


def _at(text: str) -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=UTC)


def trips(
    routine: list[RoutineLine], journeys: list[JourneyLine], first_day: date = MONDAY, day_count: int = 7
) -> tuple[TripTimes, ...]:
    """Return the trips of a week in London."""
    return expand_trips(routine, journeys, zone=LONDON, first_day=first_day, day_count=day_count)


def spans(found: tuple[TripTimes, ...]) -> list[tuple[str, str]]:
    """Return leaving and returning as short UTC texts."""
    return [(f"{trip.leaves_at:%m-%d %H:%M}", f"{trip.returns_at:%m-%d %H:%M}") for trip in found]


def test_a_weekly_departure_comes_once_a_week_on_its_day() -> None:
    assert spans(trips([line(2, "07:30", "17:45")], [], day_count=14)) == [
        ("11-25 07:30", "11-25 17:45"),
        ("12-02 07:30", "12-02 17:45"),
    ]


def test_a_departure_keeps_its_wall_time_through_both_clock_changes() -> None:
    spring = trips([line(5, "07:00", "09:00"), line(0, "07:00", "09:00")], [], date(2027, 3, 27), 3)
    autumn = trips([line(5, "07:00", "09:00"), line(0, "07:00", "09:00")], [], date(2026, 10, 24), 3)
    assert [trip.leaves_at.hour for trip in spring] == [7, 6]
    assert [trip.leaves_at.hour for trip in autumn] == [6, 7]


def test_a_departure_in_the_missing_hour_moves_forward_by_the_gap() -> None:
    # Sunday 28 March 2027: London has no 01:00-02:00 (tz database).
    assert spans(trips([line(6, "01:30", "05:00")], [], date(2027, 3, 28), 1)) == [("03-28 01:30", "03-28 04:00")]


def test_a_trip_about_the_missing_hour_never_returns_before_it_leaves() -> None:
    (trip,) = trips([line(6, "01:45", "02:15")], [], date(2027, 3, 28), 1)
    assert trip.returns_at - trip.leaves_at == timedelta(minutes=30)


def test_a_trip_under_way_at_the_first_midnight_is_among_them() -> None:
    night_shift = [line(6, "21:15", "07:10", later=1)]
    assert spans(trips(night_shift, [], day_count=1)) == [("11-22 21:15", "11-23 07:10")]
    assert spans(trips([line(3, "06:00", "20:00", later=6)], [], day_count=1)) == [("11-19 06:00", "11-25 20:00")]


def test_a_trip_that_ended_by_the_first_midnight_is_not() -> None:
    assert trips([line(6, "08:00", "00:00", later=1)], [], day_count=1) == ()


def test_a_journey_replaces_the_routine_of_the_days_it_covers() -> None:
    commute = [line(day, "07:30", "17:45") for day in range(5)]
    away = journey("2026-11-24 15:00", "2026-11-26 11:00")
    assert spans(trips(commute, [away])) == [
        ("11-23 07:30", "11-23 17:45"),
        ("11-24 15:00", "11-26 11:00"),
        ("11-27 07:30", "11-27 17:45"),
    ]


def test_a_night_shift_that_ends_before_the_journey_starts_stays() -> None:
    night_shift = [line(4, "21:15", "07:10", later=1)]
    assert len(trips(night_shift, [journey("2026-11-28 09:00", "2026-11-28 18:00")])) == 2
    assert len(trips(night_shift, [journey("2026-11-28 06:00", "2026-11-28 18:00")])) == 1


def test_a_journey_that_returns_at_midnight_leaves_the_next_day_alone() -> None:
    commute = [line(day, "07:30", "17:45") for day in range(5)]
    assert ("11-25 07:30", "11-25 17:45") in spans(trips(commute, [journey("2026-11-24 15:00", "2026-11-25 00:00")]))


def test_a_journey_from_last_week_still_replaces_this_weeks_routine() -> None:
    commute = [line(day, "07:30", "17:45") for day in range(5)]
    assert spans(trips(commute, [journey("2026-11-20 15:00", "2026-11-25 12:00")]))[:2] == [
        ("11-20 15:00", "11-25 12:00"),
        ("11-26 07:30", "11-26 17:45"),
    ]


def test_a_journey_that_does_not_replace_joins_an_overlapping_departure() -> None:
    evening = journey("2026-11-25 17:30", "2026-11-25 22:00", replaces=False, important=True)
    (trip,) = trips([line(2, "08:00", "18:00")], [evening])
    assert spans((trip,)) == [("11-25 08:00", "11-25 22:00")]
    assert (trip.miles, trip.is_important) == (Decimal(140), True)
    assert trip.key == "routine:2026-11-25:480+journey:j"


def test_a_trip_that_leaves_as_another_returns_stays_its_own() -> None:
    assert len(trips([line(2, "08:00", "12:00"), line(2, "12:00", "13:00")], [])) == 2


def test_no_departures_make_no_trips() -> None:
    assert trips([], []) == ()
    assert trips([line(2, "08:00", "12:00")], [], day_count=0) == ()


minutes = st.integers(0, 1439)
routines = st.lists(
    st.builds(RoutineLine, st.integers(0, 6), minutes, minutes, st.integers(0, 6), st.just(Decimal(10))).filter(
        lambda each: each.returns_days_later * 1440 + each.returns_min > each.leaves_min
    ),
    max_size=12,
)
zones = st.sampled_from([LONDON, ZoneInfo("Europe/Berlin"), ZoneInfo("Asia/Kolkata"), ZoneInfo("Australia/Adelaide")])


@given(routines, zones, st.dates(date(2026, 1, 1), date(2027, 12, 31)), st.integers(1, 14))
def test_trips_never_overlap_and_lose_no_mile(
    routine: list[RoutineLine], zone: ZoneInfo, first_day: date, day_count: int
) -> None:
    found = expand_trips(routine, [], zone=zone, first_day=first_day, day_count=day_count)
    assert all(trip.leaves_at < trip.returns_at for trip in found)
    assert all(trip.returns_at <= after.leaves_at for trip, after in pairwise(found))
    alone = [expand_trips([each], [], zone=zone, first_day=first_day, day_count=day_count) for each in routine]
    assert sum(trip.miles for trip in found) == sum(trip.miles for each in alone for trip in each)


@pytest.mark.parametrize("day_count", [1, 7, 13])
def test_a_longer_view_only_adds_trips_at_its_end(day_count: int) -> None:
    routine = [line(day, "07:30", "17:45") for day in range(7)]
    shorter, longer = trips(routine, [], day_count=day_count), trips(routine, [], day_count=day_count + 1)
    assert longer[: len(shorter)] == shorter
    assert len(longer) == len(shorter) + 1
