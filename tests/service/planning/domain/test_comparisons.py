"""Other rules in the same week, by hand."""

from dataclasses import replace

from service.planning.domain.week import plan_household
from tests.factories.charging_weeks import FIRST_SLOT, car, trip, two_band_prices, week_of

NOONS = tuple(FIRST_SLOT + 24 + 48 * day for day in range(7))


def plan_of(vehicle, prices=None):
    return plan_household(replace(week_of(vehicle, prices=prices), noon_slots=NOONS)).vehicles[0]


def test_the_five_cheapest_hours_cost_no_less_and_leave_more_short():
    plan = plan_of(car(trips=(trip(0, "07:00", "18:00", 30_000),)))  # 14 kWh are needed by 07:00
    assert plan.cheap_hours is not None
    # ten half-hours a night: eight at 10 p, two at 30 p; 2.5 kWh stay short that the plan has
    assert plan.unmet_wh == 0
    assert plan.cheap_hours.short_wh == 14_000 - 10 * 1150
    assert plan.cheap_hours.cost_up == 8 * 11_500_000 + 2 * 34_500_000


def test_without_charging_every_journey_lacks_what_the_battery_does_not_hold():
    plan = plan_of(car(trips=(trip(0, "07:00", "18:00", 18_000), trip(1, "07:00", "18:00", 9_000))))
    assert plan.undone_short_wh == (18_000 + 4_000 - 20_000) + 9_000


def test_a_cost_with_a_price_missing_is_not_known():
    plan = plan_of(car(trips=(trip(0, "07:00", "18:00", 30_000),)), two_band_prices(known=4))
    assert plan.cheap_hours is not None
    assert plan.cheap_hours.cost_up is None
