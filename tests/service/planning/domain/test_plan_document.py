"""What the document says of when to set a timer, and of how sure a charge is."""

from datetime import timedelta

import pytest

from service.common.slots import slot_start
from service.planning.domain.plan_document import _turn_words, set_times, without_reasons
from service.planning.domain.plans import Block, TurnReason
from service.planning.domain.state_of_charge import charge_doubt_percent


@pytest.mark.parametrize(
    ("energies", "late_min", "early_min"),
    [
        ((1150, 1150), 0, 0),
        ((1150, 575), 0, 15),
        ((575, 1150), 15, 0),
        ((575,), 0, 15),  # alone it begins on the boundary
        ((1150, 500, 1150), 0, 0),
        ((1150, 30), 0, 29),  # 47 s are needed: rounded outwards to a minute
    ],
)
def test_a_half_hour_used_in_part_starts_late_or_ends_early_and_never_gives_less(energies, late_min, early_min):
    block = Block(100, 100 + len(energies), energies, 0, 0, 0)
    starts_at, ends_at = set_times(block, 1150)
    assert starts_at - slot_start(100) == timedelta(minutes=late_min)
    assert slot_start(100 + len(energies)) - ends_at == timedelta(minutes=early_min)
    if 500 not in energies:
        assert (ends_at - starts_at) / timedelta(hours=1) * 2300 >= sum(energies)


def test_a_plan_without_its_reasons_still_says_when_to_charge_and_leaves_the_stored_one_as_it_is():
    block = {"starts_at": "2026-11-26T01:00:00+00:00", "energy_kwh": 9.2, "why": {"binding": "need"}}
    stay = {"reached_percent": 80, "blocks": [block]}
    vehicle = {"vehicle_id": "v", "other_ways": [{"way": "on_arrival"}], "stays": [stay]}
    document = {"id": "p", "turns": [], "vehicles": [vehicle]}
    brief = without_reasons(document)
    shown = {"reached_percent": 80, "blocks": [{**block, "why": None}]}
    assert brief == {
        "id": "p", "turns": [], "vehicles": [{"vehicle_id": "v", "other_ways": [], "stays": [shown]}],
    }  # fmt: skip
    assert block["why"] == {"binding": "need"} and vehicle["other_ways"]


def test_a_charge_is_less_sure_the_older_its_reading_and_not_known_without_one():
    assert charge_doubt_percent(None, 1_000) is None
    assert charge_doubt_percent(1_000, 1_000) == 1
    assert charge_doubt_percent(1_000, 1_000 + 3 * 48 + 5) == 4
    assert charge_doubt_percent(1_000, 1_000 + 60 * 48) == 15


@pytest.mark.parametrize(("unmet_wh", "cost_up"), [(0, -1), (-100, None)])
def test_another_car_that_might_do_better_at_an_outlet_is_never_said_to_cost_more_or_the_same(unmet_wh, cost_up):
    words = _turn_words(TurnReason(is_only_one=False, unmet_wh=unmet_wh, cost_up=cost_up))
    assert words.startswith("Another car here might do better")
