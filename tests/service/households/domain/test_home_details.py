"""Rules of a home and its supply."""

from typing import Any

import pytest

from service.common.errors import Rejected
from service.households.domain.home_details import LargeLoad, SupplyDetails
from tests.factories.households import home_details


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"reference": " "}, "reference"),
        ({"reference": "x" * 41}, "reference"),
        ({"member_name": ""}, "member_name"),
        ({"address": "x" * 301}, "address"),
        ({"postcode": "x" * 13}, "postcode"),
        ({"zone": "Europe/Atlantis"}, "zone"),
        ({"zone": "Asia/Kathmandu"}, "zone"),
        ({"nation": "france"}, "nation"),
        ({"region": ""}, "region"),
        ({"payment": "x" * 41}, "payment"),
        ({"tenure": "squatted"}, "tenure"),
    ],
)
def test_what_breaks_a_rule_is_named(changes: dict[str, Any], field: str) -> None:
    with pytest.raises(Rejected) as refused:
        home_details(**changes)
    assert [fault.field for fault in refused.value.faults] == [field]


def test_terms_may_be_missing() -> None:
    assert home_details().region is None


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"fuse_a": 4}, "fuse_a"),
        ({"fuse_a": 201}, "fuse_a"),
        ({"phases": 2}, "phases"),
        ({"earthing": "pme"}, "earthing"),
        ({"looped": "maybe"}, "looped"),
        ({"other_loads": "x" * 301}, "other_loads"),
        ({"loads": ({"kind": "sauna"},)}, "loads.0.kind"),
        ({"loads": ({"kind": "shower"}, {"kind": "cooker", "power_w": -1})}, "loads.1.power_w"),
        ({"loads": ({"kind": "other"},) * 41}, "loads"),
    ],
)
def test_a_supply_that_breaks_a_rule_is_refused(changes: dict[str, Any], field: str) -> None:
    with pytest.raises(Rejected) as refused:
        SupplyDetails(**changes)
    assert [fault.field for fault in refused.value.faults] == [field]


def test_of_a_supply_nothing_need_be_known() -> None:
    supply = SupplyDetails()
    assert (supply.fuse_a, supply.earthing, supply.looped) == (None, "not_known", "not_known")


def test_loads_are_read_back_as_they_are_stored() -> None:
    supply = SupplyDetails(loads=({"kind": "shower", "power_w": 8500},))  # type: ignore[arg-type]
    assert supply.loads == (LargeLoad("shower", 8500),)
    assert SupplyDetails(loads=supply.loads).loads == supply.loads
