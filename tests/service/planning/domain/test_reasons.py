"""Why a block is there, worked by hand; prices in pence, half-hours of 1150 Wh."""

from service.planning.domain.household_week import Control
from service.planning.domain.plans import Binding
from service.planning.domain.week import plan_household
from tests.factories.charging_weeks import car, prices_of, trip, two_band_prices, week_of


def reasons_of(vehicle, prices=None):
    plan = plan_household(week_of(vehicle, prices=prices)).vehicles[0]
    assert len(plan.reasons) == len(plan.blocks)
    return plan, plan.reasons


def test_a_block_serves_the_departure_for_which_no_more_than_needed_is_there():
    plan, (reason,) = reasons_of(car(trips=(trip(0, "07:00", "18:00", 18_300),)))
    assert (reason.binding, reason.serves_stay) == (Binding.NEED, 0)
    assert (reason.lowest_up, reason.highest_up) == (10_000_000, 10_000_000)
    # two half-hours at 10 p: six more of that price are left in the night
    assert reason.next_best_up == 0
    assert plan.stays[reason.serves_stay].trip_key == "trip 0 07:00"


def test_the_next_best_is_dearer_once_all_cheap_half_hours_are_used():
    _, reasons = reasons_of(car(trips=(trip(0, "07:00", "18:00", 25_200),)))
    assert reasons[0].next_best_up is None or reasons[0].next_best_up > 0
    plan, (reason,) = reasons_of(car(trips=(trip(0, "07:00", "18:00", 22_900),)))
    # six of eight cheap half-hours are used; the same 6.9 kWh in what is left: two at 10 p, four at 30 p
    assert plan.energy_wh == 6_900
    assert reason.next_best_up == 2 * 11_500_000 + 4 * 34_500_000 - 6 * 11_500_000


def test_where_every_half_hour_is_used_hours_decide():
    _, reasons = reasons_of(car(trips=(trip(0, "07:00", "18:00", 36_000),)))
    assert reasons[0].binding is Binding.HOURS
    assert reasons[0].next_best_up is None


def test_a_price_below_zero_pays_for_what_nobody_needs():
    _, (reason,) = reasons_of(car(), prices_of([5, 5, -3, 5]))
    assert (reason.binding, reason.serves_stay) == (Binding.PRICE, None)


def test_a_price_that_is_not_known_is_not_told():
    _, reasons = reasons_of(car(trips=(trip(0, "07:00", "18:00", 20_600),)), two_band_prices(known=3))
    assert reasons[0].lowest_up is None
    assert reasons[0].next_best_up is None


def test_of_one_run_a_night_the_next_best_is_another_run():
    prices = prices_of([30, 10, 10, 30, 12, 14, 30, 30])
    vehicle = car(control=Control.ONE_RUN, trips=(trip(0, "04:00", "05:00", 18_300),))
    plan, (reason,) = reasons_of(vehicle, prices)
    assert plan.block_times()[0][1] - plan.block_times()[0][0] == 2
    assert reason.next_best_up == (12 + 14 - 20) * 1_150_000
