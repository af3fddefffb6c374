"""A car that would draw more than its outlet may carry is not charged, unless the lead is shown to be set lower."""

from dataclasses import replace
from typing import Any

from service.households.domain.homes import LeadInputs
from service.safety.domain.pair import PairVerdict, pair_verdict
from tests.factories.signs import LEAD, OTHER_CIRCUIT, SOCKET, TETHERED

STRONG = replace(LEAD, rated_a=13, set_a=13, settings_a=(6, 8, 10, 13))
CABLE = LeadInputs("cable", "cable", "mode_3_cable", 32, 32)


def verdict(
    lead: LeadInputs | None = STRONG, *, outlet: Any = SOCKET, car: int = 32, carry: int | None = 10
) -> PairVerdict:
    found = pair_verdict(outlet, lead, car, carry)
    assert found.working.steps
    return found


def test_what_is_drawn_within_the_limit_is_allowed() -> None:
    assert (verdict(LEAD).allows_charging, verdict(LEAD).words) == (True, "")
    assert verdict(STRONG, car=8).limit_a == 8
    assert verdict(replace(STRONG, rated_a=10, settings_a=())).allows_charging


def test_a_lead_that_cannot_be_set_lower_is_not_used_here() -> None:
    found = verdict(replace(STRONG, settings_a=()))
    assert (found.allows_charging, found.limit_a, found.set_to_a) == (False, None, None)
    assert found.words == "do not use with this lead: the car would draw 13 A, and garage may carry 10 A"


def test_a_lead_that_can_be_set_lower_waits_for_the_photo_of_its_setting() -> None:
    found = verdict()
    assert (found.allows_charging, found.set_to_a) == (False, 10)
    assert found.words.startswith("set the lead to 10 A and show it in a photo")
    shown = verdict(replace(STRONG, setting_shown_a=8))
    assert (shown.allows_charging, shown.limit_a) == (True, 8)
    assert not verdict(replace(STRONG, setting_shown_a=13)).allows_charging
    assert not verdict(replace(STRONG, setting_shown_a=5)).allows_charging


def test_a_lead_set_within_the_limit_keeps_a_caution_if_it_could_be_set_above() -> None:
    found = verdict(replace(STRONG, set_a=10))
    assert (found.allows_charging, found.limit_a, found.words) == (True, 10, "keep the lead set to 10 A or less")


def test_a_charging_point_is_what_limits_the_car_not_its_cable() -> None:
    assert verdict(CABLE, outlet=replace(OTHER_CIRCUIT, limit_a=16), carry=16).allows_charging
    found = verdict(CABLE, outlet=OTHER_CIRCUIT, carry=16)
    assert (found.allows_charging, found.words.partition(":")[0]) == (False, "have the charging point set to 16 A")
    assert not verdict(None, outlet=TETHERED, carry=16).allows_charging
    assert verdict(None, outlet=TETHERED, car=16, carry=16).allows_charging


def test_without_a_cleared_outlet_nothing_is_allowed_and_nothing_is_added() -> None:
    assert (verdict(carry=None).allows_charging, verdict(carry=None).words) == (False, "")
