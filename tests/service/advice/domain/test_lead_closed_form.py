"""What can be said of a lead without simulation."""

from decimal import Decimal

import pytest

from service.advice.domain.lead_closed_form import carried_miles, carried_miles_a_day, hours_for, long_journey
from service.advice.domain.lead_simulation import Battery
from service.planning.domain.charging import miles_per_hour

BATTERY = Battery(40_000, 32_000, 8_000)
RULE_OF_THUMB = "common practice, no source: fifty miles a day, fourteen hours plugged in, four miles an hour"
MILEAGE = "7,100 miles a year (National Travel Survey, from memory) at 3.0 miles per kWh at the wall on a 2.3 kW lead"


@pytest.mark.reference
@pytest.mark.parametrize("miles", [50, 40, 17, 1])
def test_fifty_miles_a_day_or_fewer_are_carried_by_fourteen_hours_at_four_miles_an_hour(miles, reference) -> None:
    reference(source=RULE_OF_THUMB, expected=True, got=carried_miles(Decimal(14), Decimal(4)) >= miles)


@pytest.mark.reference
@pytest.mark.parametrize(
    ("name", "source", "expected", "got"),
    [
        ("hours for 17 miles", RULE_OF_THUMB, 4.25, lambda: hours_for(Decimal(17), Decimal(4))),
        ("miles in 14 hours", RULE_OF_THUMB, 56, lambda: carried_miles(Decimal(14), Decimal(4))),
        ("miles a day", MILEAGE, 19.45, lambda: Decimal(7100) / 365),
        ("kWh a day at the wall", MILEAGE, 6.48, lambda: Decimal(7100) / 365 / 3),
        (
            "hours a day",
            MILEAGE,
            2.82,
            lambda: hours_for(Decimal(7100) / 365, miles_per_hour(2300, 1000, Decimal(3))),
        ),
    ],
    ids=lambda value: value if isinstance(value, str) and len(value) < 25 else "",
)
def test_a_years_miles_come_to_so_much_a_day(name, source, expected, got, reference) -> None:
    reference(source=source, expected=expected, got=float(got()), tolerance=0.005)


def test_no_night_carries_more_than_lies_between_reserve_and_ceiling() -> None:
    assert carried_miles_a_day((12_000,) * 7, BATTERY, Decimal(4)) == Decimal("48.0")
    assert carried_miles_a_day((60_000,) * 7, BATTERY, Decimal(4)) == Decimal("96.0")
    assert carried_miles_a_day((12_000, 0, 0, 0, 0, 0, 0), BATTERY, Decimal(4)) == Decimal("6.8")


def test_a_journey_within_the_ceiling_needs_the_usual_night() -> None:
    found = long_journey(24_000, usual_wh=5_000, gain_wh=10_000, battery=BATTERY)
    assert (found.nights_to_fill, found.elsewhere_wh) == (0, 0)


def test_a_longer_one_is_filled_for_over_nights_that_win_what_they_give_beyond_a_usual_day() -> None:
    found = long_journey(31_000, usual_wh=5_000, gain_wh=8_000, battery=BATTERY)
    assert (found.nights_to_fill, found.elsewhere_wh) == (3, 0)  # 7 kWh past the ceiling at 3 kWh a night


def test_one_beyond_the_battery_needs_the_rest_on_the_way() -> None:
    found = long_journey(45_000, usual_wh=5_000, gain_wh=15_000, battery=BATTERY)
    assert (found.nights_to_fill, found.elsewhere_wh) == (1, 13_000)


def test_nights_that_win_nothing_fill_for_nothing() -> None:
    found = long_journey(31_000, usual_wh=8_000, gain_wh=8_000, battery=BATTERY)
    assert (found.nights_to_fill, found.elsewhere_wh, found.nights_until_usual) == (None, 7_000, None)
    losing = long_journey(20_000, usual_wh=9_000, gain_wh=8_000, battery=BATTERY)
    assert (losing.nights_to_fill, losing.elsewhere_wh) == (None, 12_000)


@pytest.mark.parametrize("used_wh", range(1_000, 60_000, 4_700))
@pytest.mark.parametrize("gain_wh", [5_500, 9_000, 21_000])
def test_nights_to_fill_are_those_that_counting_them_finds(used_wh: int, gain_wh: int) -> None:
    usual_wh = 5_000
    found = long_journey(used_wh, usual_wh=usual_wh, gain_wh=gain_wh, battery=BATTERY)
    target = min(used_wh + BATTERY.reserve_wh, BATTERY.full_wh)
    morning, nights = BATTERY.ceiling_wh, 0
    while morning < target:
        morning, nights = min(BATTERY.full_wh, morning - usual_wh + gain_wh), nights + 1
    assert found.nights_to_fill == nights
    assert found.elsewhere_wh == max(0, used_wh + BATTERY.reserve_wh - BATTERY.full_wh)
