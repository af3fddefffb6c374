"""What could be done at a home's outlet, how it is planned then, and what evidence says meanwhile."""

from __future__ import annotations

from dataclasses import replace

import pytest

from service.advice.domain.upgrade_works import (
    NEW_CIRCUIT,
    POINTS,
    Cleared,
    NoQuestion,
    Target,
    Upgrade,
    Variant,
    as_if_cleared,
    changed_outlet,
    is_stopped,
    may_charge,
    target_of,
    variant_of,
    with_leads_set_down,
)
from service.common.working import Working
from service.safety.domain.lead_clearance import LeadClearance
from service.safety.domain.levels import Clearance
from tests.factories.comparable_homes import CAR, LEAD, SOCKET, cleared, home

POINT = replace(SOCKET, kind="charging_point", limit_a=16, is_tethered=True)


def lead(word: Clearance) -> LeadClearance:
    return LeadClearance(LEAD.id, word, 10 if word.allows_charging else None, "", (), "", Working(()))


def target(**changes: object) -> Target:
    return Target(replace(SOCKET, **changes), (CAR,))


def test_the_outlet_that_feeds_most_cars_is_the_one_to_change() -> None:
    other = replace(SOCKET, id="p" * 32, label="drive", ordinal=2)
    second, third = (replace(CAR, id=letter * 32, outlet_id=other.id) for letter in "ef")
    found = target_of(home(CAR, second, third, outlets=(SOCKET, other)))
    assert isinstance(found, Target) and found.outlet == other
    assert found.cars == (second, third)


@pytest.mark.parametrize(
    ("of", "why"),
    [
        (replace(home(CAR), cars=()), NoQuestion.NO_CAR),
        (replace(home(CAR), outlets=()), NoQuestion.NO_OUTLET),
        (home(replace(CAR, outlet_id=None)), NoQuestion.NO_OUTLET),
        (home(CAR, outlets=(replace(POINT, limit_a=32),)), NoQuestion.POINT_ALREADY),
        (home(CAR, outlets=(replace(POINT, phases=3),)), NoQuestion.POINT_ALREADY),
    ],
)
def test_there_may_be_nothing_to_compare(of: object, why: NoQuestion) -> None:
    assert target_of(of) is why


def test_a_socket_has_four_works_and_a_slow_charging_point_two() -> None:
    assert target().works == tuple(Upgrade)
    assert Target(POINT, (CAR,)).works == POINTS


def test_a_socket_marked_for_cars_alone_changes_no_plan() -> None:
    assert variant_of(Upgrade.EV_MARKED_SOCKET) is Variant.NOW
    assert changed_outlet(target(), Variant.NOW) is None
    assert {variant_of(work) for work in POINTS} == {Variant.POINT}
    assert Upgrade.EV_MARKED_SOCKET not in NEW_CIRCUIT


def test_a_circuit_of_its_own_lets_a_socket_carry_ten_amperes_and_never_thirteen() -> None:
    changed = changed_outlet(target(limit_a=6, control="timer"), Variant.SOCKET)
    assert (changed.kind, changed.limit_a, changed.control) == ("socket_13a", 10, "timer")
    assert changed_outlet(Target(POINT, (CAR,)), Variant.SOCKET) is None


def test_a_charging_point_is_of_seven_kilowatts_on_one_phase() -> None:
    changed = changed_outlet(Target(replace(POINT, phases=3), (CAR,)), Variant.POINT)
    assert (changed.kind, changed.limit_a, changed.phases) == ("charging_point", 32, 1)


def test_what_may_not_charge_is_planned_as_if_cleared_and_evidence_has_no_end() -> None:
    of = Cleared(cleared(home(CAR)), (lead(Clearance.NOT_KNOWN),))
    found = as_if_cleared(of, target(), 8)
    (outlet,) = found.outlets
    assert (outlet.clearance, outlet.limit_a, outlet.valid_until) == (Clearance.FIT_TO_USE, 8, None)
    assert (found.leads[0].clearance, found.leads[0].limit_a) == (Clearance.FIT_TO_USE, LEAD.set_a)
    assert "as if" in outlet.evidence


def test_a_socket_needs_a_lead_that_may_be_used_and_a_tethered_point_none() -> None:
    outlets = cleared(home(CAR))
    assert may_charge(Cleared(outlets, ()), target())
    assert not may_charge(Cleared(outlets, (lead(Clearance.DO_NOT_USE),)), target())
    assert may_charge(Cleared(outlets, (lead(Clearance.DO_NOT_USE),)), Target(POINT, (CAR,)))
    unknown = tuple(replace(each, clearance=Clearance.NOT_KNOWN) for each in outlets)
    assert not may_charge(Cleared(unknown, ()), target())
    assert not may_charge(Cleared((), ()), target())


def test_a_lead_set_too_high_is_planned_set_down_where_it_can_be() -> None:
    high = replace(LEAD, rated_a=13, set_a=13, settings_a=(6, 8, 10, 13))
    (car,) = with_leads_set_down(home(replace(CAR, lead=high)), SOCKET.id, 9).cars
    assert (car.lead.set_a, car.lead.setting_shown_a) == (8, 8)
    for kept in (replace(high, settings_a=(13,)), replace(high, setting_shown_a=6), replace(high, set_a=8)):
        of = home(replace(CAR, lead=kept))
        assert with_leads_set_down(of, SOCKET.id, 9) == of
    elsewhere = home(replace(CAR, lead=high))
    assert with_leads_set_down(elsewhere, "z" * 32, 9) == elsewhere


def test_only_what_cars_charge_with_stops_a_home() -> None:
    of = home(CAR)
    stop = replace(cleared(of)[0], clearance=Clearance.DO_NOT_USE)
    assert is_stopped(Cleared((stop,), ()), of)
    assert not is_stopped(Cleared((replace(stop, outlet_id="z" * 32),), ()), of)
    assert is_stopped(Cleared((), (lead(Clearance.DO_NOT_USE),)), of)
    assert not is_stopped(Cleared(cleared(of), (lead(Clearance.NOT_KNOWN),)), of)
