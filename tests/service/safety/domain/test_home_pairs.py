"""Each car with its lead at each outlet that may feed it: what it draws, what may flow there, and the answer."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from decimal import Decimal

from service.households.domain.homes import CarInputs, HomeInputs, LeadInputs
from service.safety.domain.clearance import outlet_clearance
from service.safety.domain.home_evidence import Evidence
from service.safety.domain.home_pairs import CarPair, home_pairs
from service.safety.domain.lead_clearance import lead_clearance
from service.safety.domain.levels import Clearance
from service.safety.domain.overrides import OverrideKind, OverrideRecord
from tests.factories.signs import LEAD, LONDON, SOCKET, TETHERED, inspection_of, looked_after, report_of

NOON = datetime(2026, 11, 25, 12, 0, tzinfo=UTC)
STRONG = replace(LEAD, rated_a=13, set_a=13, settings_a=(6, 8, 10, 13))
OUTLETS = (SOCKET, TETHERED)
INSPECTED = looked_after([inspection_of(SOCKET.id, "2026-06-01"), inspection_of(TETHERED.id, "2026-06-01")],
                         outlets=OUTLETS, leads=(LEAD,))  # fmt: skip


def car(lead: LeadInputs | None, *outlet_ids: str) -> CarInputs:
    first, *others = outlet_ids
    return CarInputs("car", 1, "blue car", 52_000, Decimal("3.6"), 32, 1, 80, 20, first, lead, None, None, (), (),
                     tuple(others))  # fmt: skip


def pairs(lead: LeadInputs | None = LEAD, *outlet_ids: str, evidence: Evidence = INSPECTED) -> tuple[CarPair, ...]:
    leads = (lead,) if lead else ()
    cars = (car(lead, *(outlet_ids or (SOCKET.id,))),)
    home = HomeInputs("home", "H-1", "Europe/London", "england", None, None, 1, OUTLETS, cars, (), leads)
    cleared = [outlet_clearance(outlet, evidence, at=NOON, zone=LONDON) for outlet in OUTLETS]
    return home_pairs(home, cleared, [lead_clearance(each, evidence, at=NOON, zone=LONDON) for each in leads])


def test_a_car_within_the_limit_is_told_what_it_draws_and_what_may_flow() -> None:
    (found,) = pairs()
    assert (found.clearance, found.drawn_a, found.allowed_a) == (Clearance.FIT_TO_USE, 10, 10)
    assert "within what may flow" in found.words
    whats = [step.what for step in found.steps]
    assert whats == ["Current that the car draws", "Current that may be carried for hours"]


def test_a_lead_set_above_the_outlet_is_not_used_until_it_is_shown_to_be_set_lower() -> None:
    (found,) = pairs(STRONG)
    assert (found.clearance, found.drawn_a, found.allowed_a) == (Clearance.DO_NOT_USE, 13, 10)
    assert (found.set_to_a, found.words.partition(":")[0]) == (10, "set the lead to 10 A and show it in a photo")
    (shown,) = pairs(replace(STRONG, setting_shown_a=10))
    assert (shown.clearance, shown.words) == (Clearance.USE_WITH_LIMITS, "keep the lead set to 10 A")


def test_each_outlet_that_may_feed_the_car_stands_for_itself() -> None:
    found = pairs(STRONG, SOCKET.id, TETHERED.id)
    assert [(each.outlet.label, each.lead and each.lead.label) for each in found] == [
        ("garage", "portable lead"), ("wall", None),
    ]  # fmt: skip
    assert (found[1].drawn_a, found[1].allowed_a, found[1].clearance) == (32, 32, Clearance.FIT_TO_USE)


def test_where_outlet_or_lead_allow_nothing_that_is_said_and_what_would_be_drawn_is_still_known() -> None:
    (unknown,) = pairs(evidence=looked_after([], outlets=OUTLETS, leads=(LEAD,)))
    assert (unknown.clearance, unknown.drawn_a, unknown.allowed_a) == (Clearance.NOT_KNOWN, 10, None)
    assert unknown.words == "the outlet allows no charging now"
    stopped = replace(INSPECTED, signs=(report_of("lead_recalled", outlet_id=None),))
    (found,) = pairs(evidence=stopped)
    assert (found.clearance, found.words) == (Clearance.DO_NOT_USE, "the lead may not be used now")


def test_without_a_lead_where_one_is_needed_it_is_not_known() -> None:
    (found,) = pairs(None)
    assert (found.clearance, found.drawn_a) == (Clearance.NOT_KNOWN, None)
    assert "no lead is recorded" in found.words


def test_a_lead_that_does_not_fit_an_outlet_joins_no_car_to_it() -> None:
    cable = replace(LEAD, kind="mode_3_cable", rated_a=20, settings_a=())
    evidence = looked_after([inspection_of(SOCKET.id, "2026-06-01")], outlets=OUTLETS, leads=(cable,))
    (found,) = pairs(cable, evidence=evidence)
    assert (found.clearance, found.drawn_a, found.lead) == (Clearance.NOT_KNOWN, None, None)
    assert "does not fit" in found.words


def test_a_decision_that_limits_a_lead_stops_what_is_set_above_it() -> None:
    decided = OverrideRecord("decided", OverrideKind.STRICTER, "lead", LEAD.id, Clearance.USE_WITH_LIMITS, 6, None,
                             None, "worn plug", NOON - timedelta(days=1))  # fmt: skip
    evidence = replace(INSPECTED, overrides=(decided,))
    (found,) = pairs(evidence=evidence)
    assert (found.clearance, found.drawn_a, f"{LEAD.label} may carry 6 A" in found.words) == (
        Clearance.DO_NOT_USE, 10, True,
    )  # fmt: skip
    (lower,) = pairs(replace(LEAD, set_a=6), evidence=evidence)
    assert (lower.clearance.allows_charging, lower.drawn_a) == (True, 6)


def test_an_outlet_that_is_not_of_the_home_has_no_pair() -> None:
    assert pairs(LEAD, "elsewhere") == ()
