"""What one more Wh is worth, against planning again with it."""

from dataclasses import replace

import numpy as np

from service.planning.domain.path_kernel import price_tables
from service.planning.domain.supply_flow import SupplyCar, share_supply
from service.planning.domain.supply_worth import SupplyWorth, supply_worth
from tests.prove.small_shared_weeks import small_week


def test_headroom_in_the_cheap_half_hour_is_worth_the_step_to_the_next():
    cars = [SupplyCar(at, [1000], [5000], [[(0, 4, 1000)]]) for at in range(2)]
    tables, headroom = price_tables([5, 3, 9, 4]), [1000] * 4
    plan = share_supply(tables, cars, headroom)
    assert supply_worth(tables, cars, headroom, (), plan) == SupplyWorth(
        (0, 1, 0, 0), (False,) * 4, ((5,), (5,))
    )  # full at 3 and 4; the next Wh needed would cost 5


def test_headroom_that_lets_a_shortfall_shrink_is_not_money():
    cars = [SupplyCar(0, [1000], [5000], [[(0, 2, 1000)]])]
    tables, headroom = price_tables([5, 3]), [300, 300]
    worth = supply_worth(tables, cars, headroom, (), share_supply(tables, cars, headroom))
    assert worth == SupplyWorth((None, None), (True, True), ((None,),))


def test_the_worth_of_one_more_wh_is_what_planning_again_finds():
    rng = np.random.default_rng(7)
    told = {"cost": 0, "relieves": 0, "need": 0, "short": 0}
    for _ in range(200):
        week = small_week(rng)
        plan = week.plan()
        worth = supply_worth(week.prices, week.cars, week.headroom_wh, week.circuits_wh, plan)
        for slot in range(week.prices.count):
            wider = [wh + (at == slot) for at, wh in enumerate(week.headroom_wh)]
            again = replace(week, headroom_wh=wider).plan()
            if worth.relieves[slot]:
                assert week.lacking(again) < week.lacking(plan)
                assert worth.headroom_up[slot] is None
            else:
                assert week.lacking(again) == week.lacking(plan)
                assert plan.cost_np - again.cost_np == worth.headroom_up[slot]
            told["relieves"] += worth.relieves[slot]
            told["cost"] += bool(worth.headroom_up[slot])
        for at, own in enumerate(week.cars):
            for stay, price_up in enumerate(worth.need_up[at]):
                least = np.maximum.accumulate(np.maximum(own.lower_wh, 0))
                most = np.minimum.accumulate(np.maximum(own.upper_wh, least)[::-1])[::-1]
                added = np.arange(len(least)) >= stay
                more = replace(own, lower_wh=(least + added).tolist(), upper_wh=(most + added).tolist())
                again = replace(week, cars=[more if each is own else each for each in week.cars]).plan()
                if price_up is None:
                    assert again.unmet_wh == plan.unmet_wh + 1
                else:
                    assert again.unmet_wh == plan.unmet_wh
                    assert again.cost_np - plan.cost_np == price_up
                told["short" if price_up is None else "need"] += 1
    assert min(told.values()) > 30, told
