from datetime import UTC, date, datetime, timedelta
from itertools import groupby
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.common.errors import Rejected
from service.common.slots import (
    SLOT_S,
    checked_zone,
    day_number,
    day_of_number,
    instant_at,
    local_day_slots,
    local_days,
    local_minutes,
    local_of,
    local_walls,
    slot_index,
    slot_start,
    slots_within,
    walls_of,
)

LONDON = ZoneInfo("Europe/London")
SPRING_2026, AUTUMN_2026 = date(2026, 3, 29), date(2026, 10, 25)
# Whole half-hours, each odd in its own way: +5:30, -3:30, +9:30 with summer time, clock changes at
# midnight (Santiago, Havana, Cairo), changes that follow a moon calendar, the far side of the date line.
ZONE_NAMES = [
    "Europe/London",
    "Europe/Lisbon",
    "America/New_York",
    "America/St_Johns",
    "America/Santiago",
    "America/Havana",
    "Africa/Cairo",
    "Africa/Casablanca",
    "Asia/Kolkata",
    "Australia/Adelaide",
    "Pacific/Apia",
    "UTC",
]

TZ_DATABASE = "tz database, Europe/London; the rule of settlement days: last Sunday of March and of October"
CLOCK_CHANGES = [
    (2024, "2024-03-31", "2024-10-27", 17_568),
    (2025, "2025-03-30", "2025-10-26", 17_520),
    (2026, "2026-03-29", "2026-10-25", 17_520),
    (2027, "2027-03-28", "2027-10-31", 17_520),
    (2028, "2028-03-26", "2028-10-29", 17_568),
    (2029, "2029-03-25", "2029-10-28", 17_520),
    (2030, "2030-03-31", "2030-10-27", 17_520),
]
ELEXON = "Elexon, settlement periods: 30 minutes, numbered in local time; 48 a day, 46 in spring, 50 in autumn"
# (day, settlement period, start in GMT, start on the wall)
SETTLEMENT_PERIODS = [
    ("2026-03-29", 1, "2026-03-29 00:00", "00:00"),
    ("2026-03-29", 2, "2026-03-29 00:30", "00:30"),
    ("2026-03-29", 3, "2026-03-29 01:00", "02:00"),
    ("2026-03-29", 46, "2026-03-29 22:30", "23:30"),
    ("2023-10-29", 1, "2023-10-28 23:00", "00:00"),
    ("2023-10-29", 2, "2023-10-28 23:30", "00:30"),
    ("2023-10-29", 3, "2023-10-29 00:00", "01:00"),
    ("2023-10-29", 4, "2023-10-29 00:30", "01:30"),
    ("2023-10-29", 5, "2023-10-29 01:00", "01:00"),
    ("2023-10-29", 6, "2023-10-29 01:30", "01:30"),
    ("2023-10-29", 50, "2023-10-29 23:30", "23:30"),
    ("2026-07-01", 1, "2026-06-30 23:00", "00:00"),
]


def days_of_year(year):
    return [date(year, 1, 1) + timedelta(days=step) for step in range((date(year + 1, 1, 1) - date(year, 1, 1)).days)]


