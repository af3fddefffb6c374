"""Rules of a car, and which lead joins it to which outlet."""

from decimal import Decimal
from typing import Any

import pytest

from service.common.errors import Rejected
from service.households.domain.vehicle_details import check_charge, check_lead_fits
from tests.factories.households import car_details


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"label": " "}, "label"),
        ({"battery_wh": 999}, "battery_kwh"),
        ({"battery_wh": 250_001}, "battery_kwh"),
        ({"miles_per_kwh": Decimal("0.99")}, "miles_per_kwh"),
        ({"miles_per_kwh": Decimal("10.01")}, "miles_per_kwh"),
        ({"miles_per_kwh": Decimal("3.555")}, "miles_per_kwh"),
        ({"onboard_limit_a": 5}, "onboard_limit_a"),
        ({"onboard_limit_a": 81}, "onboard_limit_a"),
        ({"onboard_phases": 2}, "onboard_phases"),
        ({"ceiling_percent": 49}, "ceiling_percent"),
        ({"ceiling_percent": 101}, "ceiling_percent"),
        ({"reserve_percent": -1}, "reserve_percent"),
        ({"reserve_percent": 60, "ceiling_percent": 60}, "reserve_percent"),
    ],
)
def test_a_car_that_breaks_a_rule_is_refused(changes: dict[str, Any], field: str) -> None:
    with pytest.raises(Rejected) as refused:
        car_details(**changes)
    assert [fault.field for fault in refused.value.faults] == [field]


@pytest.mark.parametrize(
    "changes",
    [
        {"battery_wh": 1_000},
        {"battery_wh": 250_000},
        {"miles_per_kwh": Decimal(1)},
        {"miles_per_kwh": Decimal(10)},
        {"onboard_limit_a": 6},
        {"ceiling_percent": 100, "reserve_percent": 0},
        {"ceiling_percent": 61, "reserve_percent": 60},
    ],
)
def test_limits_themselves_are_allowed(changes: dict[str, Any]) -> None:
    assert car_details(**changes)


@pytest.mark.parametrize("percent", [-1, 101])
def test_no_battery_holds_less_than_nothing_or_more_than_all(percent: int) -> None:
    with pytest.raises(Rejected):
        check_charge(percent)


@pytest.mark.parametrize(
    ("outlet_kind", "is_tethered", "lead_kind", "fits"),
    [
        ("socket_13a", None, "mode_2", True),
        ("socket_13a", None, "mode_3_cable", False),
        ("charging_point", False, "mode_3_cable", True),
        ("charging_point", None, "mode_3_cable", True),
        ("charging_point", True, "mode_3_cable", False),
        ("charging_point", False, "mode_2", False),
        ("charging_point", True, None, True),
        (None, None, "mode_2", True),
    ],
)
def test_a_lead_fits_or_does_not(
    outlet_kind: str | None, is_tethered: bool | None, lead_kind: str | None, fits: bool
) -> None:
    if fits:
        check_lead_fits(outlet_kind, is_tethered, lead_kind)
        return
    with pytest.raises(Rejected) as refused:
        check_lead_fits(outlet_kind, is_tethered, lead_kind)
    assert refused.value.faults[0].field == "lead_id"
