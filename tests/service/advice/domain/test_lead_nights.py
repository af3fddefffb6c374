"""How long a car is plugged in before each day."""

from decimal import Decimal

import pytest

from service.advice.domain.lead_nights import battery_gains_wh, plugged_minutes
from service.households.domain.homes import RoutineLine


def commute(*, leaves: str = "08:00", back: str = "18:00", days: range = range(5)) -> list[RoutineLine]:
    return [RoutineLine(day, minutes(leaves), minutes(back), 0, Decimal(20)) for day in days]


def minutes(clock: str) -> int:
    hours, rest = clock.split(":")
    return int(hours) * 60 + int(rest)


def test_a_night_runs_from_coming_back_to_leaving() -> None:
    found = plugged_minutes(commute())
    assert found[1:5] == (14 * 60,) * 4  # Tuesday to Friday: 18:00 to 08:00


def test_days_without_a_drive_run_from_noon_to_noon_and_nothing_is_counted_twice() -> None:
    found = plugged_minutes(commute())
    # Friday 18:00 to Saturday noon, noon to noon, Sunday noon to Monday 08:00.
    assert (found[5], found[6], found[0]) == (18 * 60, 24 * 60, 20 * 60)
    assert sum(found) == 7 * 1440 - 5 * 600


def test_whoever_plugs_in_late_has_fewer_hours() -> None:
    assert plugged_minutes(commute(), plug_in_min=minutes("22:00"))[2] == 10 * 60


def test_quiet_hours_over_midnight_are_taken_off() -> None:
    assert plugged_minutes(commute(), quiet_min=(minutes("23:00"), minutes("05:00")))[2] == 8 * 60


def test_being_back_an_hour_earlier_gives_an_hour_more_but_never_before_leaving() -> None:
    assert plugged_minutes(commute(), back_earlier_min=60)[2] == 15 * 60
    short = commute(leaves="08:00", back="08:20")
    assert sum(plugged_minutes(short, back_earlier_min=60)) == 7 * 1440


def test_a_night_shift_charges_by_day() -> None:
    shift = [RoutineLine(day, minutes("21:00"), minutes("07:00"), 1, Decimal(20)) for day in range(7)]
    assert plugged_minutes(shift) == (14 * 60,) * 7


def test_a_car_that_is_away_over_a_weekend_has_no_night_there() -> None:
    away = [RoutineLine(4, minutes("17:00"), minutes("20:00"), 2, Decimal(200))]
    found = plugged_minutes(away)
    assert (found[5], found[6]) == (0, 0)
    assert found[0] == 16 * 60  # Sunday 20:00 to Monday noon


@pytest.mark.parametrize(
    ("power_w", "expected_wh"),
    [(2300, 11_500), (7360, 36_800)],
    ids=["five cheap hours on a lead", "five cheap hours at a charging point"],
)
@pytest.mark.reference
def test_five_hours_at_a_power_give_that_much_at_the_wall(power_w, expected_wh, reference) -> None:
    source = "common practice, no source: power times hours"
    (got,) = battery_gains_wh([300], Decimal(power_w), 1000)
    reference(source=source, expected=expected_wh, got=got)


def test_gains_are_rounded_down_and_shared() -> None:
    assert battery_gains_wh([61], Decimal(2300), 840) == (1963,)  # 2338 Wh at the wall
    assert battery_gains_wh([600], Decimal(2300), 1000, shared_by=2) == (11_500,)
