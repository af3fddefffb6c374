"""What is changed of a home: only what was asked, within the rules of its details, and never with evidence made up."""

from dataclasses import replace
from decimal import Decimal

import pytest

from service.common.errors import Rejected
from service.households.domain.homes import LeadInputs
from service.planning.domain.what_if import (
    AS_IF_CLEARED,
    SECOND_CAR_ID,
    Changes,
    OtherLimits,
    OtherOutlet,
    OtherSupply,
    assumptions,
    changed_clearances,
    changed_home,
    changes_of,
)
from service.safety.domain.clearance import Clearance
from tests.factories.comparable_homes import CAR, MONDAY, SOCKET, THIRTY, cleared, home

TODAY = MONDAY.date()
DEPARTURE = {"weekday": 0, "leaves_min": 480, "returns_min": 1080, "returns_days_later": 0, "miles": Decimal(20)}
SECOND = {
    "label": "the second car", "battery_wh": 50_000, "miles_per_kwh": Decimal(4), "onboard_limit_a": 32,
    "onboard_phases": 1, "ceiling_percent": 80, "reserve_percent": 20, "outlet_id": SOCKET.id,
    "lead_id": None, "departures": [DEPARTURE],
}  # fmt: skip
POINT = OtherOutlet(SOCKET.id, "charging_point", 32, 1, "schedule")


def changed(**values):
    return changed_home(home(), changes_of(values), from_on=TODAY)


def faults(**values):
    with pytest.raises(Rejected) as refused:
        changed(**values)
    return [fault.field for fault in refused.value.faults]


def test_nothing_is_changed_but_what_was_asked():
    assert changed(supply={"fuse_a": 100, "phases": 1}) == replace(
        home(), supply=replace(home().supply, fuse_a=100)
    )
    assert changed(tariff={"tariff_id": THIRTY}).cars == home().cars


def test_a_new_routine_leaves_the_old_ones_diary_out():
    kept = replace(CAR, diary=((TODAY, Decimal(90)),))
    changes = changes_of({"routine": {"vehicle_id": CAR.id, "departures": [DEPARTURE]}})
    (car,) = changed_home(home(kept), changes, from_on=TODAY).cars
    assert (car.diary, car.routine[0].miles, car.journeys) == ((), Decimal(20), kept.journeys)
    assert "The diary of miles is left out: it tells of the routine as it is." in assumptions(home(kept), changes)
    assert not any("diary" in said for said in assumptions(home(), changes))


def test_a_charging_point_for_a_socket_has_its_own_cable_and_circuit_and_says_so():
    on_ring = home(outlets=(replace(SOCKET, circuit_id="r" * 32),))
    (outlet,) = changed_home(on_ring, Changes(outlet=POINT), from_on=TODAY).outlets
    assert (outlet.kind, outlet.is_tethered, outlet.circuit_id, outlet.limit_a) == ("charging_point", True, None, 32)
    said = assumptions(on_ring, Changes(outlet=POINT))
    assert f"The outlet (garage socket) is planned {AS_IF_CLEARED}." in said
    assert any("cable of its own and a circuit of its own" in each for each in said)


def test_only_an_outlet_that_would_be_another_is_taken_as_cleared():
    stopped = (replace(cleared(home())[0], clearance=Clearance.DO_NOT_USE, limit_a=None),)
    (assumed,) = changed_clearances(stopped, home(), Changes(outlet=POINT))
    assert (assumed.clearance, assumed.limit_a, assumed.evidence) == (Clearance.FIT_TO_USE, 32, AS_IF_CLEARED)
    same = OtherOutlet(SOCKET.id, SOCKET.kind, SOCKET.limit_a, SOCKET.phases, "schedule")
    for changes in (Changes(outlet=same), Changes(outlet=replace(same, limit_a=8)), Changes(supply=OtherSupply(100))):
        assert changed_clearances(stopped, home(), changes) == stopped
        assert not any("as if it were cleared" in said for said in assumptions(home(), changes))


def test_a_second_car_comes_last_and_its_charge_is_not_known():
    car = changed(second_car=SECOND).cars[-1]
    assert (car.id, car.ordinal, car.charge_percent, car.lead) == (SECOND_CAR_ID, 2, None, None)


def test_another_tariff_holds_from_today_by_its_own_windows():
    (contract,) = changed(tariff={"tariff_id": THIRTY}).contracts
    assert (contract.starts_on, contract.ends_on, contract.clock, contract.windows) == (TODAY, None, None, {})


def test_what_breaks_a_rule_of_the_home_is_named_with_its_field():
    outlet = {"outlet_id": SOCKET.id, "kind": "socket_13a", "limit_a": 10, "phases": 1, "control": "not_known"}
    assert faults() == ["changes"]
    assert faults(outlet=outlet | {"limit_a": 13}) == ["changes.outlet.limit_a"]
    assert faults(outlet=outlet | {"outlet_id": "x"}) == ["outlet.outlet_id"]
    assert faults(supply={"fuse_a": 900, "phases": 2}) == ["changes.supply.fuse_a", "changes.supply.phases"]
    assert faults(routine={"vehicle_id": "x", "departures": []}) == ["routine.vehicle_id"]
    late = DEPARTURE | {"returns_min": 60}
    assert faults(routine={"vehicle_id": CAR.id, "departures": [DEPARTURE, late]}) == [
        "changes.routine.departures.1.returns_at"
    ]
    assert faults(second_car=SECOND | {"battery_wh": 5}) == ["changes.second_car.battery_kwh"]
    assert faults(second_car=SECOND | {"outlet_id": "x"}) == ["second_car.outlet_id"]
    assert faults(second_car=SECOND | {"lead_id": "x"}) == ["second_car.lead_id"]
    limits = {"vehicle_id": CAR.id, "ceiling_percent": 50, "reserve_percent": 60}
    assert faults(limits=limits) == ["limits.reserve_percent"]
    assert faults(limits=limits | {"vehicle_id": "x"}) == ["limits.vehicle_id"]


def test_a_lead_that_does_not_fit_the_outlet_is_refused():
    cable = LeadInputs("k" * 32, "cable", "mode_3_cable", 32, 32)
    second = changes_of({"second_car": SECOND | {"lead_id": cable.id}})
    with pytest.raises(Rejected) as refused:
        changed_home(home(leads=(cable,)), second, from_on=TODAY)
    assert [fault.field for fault in refused.value.faults] == ["second_car.lead_id"]
    point = replace(SOCKET, kind="charging_point", is_tethered=True, limit_a=32)
    to_socket = Changes(outlet=OtherOutlet(SOCKET.id, "socket_13a", 10))
    with pytest.raises(Rejected) as refused:
        changed_home(home(replace(CAR, lead=None), outlets=(point,)), to_socket, from_on=TODAY)
    assert [fault.field for fault in refused.value.faults] == ["outlet.kind"]


def test_another_ceiling_is_the_cars_alone():
    other = replace(CAR, id="e" * 32, ordinal=2)
    found = changed_home(home(CAR, other), Changes(limits=OtherLimits(CAR.id, 100, 20)), from_on=TODAY)
    assert [(car.ceiling_percent, car.reserve_percent) for car in found.cars] == [(100, 20), (80, 10)]
