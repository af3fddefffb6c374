"""Rules of circuits, outlets and leads, above all how much current for hours."""

from decimal import Decimal
from typing import Any

import pytest

from service.common.errors import Rejected
from service.households.domain.equipment import SOCKET_SUSTAINED_LIMIT_A
from service.households.domain.equipment_details import CircuitDetails, RunDetails
from tests.factories.households import lead_details, outlet_details

POINT = {"kind": "charging_point", "limit_a": 32}


def faults_of(make: Any, *args: Any, **changes: Any) -> dict[str, str]:
    """Return field -> rule of what is refused."""
    with pytest.raises(Rejected) as refused:
        make(*args, **changes)
    return {fault.field: fault.rule for fault in refused.value.faults}


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"label": ""}, "label"),
        ({"kind": "wall"}, "kind"),
        ({"limit_a": 5}, "limit_a"),
        ({**POINT, "limit_a": 81}, "limit_a"),
        ({"phases": 3}, "phases"),
        ({**POINT, "phases": 2}, "phases"),
        ({"is_tethered": True}, "is_tethered"),
        ({"place": "shed"}, "place"),
        ({"maker_model": "x" * 121}, "maker_model"),
        ({"serial_or_batch": "x" * 81}, "serial_or_batch"),
        ({"supplied_by": "x" * 121}, "supplied_by"),
        ({"car_place": "street"}, "car_place"),
        ({"ip_code": "IP4"}, "ip_code"),
        ({"ip_code": "ip44"}, "ip_code"),
        ({"ev_mark": "maybe"}, "ev_mark"),
        ({"in_sun": "often"}, "in_sun"),
        ({"nights_a_week": 8}, "nights_a_week"),
    ],
)
def test_an_outlet_that_breaks_a_rule_is_refused(changes: dict[str, Any], field: str) -> None:
    assert list(faults_of(outlet_details, **changes)) == [field]


@pytest.mark.parametrize("limit_a", [11, 12, 13])
def test_a_13_a_socket_is_not_meant_for_13_a_over_hours(limit_a: int) -> None:
    assert "for hours" in faults_of(outlet_details, limit_a=limit_a)["limit_a"]


def test_a_13_a_socket_never_carries_more_than_its_rating() -> None:
    assert "never" in faults_of(outlet_details, limit_a=16)["limit_a"]


@pytest.mark.reference
def test_the_sustained_limit_of_a_socket_is_the_trades(reference: Any) -> None:
    source = "common practice, no source: about 10 A or 2.3 kW for hours from an ordinary 13 A socket"
    reference(source=source, expected=10, got=SOCKET_SUSTAINED_LIMIT_A)


def test_a_charging_point_may_have_three_phases_and_a_cable() -> None:
    outlet = outlet_details(**POINT, phases=3, is_tethered=True)
    assert (outlet.phases, outlet.is_tethered) == (3, True)


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"kind": "extension"}, "kind"),
        ({"rated_a": 5, "set_a": 6}, "rated_a"),
        ({"set_a": 5}, "set_a"),
        ({"rated_a": 8, "set_a": 10}, "set_a"),
        ({"rated_a": 40, "set_a": 10}, "rated_a"),
        ({"settings_a": (10, 8)}, "settings_a"),
        ({"settings_a": (8, 8)}, "settings_a"),
        ({"settings_a": tuple(range(6, 17))}, "settings_a"),
        ({"settings_a": (8, 13)}, "settings_a.1"),
        ({"has_plug_sensor": "perhaps"}, "has_plug_sensor"),
        ({"length_m": Decimal(101)}, "length_m"),
    ],
)
def test_a_lead_that_breaks_a_rule_is_refused(changes: dict[str, Any], field: str) -> None:
    assert field in faults_of(lead_details, **changes)


def test_a_loose_cable_may_carry_more_than_a_mode_2_lead() -> None:
    assert lead_details(kind="mode_3_cable", rated_a=63, set_a=63).rated_a == 63


@pytest.mark.parametrize("length_m", [Decimal("-1"), Decimal("1000.1"), Decimal("2.55"), Decimal("NaN")])
def test_a_length_outside_its_range_is_refused(length_m: Decimal) -> None:
    assert "length_m" in faults_of(RunDetails, "radial", length_m=length_m)


def test_a_circuit_has_at_least_one_run() -> None:
    assert list(faults_of(CircuitDetails, "kitchen", ())) == ["runs"]
    assert CircuitDetails("kitchen", (RunDetails("ring"),)).runs[0].length_m is None


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"device_kind": "switch"}, "device_kind"),
        ({"device_a": 0}, "device_a"),
        ({"rcd_type": "x"}, "rcd_type"),
        ({"rcd_ma": 0}, "rcd_ma"),
        ({"rcd_type": "none", "rcd_ma": 30}, "rcd_ma"),
        ({"cable_kind": "bell wire"}, "cable_kind"),
        ({"cable_mm2": Decimal("0.4")}, "cable_mm2"),
        ({"cable_mm2": Decimal("2.555")}, "cable_mm2"),
        ({"installed": "B"}, "installed"),
        ({"ambient_c": 61}, "ambient_c"),
        ({"grouped_circuits": 10}, "grouped_circuits"),
        ({"insulation_mm": -1}, "insulation_mm"),
    ],
)
def test_a_run_that_breaks_a_rule_is_refused(changes: dict[str, Any], field: str) -> None:
    assert list(faults_of(RunDetails, "radial", **changes)) == [field]


@pytest.mark.parametrize("code", ["", "IP44", "IPX4", "IP6X"])
def test_an_ip_code_is_as_marked_or_not_known(code: str) -> None:
    assert outlet_details(ip_code=code).ip_code == code
