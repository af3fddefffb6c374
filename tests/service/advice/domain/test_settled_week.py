"""A week that stands for every week begins with the cars as full as it leaves them; a shortfall is never made up."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

import pytest

from service.advice.domain.settled_week import settled, whole_week_slot
from service.common.slots import local_day_slots, slot_index
from service.planning.domain.household_week import HouseholdWeek
from service.planning.domain.side_by_side import side_of
from service.planning.domain.week import plan_household
from tests.factories.comparable_homes import CAR, home, week


def at_start(charge_permille: int) -> HouseholdWeek:
    found = week(home(CAR)).week
    (car,) = found.vehicles
    return replace(found, vehicles=(replace(car, start_charge_wh=car.battery_wh * charge_permille // 1000),))


@pytest.mark.parametrize("charge_permille", [0, 200, 800, 1000])
def test_it_ends_as_it_begins(charge_permille: int) -> None:
    found = settled(at_start(charge_permille))
    (car,), (plan,) = found.vehicles, plan_household(found).vehicles
    assert abs(plan.stays[-1].level_after_wh - car.start_charge_wh) <= 200  # needs are rounded down to 100 Wh


def test_how_full_the_car_stands_today_changes_nothing() -> None:
    energies = {plan_household(settled(at_start(each))).vehicles[0].energy_wh for each in (200, 500, 1000)}
    assert max(energies) - min(energies) <= 200
    assert min(energies) > 9_000  # 32 miles at 4 miles per kWh and 84 %
    as_they_stand = {plan_household(at_start(each)).vehicles[0].energy_wh for each in (200, 500, 1000)}
    assert (min(as_they_stand), max(as_they_stand)) == (0, 4_700)


def test_no_more_is_short_than_in_the_week_as_it_is() -> None:
    for charge_permille in (0, 300, 1000):
        before = at_start(charge_permille)
        after = settled(before)
        short = [side_of(plan_household(each), each).short_wh for each in (before, after)]
        assert short[1] <= short[0]


def test_a_whole_week_begins_at_the_next_local_midnight_also_where_the_clock_changes() -> None:
    london = ZoneInfo("Europe/London")
    for at, on in (
        (datetime(2026, 3, 28, 12, tzinfo=UTC), date(2026, 3, 29)),
        (datetime(2026, 3, 29, 0, tzinfo=UTC), date(2026, 3, 29)),
        (datetime(2026, 3, 29, 0, 30, tzinfo=UTC), date(2026, 3, 30)),
        (datetime(2026, 7, 1, 22, 30, tzinfo=UTC), date(2026, 7, 2)),
        (datetime(2026, 7, 1, 23, 0, tzinfo=UTC), date(2026, 7, 2)),
        (datetime(2026, 10, 25, 0, tzinfo=UTC), date(2026, 10, 26)),
    ):
        assert whole_week_slot(slot_index(at), london) == local_day_slots(on, london).start
