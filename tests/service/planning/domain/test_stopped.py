"""What is left of a plan that was stopped."""

from datetime import UTC, datetime

from service.planning.domain.stopped import stopped_step, without_charging

BLOCK = {"starts_at": "a", "ends_at": "b", "energy_kwh": 1.1, "cost_pence": "3"}
STAY = {
    "arrives_at": "a", "leaves_at": None, "before_percent": 40, "reached_percent": 80, "energy_kwh": 1.1,
    "cost_pence": "3", "blocks": [BLOCK],
}  # fmt: skip
SHORTFALL = {"short_kwh": 2.0, "cause": "too_few_hours_at_home"}
CAR = {
    "vehicle_id": "v", "energy_kwh": 1.1, "cost_pence": "3", "on_arrival_cost_pence": "4", "unpriced_kwh": 0.5,
    "stays": [STAY, {**STAY, "blocks": []}], "shortfalls": [SHORTFALL], "other_ways": [{"way": "on_arrival"}],
}  # fmt: skip
DOCUMENT = {
    "id": "p", "energy_kwh": 1.1, "cost_pence": "3", "on_arrival_cost_pence": "4", "vehicles": [CAR], "zone": "Z",
    "turns": [{"label": "Estate", "outlet_id": "o"}],
}  # fmt: skip


def test_no_block_no_energy_and_no_cost_is_left_anywhere() -> None:
    found = without_charging(DOCUMENT)
    assert (found["energy_kwh"], found["cost_pence"], found["on_arrival_cost_pence"]) == (0.0, None, None)
    assert found["turns"] == []  # nobody is told to plug in
    (car,) = found["vehicles"]
    assert car["other_ways"] == []
    assert (car["energy_kwh"], car["unpriced_kwh"]) == (0, 0)
    assert (car["cost_pence"], car["on_arrival_cost_pence"]) == (None, None)
    for stay in car["stays"]:
        assert (stay["blocks"], stay["energy_kwh"], stay["cost_pence"], stay["reached_percent"]) == ([], 0.0, None, 40)


def test_the_rest_stands_and_the_stored_document_is_not_touched() -> None:
    found = without_charging(DOCUMENT)
    assert set(found) == set(DOCUMENT)
    assert (found["id"], found["vehicles"][0]["shortfalls"]) == ("p", [SHORTFALL])
    assert DOCUMENT["vehicles"][0]["stays"][0]["blocks"] == [BLOCK]  # type: ignore[index]


def test_the_working_says_why_it_is_not_shown() -> None:
    step = stopped_step(datetime(2026, 11, 25, 12, tzinfo=UTC))
    assert (step.inputs, step.result) == ({"stopped at": "2026-11-25T12:00:00+00:00"}, "no charging")
