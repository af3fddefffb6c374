"""Which edits leave an inspection speaking of something else, and which only complete the record or tighten it."""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from service.households.domain.equipment_details import CircuitDetails, OutletDetails, RunDetails
from service.households.domain.home_details import SupplyDetails
from service.households.domain.outlet_changes import circuit_changed, outlet_changed, supply_changed

OUTLET = OutletDetails(
    "drive", "charging_point", 16, is_tethered=False, place="outdoors", circuit_id="c" * 32, maker_model="A",
    serial_or_batch="S-1", since_on=date(2026, 3, 1),
)  # fmt: skip
RUN = RunDetails(
    "radial", device="breaker", cable="flat", device_kind="mcb_b", device_a=20, rcd_type="a", rcd_ma=30,
    cable_kind="flat_twin_and_earth", cable_mm2=Decimal("2.5"), installed="C", ambient_c=30, grouped_circuits=1,
    length_m=Decimal(12),
)  # fmt: skip


def circuit(**changes: Any) -> CircuitDetails:
    return CircuitDetails("drive", (replace(RUN, **changes),))


@pytest.mark.parametrize(
    "changes",
    [
        {"maker_model": "B"},
        {"serial_or_batch": "S-2"},
        {"serial_or_batch": ""},
        {"circuit_id": "d" * 32},
        {"circuit_id": None},
        {"limit_a": 17},
        {"phases": 3},
        {"place": "indoors"},
        {"is_tethered": True},
        {"since_on": date(2026, 2, 1)},
        {"since_on": None},
        {"since_on": date(2026, 4, 1)},
    ],
)
def test_another_identity_circuit_place_or_more_current_is_a_change(changes: dict[str, Any]) -> None:
    assert len(outlet_changed(OUTLET, replace(OUTLET, **changes))) == 1


@pytest.mark.parametrize(
    "changes",
    [
        {"label": "by the gate"},
        {"limit_a": 10},
        {"nights_a_week": 5},
        {"serial_or_batch": " s-1 "},
        {"ev_mark": "no"},
    ],
)
def test_a_label_or_less_current_is_no_change(changes: dict[str, Any]) -> None:
    assert outlet_changed(OUTLET, replace(OUTLET, **changes)) == ()


def test_to_fill_in_what_nobody_knew_is_no_change_whatever_is_filled_in() -> None:
    blank = OutletDetails("drive", "charging_point", 16)
    assert outlet_changed(blank, OUTLET) == ()
    assert circuit_changed(CircuitDetails("drive", (RunDetails("radial"),)), circuit()) == ()
    assert supply_changed(SupplyDetails(), SupplyDetails(earthing="tn_c_s", looped="yes")) == ()
    assert supply_changed(None, SupplyDetails(earthing="tt")) == ()


@pytest.mark.parametrize(
    "changes",
    [
        {"rcd_type": "ac"},
        {"rcd_type": "not_known", "rcd_ma": 30},
        {"rcd_ma": 100},
        {"cable_mm2": Decimal("4")},
        {"cable_mm2": None},
        {"device_a": 32},
        {"device_kind": "fuse_rewireable"},
        {"device": "another breaker"},
        {"length_m": Decimal(6)},
        {"installed": "100"},
        {"ambient_c": 25},
    ],
)
def test_another_device_rcd_or_cable_is_a_change_of_the_circuit(changes: dict[str, Any]) -> None:
    found = circuit_changed(circuit(), circuit(**changes))
    assert len(found) == 1 and found[0].startswith("circuit: ")


def test_a_run_more_or_less_or_of_another_kind_is_a_change() -> None:
    was, now = circuit(), CircuitDetails("drive", (RUN, RunDetails("spur")))
    for before, after in ((was, now), (now, was), (was, circuit(kind="ring"))):
        assert circuit_changed(before, after) == ("circuit: its runs",)


@pytest.mark.parametrize(
    "changes",
    [
        {"cable_mm2": Decimal("1.5")},
        {"device_a": 16},
        {"length_m": Decimal(20)},
        {"ambient_c": 40},
        {"grouped_circuits": 4},
        {"insulation_mm": 100},
    ],
)
def test_what_only_makes_a_circuit_carry_less_is_no_change(changes: dict[str, Any]) -> None:
    assert circuit_changed(circuit(), circuit(**changes)) == ()
    assert circuit_changed(circuit(), CircuitDetails("another label", (RUN,))) == ()


def test_another_earthing_of_the_home_is_a_change_and_another_fuse_is_none() -> None:
    was = SupplyDetails(fuse_a=60, earthing="tn_s", looped="yes")
    assert supply_changed(was, replace(was, earthing="tn_c_s")) == ("earthing of the home",)
    assert supply_changed(was, replace(was, earthing="not_known")) == ("earthing of the home",)
    assert supply_changed(was, replace(was, looped="no")) == ("whether the supply is looped",)
    assert supply_changed(was, replace(was, fuse_a=100)) == ()
