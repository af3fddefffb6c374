"""What weeks without a record must have taken, from miles: an estimate."""

from datetime import date, timedelta
from decimal import Decimal

from service.advice.domain.charged_estimate import DrivenCar, EstimatedDay, estimated_days, wall_wh, week_of

MONDAY = date(2026, 11, 16)
WEEK = [MONDAY + timedelta(days=step) for step in range(7)]


def car(**changes: object) -> DrivenCar:
    values = {"diary": {}, "odometer": ()}
    return DrivenCar("v", "hatchback", Decimal("3.6"), 840, **{**values, **changes})  # type: ignore[arg-type]


def days_of(of: DrivenCar, recorded: frozenset[tuple[int, int]] = frozenset()) -> list[EstimatedDay]:
    return list(estimated_days(of, WEEK, recorded))


def test_a_days_miles_become_energy_at_the_wall() -> None:
    # 42 miles / 3.6 = 11.6667 kWh in the battery / 0.84 = 13.8889 kWh at the wall
    assert days_of(car(diary={MONDAY: Decimal(42)})) == [EstimatedDay(MONDAY, "v", 13_889, "diary")]


def test_a_day_not_driven_or_not_kept_is_left_out() -> None:
    assert days_of(car(diary={MONDAY: Decimal(0)})) == []


def test_a_week_with_a_record_is_never_estimated() -> None:
    diary = {day: Decimal(10) for day in WEEK}
    assert days_of(car(diary=diary), frozenset({week_of(MONDAY)})) == []
    assert len(days_of(car(diary=diary), frozenset({week_of(MONDAY - timedelta(days=1))}))) == 7


def test_what_the_odometer_rose_by_is_shared_among_days_that_the_diary_lacks() -> None:
    odometer = ((MONDAY - timedelta(days=1), Decimal(1000)), (WEEK[3], Decimal(1100)))
    found = days_of(car(diary={MONDAY: Decimal(40)}, odometer=odometer))
    assert [(day.on, day.basis) for day in found] == [
        (WEEK[0], "diary"), (WEEK[1], "odometer"), (WEEK[2], "odometer"), (WEEK[3], "odometer"),
    ]  # fmt: skip
    assert [day.energy_wh for day in found] == [wall_wh(Decimal(40), car()), *[wall_wh(Decimal(20), car())] * 3]


def test_an_odometer_that_rose_by_no_more_than_the_diary_has_adds_nothing() -> None:
    odometer = ((MONDAY - timedelta(days=1), Decimal(1000)), (WEEK[1], Decimal(1030)))
    assert [day.basis for day in days_of(car(diary={MONDAY: Decimal(40)}, odometer=odometer))] == ["diary"]


def test_a_year_with_53_weeks_keeps_its_last_week_apart() -> None:
    assert week_of(date(2026, 12, 31)) == week_of(date(2027, 1, 3)) == (2026, 53)
    assert week_of(date(2027, 1, 4)) == (2027, 1)
