"""The working of a plan: what led to it first, then its own steps, in a member's words."""

import json

from service.common.working import Step, Working
from service.planning.domain.week import plan_household
from tests.factories.charging_weeks import car, trip, two_band_prices, week_of

CURRENT = Step("Current the car may draw", {"lead as set": "10 A"}, "the least", "inspection", "10 A")


def working_of(vehicle, prices=None):
    return plan_household(week_of(vehicle, prices=prices)).vehicles[0].working


def test_steps_that_led_to_the_inputs_come_first():
    working = working_of(car(steps=(CURRENT,), trips=(trip(0, "07:00", "18:00", 15_000),)))
    assert working.steps[0] == CURRENT
    assert [step.what for step in working.steps[1:]] == [
        "Energy needed at the wall",
        "Half-hours that can be used",
        "Cheapest plan",
        "Against charging at once on arrival",
    ]


def test_results_are_the_plans_own_figures():
    steps = {step.what: step for step in working_of(car(trips=(trip(0, "07:00", "18:00", 20_600),))).steps}
    # 24.6 kWh by 07:00 against 20 in the battery: four half-hours at 10 p; back with 4 kWh, the reserve
    assert steps["Energy needed at the wall"].result == "at least 4.6 kWh by the end of the week in view"
    assert steps["Half-hours that can be used"].result == f"{336 - 22} half-hours"
    assert steps["Cheapest plan"].result == "4.6 kWh for 46 p"
    assert steps["Against charging at once on arrival"].result == "92 p on arrival, 46 p as planned"


def test_energy_without_a_price_is_said_not_costed():
    prices = two_band_prices(known=4)
    steps = {step.what: step for step in working_of(car(trips=(trip(0, "07:00", "18:00", 20_600),)), prices).steps}
    assert steps["Cheapest plan"].result == "4.6 kWh for 23 p, and 2.3 kWh at a price not known"


def test_a_shortfall_is_the_last_step_with_its_cause():
    step = working_of(car(trips=(trip(0, "07:00", "18:00", 36_000, key="far"),))).steps[-1]
    assert (step.what, step.result) == ("Shortfall", "3.9 kWh short")
    assert step.inputs == {"far, too few hours at home": "3.9 kWh"}


def test_members_never_read_slot():
    text = json.dumps(working_of(car(trips=(trip(0, "07:00", "18:00", 36_000),))).to_json())
    assert "slot" not in text.lower()


def test_a_working_survives_being_stored():
    working = working_of(car(trips=(trip(0, "07:00", "18:00", 36_000),)))
    assert Working.from_json(json.loads(json.dumps(working.to_json()))) == working
