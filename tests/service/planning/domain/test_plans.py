"""Plans tell their block times, and their causes are stable words."""

from service.planning.domain.plans import Cause
from service.planning.domain.week import plan_household
from tests.factories.charging_weeks import FIRST_SLOT, car, trip, week_of

TRIPS = (trip(0, "07:00", "18:00", 24_000),)


def test_block_times_are_what_a_timer_is_set_to():
    plan = plan_household(week_of(car(trips=TRIPS)))
    assert plan.vehicles[0].block_times() == ((FIRST_SLOT + 2, FIRST_SLOT + 9),)
    assert plan.block_times() == (("car", ((FIRST_SLOT + 2, FIRST_SLOT + 9),)),)


def test_a_change_of_energy_within_the_same_half_hours_moves_no_times():
    plan = plan_household(week_of(car(trips=TRIPS)))
    less = plan_household(week_of(car(start_charge_wh=20_001, trips=TRIPS)))
    assert less != plan
    assert less.block_times() == plan.block_times()


def test_causes_are_stable_words():
    assert [cause.value for cause in Cause] == [
        "battery_too_small",
        "too_few_hours_at_home",
        "no_usable_outlet",
        "evidence_ends",
        "outlet_shared",
        "supply_shared",
    ]
