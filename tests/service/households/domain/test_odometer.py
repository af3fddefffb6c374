"""What an odometer says, and what it must not."""

from datetime import date, timedelta
from decimal import Decimal

import pytest

from service.common.errors import Rejected
from service.households.domain.odometer import (
    READINGS_MAX,
    OdometerDetails,
    between_readings,
    check_reading,
    estimated_days,
)

TODAY = date(2026, 11, 25)


def reading(day: int, miles: int | str) -> OdometerDetails:
    return OdometerDetails(date(2026, 11, day), Decimal(miles))


def faults(new: OdometerDetails, *others: OdometerDetails) -> list[tuple[str, str]]:
    with pytest.raises(Rejected) as refused:
        check_reading(new, others, today=TODAY)
    return [(fault.field, fault.rule) for fault in refused.value.faults]


def test_a_reading_between_its_neighbours_is_taken() -> None:
    check_reading(reading(10, 20_100), [reading(1, 20_000), reading(20, 20_100)], today=TODAY)


def test_a_reading_never_runs_back_to_either_side() -> None:
    assert faults(reading(10, 19_999), reading(1, 20_000)) == [
        ("miles", "must be at least 20000: on 2026-11-01 it stood at 20000 miles, and it never runs back")
    ]
    assert faults(reading(10, 20_200), reading(20, 20_100)) == [
        ("miles", "must be at most 20100: on 2026-11-20 it stood at 20100 miles, and it never runs back")
    ]


def test_every_fault_is_named_at_once() -> None:
    found = faults(reading(26, 10), reading(1, 20_000), reading(26, 20_500), reading(27, 5))
    assert [field for field, _ in found] == ["read_on", "read_on", "miles", "miles"]


def test_more_miles_than_a_car_does_are_refused() -> None:
    ((field, rule),) = faults(reading(2, 21_501), reading(1, 20_000))
    assert field == "miles" and "1500 miles a day" in rule
    check_reading(reading(2, 21_500), [reading(1, 20_000)], today=TODAY)


@pytest.mark.parametrize("miles", ["-0.1", "1000001", "3.25"])
def test_miles_that_no_odometer_shows_are_refused(miles: str) -> None:
    with pytest.raises(Rejected):
        reading(1, miles)


def test_there_is_a_bound_on_readings() -> None:
    many = [OdometerDetails(date(2024, 1, 1) + timedelta(days=each), Decimal(each)) for each in range(READINGS_MAX)]
    assert faults(reading(20, 30_000), *many)[0][0] == ""


def test_miles_between_are_spread_over_the_days_nobody_kept_and_kept_days_stand() -> None:
    kept = {date(2026, 11, 3): Decimal(30), date(2026, 11, 9): Decimal(99)}
    (between,) = between_readings([reading(5, 20_100), reading(1, 20_000)], kept)
    assert (between.miles, between.kept_miles, between.is_less) == (Decimal(100), Decimal(30), False)
    days = estimated_days([between])
    assert days == tuple((date(2026, 11, day), Decimal("23.3")) for day in (2, 4, 5))
    assert date(2026, 11, 3) not in dict(days)


def test_a_diary_with_more_than_the_odometer_ran_leaves_nothing_to_spread_and_is_told() -> None:
    (between,) = between_readings([reading(1, 20_000), reading(4, 20_010)], {date(2026, 11, 2): Decimal(30)})
    assert between.is_less
    assert [miles for _, miles in estimated_days([between])] == [Decimal("0.0")] * 2


def test_where_every_day_is_kept_nothing_is_estimated() -> None:
    kept = {date(2026, 11, day): Decimal(5) for day in (2, 3)}
    assert estimated_days(between_readings([reading(1, 10), reading(3, 20)], kept)) == ()


def test_one_reading_says_nothing() -> None:
    assert between_readings([reading(1, 10)], {}) == ()