def slots_by_day_stepping(first: datetime, last: datetime, zone: ZoneInfo):
    """The slow way: step through UTC by half-hours and ask for the local date of each."""
    steps = range(int(first.timestamp()) // SLOT_S, int(last.timestamp()) // SLOT_S)
    by_day = groupby(steps, key=lambda step: datetime.fromtimestamp(step * SLOT_S, UTC).astimezone(zone).date())
    return {day: list(slots) for day, slots in by_day}


def rule_of_thumb_offset_h(instant: datetime) -> int:
    """London's offset from the rule alone, without the tz database: 01:00Z on the last Sundays."""

    def last_sunday(month: int) -> datetime:
        last = datetime(instant.year, month, 31, 1, tzinfo=UTC)
        return last - timedelta(days=(last.weekday() + 1) % 7)

    return 1 if last_sunday(3) <= instant < last_sunday(10) else 0


@pytest.mark.reference
@pytest.mark.parametrize(("year", "spring_on", "autumn_on", "slots"), CLOCK_CHANGES)
@pytest.mark.parametrize("what", ["spring day", "autumn day", "slots in the year"])
def test_london_years_have_their_two_odd_days(year, spring_on, autumn_on, slots, what, reference):
    counts = {day.isoformat(): len(local_day_slots(day, LONDON)) for day in days_of_year(year)}
    expected, got = {
        "spring day": ([spring_on], [day for day, count in counts.items() if count == 46]),
        "autumn day": ([autumn_on], [day for day, count in counts.items() if count == 50]),
        "slots in the year": (slots, sum(counts.values())),
    }[what]
    reference(source=TZ_DATABASE, expected=expected, got=got)


@pytest.mark.reference
@pytest.mark.parametrize(
    ("on", "count"), [("2026-07-01", 48), ("2026-12-25", 48), ("2026-03-29", 46), ("2026-10-25", 50)]
)
def test_a_day_has_as_many_settlement_periods_as_published(on, count, reference):
    reference(source=ELEXON, expected=count, got=len(local_day_slots(date.fromisoformat(on), LONDON)))


@pytest.mark.reference
@pytest.mark.parametrize(("on", "period", "gmt", "wall"), SETTLEMENT_PERIODS)
def test_settlement_periods_start_when_published(on, period, gmt, wall, reference):
    slot = local_day_slots(date.fromisoformat(on), LONDON)[period - 1]
    got = f"{slot_start(slot):%Y-%m-%d %H:%M} GMT, {local_of(slot, LONDON):%H:%M} local"
    reference(source=ELEXON, expected=f"{gmt} GMT, {wall} local", got=got)


@pytest.mark.reference
@pytest.mark.parametrize("year", range(2024, 2031))
def test_london_offsets_follow_the_published_rule_all_year(year, reference):
    slots = [slot for day in days_of_year(year) for slot in local_day_slots(day, LONDON)]
    by_rule = [slot_start(slot) + timedelta(hours=rule_of_thumb_offset_h(slot_start(slot))) for slot in slots]
    alike = [
        local_of(slot, LONDON).replace(tzinfo=UTC) == wall and wall.year == year
        for slot, wall in zip(slots, by_rule, strict=True)
    ]
    source = "last Sundays at 01:00 GMT, reckoned without the tz database: slots of the year on the right wall time"
    reference(source=source, expected=366 * 48 if year % 4 == 0 else 365 * 48, got=sum(alike))


@pytest.mark.reference
@pytest.mark.parametrize("name", ZONE_NAMES)
def test_every_local_day_2024_to_2030_holds_the_slots_found_by_stepping_through_utc(name, reference):
    zone = ZoneInfo(name)
    stepped = slots_by_day_stepping(datetime(2024, 1, 1, tzinfo=UTC), datetime(2031, 1, 1, tzinfo=UTC), zone)
    whole_days = list(stepped)[1:-1]  # the ends are cut by the years' bounds
    assert len(whole_days) > 2_550
    alike = [day for day in whole_days if list(local_day_slots(day, zone)) == stepped[day]]
    source = f"stepping through UTC by half-hours, tz database, {name}: days with the same slots"
    reference(source=source, expected=len(whole_days), got=len(alike))


@pytest.mark.parametrize("name", ZONE_NAMES)
def test_walls_minutes_and_days_agree_with_the_datetime_of_each_slot(name):
    zone = ZoneInfo(name)
    first, count = slot_index(datetime(2026, 1, 1, 7, tzinfo=UTC)), 365 * 48
    locals_ = [local_of(slot, zone) for slot in range(first, first + count)]
    assert local_minutes(first, count, zone).tolist() == [local.hour * 60 + local.minute for local in locals_]
    assert [day_of_number(day) for day in local_days(first, count, zone)] == [local.date() for local in locals_]
    assert (walls_of(np.arange(first, first + count), zone) == local_walls(first, count, zone)).all()


def test_an_empty_run_of_slots_has_no_walls():
    assert local_walls(5, 0, LONDON).tolist() == []
    assert walls_of(np.zeros(0, dtype=np.int64), LONDON).tolist() == []


@given(st.integers(-10_000_000, 10_000_000), st.integers(0, SLOT_S * 1_000_000 - 1))
def test_every_instant_lies_in_the_slot_it_is_given(index, microsecond):
    instant = slot_start(index) + timedelta(microseconds=microsecond)
    assert slot_index(instant) == index
    assert slot_start(index).tzinfo is UTC


@given(
    st.timedeltas(timedelta(days=-20_000), timedelta(days=40_000)),
    st.timedeltas(timedelta(hours=-2), timedelta(days=2)),
)
def test_slots_within_a_period_are_those_that_lie_wholly_inside(since_1970, length):
    starts_at = datetime(1970, 1, 1, tzinfo=UTC) + since_1970
    ends_at = starts_at + length
    near = range(slot_index(starts_at) - 1, slot_index(max(starts_at, ends_at)) + 2)
    inside = [slot for slot in near if starts_at <= slot_start(slot) and slot_start(slot + 1) <= ends_at]
    assert list(slots_within(starts_at, ends_at)) == inside


def test_an_instant_without_offset_is_refused():
    with pytest.raises(ValueError, match="offset"):
        slot_index(datetime(2026, 1, 1))  # noqa: DTZ001 - the naive value is the point
    with pytest.raises(ValueError, match="offset"):
        slots_within(datetime(2026, 1, 1), datetime(2026, 1, 2, tzinfo=UTC))  # noqa: DTZ001


@pytest.mark.parametrize(
    ("day", "minutes", "instant"),
    [
        (date(2026, 7, 1), 0, "2026-06-30T23:00:00+00:00"),
        (date(2026, 7, 1), 1439, "2026-07-01T22:59:00+00:00"),
        (date(2026, 7, 1), 1440, "2026-07-01T23:00:00+00:00"),
        (date(2026, 7, 1), -60, "2026-06-30T22:00:00+00:00"),
        (SPRING_2026, 59, "2026-03-29T00:59:00+00:00"),
        (SPRING_2026, 60, "2026-03-29T01:00:00+00:00"),  # missing: shown as 02:00
        (SPRING_2026, 90, "2026-03-29T01:30:00+00:00"),  # missing: shown as 02:30
        (SPRING_2026, 120, "2026-03-29T01:00:00+00:00"),
        (AUTUMN_2026, 60, "2026-10-25T00:00:00+00:00"),  # repeated: the first
        (AUTUMN_2026, 119, "2026-10-25T00:59:00+00:00"),
        (AUTUMN_2026, 120, "2026-10-25T02:00:00+00:00"),
    ],
)
def test_wall_times_become_instants_missing_ones_moved_forward_repeated_ones_first(day, minutes, instant):
    assert instant_at(day, minutes, LONDON).isoformat() == instant


def test_a_day_whose_midnight_is_missing_starts_at_its_first_instant():
    santiago = ZoneInfo("America/Santiago")  # summer time began at 24:00 on Saturday 5 September 2026
    slots = local_day_slots(date(2026, 9, 6), santiago)
    assert (len(slots), f"{local_of(slots[0], santiago):%H:%M}") == (46, "01:00")


@pytest.mark.parametrize("name", ZONE_NAMES)
def test_zones_of_whole_half_hours_and_one_hour_changes_are_supported(name):
    assert checked_zone(name) is ZoneInfo(name)


@pytest.mark.parametrize(
    ("name", "why"),
    [
        ("Asia/Kathmandu", "not a whole number of half-hours"),
        ("Pacific/Chatham", "not a whole number of half-hours"),
        ("Australia/Eucla", "not a whole number of half-hours"),
        ("Australia/Lord_Howe", "other than one hour"),
        ("Antarctica/Troll", "other than one hour"),
        ("Europe/Nowhere", "not the name"),
        ("Europe", "not the name"),
        ("europe/london", "not the name"),
        ("localtime", "not the name"),
        ("../../etc/hostname", "not the name"),
        ("/etc/localtime", "not the name"),
        ("", "not the name"),
    ],
)
def test_other_zones_are_refused_by_name(name, why):
    with pytest.raises(Rejected) as caught:
        checked_zone(name, field="household.zone")
    (fault,) = caught.value.faults
    assert (fault.field, fault.value) == ("household.zone", name)
    assert why in fault.rule


@given(st.dates(date(1970, 1, 1), date(2100, 1, 1)))
def test_days_and_their_numbers_are_inverse(day):
    assert day_of_number(day_number(day)) == day
    assert slot_start(day_number(day) * 48).date() == day
