"""The shared checks: each fault is found, and all of them are named at once."""

from decimal import Decimal

import pytest

from service.common.errors import Rejected
from service.households.domain.equipment_details import RunDetails
from service.households.domain.ranges import build_each, in_range, of_decimals, refuse, text_within


def test_every_fault_is_named_at_once() -> None:
    with pytest.raises(Rejected) as refused:
        refuse(in_range("a", 11, 1, 10, "A"), in_range("b", 5, 1, 10, "A"), text_within("c", " ", 5, is_required=True))
    assert [fault.field for fault in refused.value.faults] == ["a", "c"]


@pytest.mark.parametrize("number", [Decimal("NaN"), Decimal("Infinity"), Decimal("10.01")])
def test_a_number_outside_or_no_number_is_a_fault(number: Decimal) -> None:
    assert list(in_range("x", number, 1, 10, ""))


def test_limits_themselves_are_inside() -> None:
    assert not [*in_range("x", 1, 1, 10, ""), *in_range("x", 10, 1, 10, "")]


def test_trailing_zeros_are_no_decimals() -> None:
    assert not list(of_decimals("x", Decimal("2.500"), 1))
    assert list(of_decimals("x", Decimal("2.55"), 1))


def test_faults_of_a_list_carry_the_position() -> None:
    with pytest.raises(Rejected) as refused:
        build_each("runs", [{"kind": "ring"}, {"kind": "hose"}, {"kind": "spur", "device": "x" * 121}], RunDetails)
    assert [fault.field for fault in refused.value.faults] == ["runs.1.kind", "runs.2.device"]
