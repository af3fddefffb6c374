"""Quantities are checked, read from a table's own rows, and written as people write them."""

from decimal import Decimal

import pytest

from service.common.errors import Rejected
from service.safety.domain.arithmetic.quantities import (
    checked,
    plain,
    positive,
    row_at_or_above,
    row_of,
    whole,
    with_unit,
)

ROWS = {Decimal("1.5"): "thin", Decimal(4): "thick"}


@pytest.mark.parametrize("value", [Decimal("NaN"), Decimal("sNaN"), Decimal("Infinity"), Decimal("-0.1"), 11])
def test_a_value_outside_its_range_is_refused_with_field_value_and_rule(value):
    with pytest.raises(Rejected) as refused:
        checked("length_m", value, 0, 10, "m")
    (fault,) = refused.value.faults
    assert (fault.field, fault.value, fault.rule) == ("length_m", str(value), "must lie between 0 and 10 m")


def test_the_ends_of_a_range_are_within():
    assert (checked("x", 0, 0, 10), checked("x", 10, 0, 10)) == (0, 10)


def test_nothing_is_not_positive():
    assert positive("x", Decimal("0.1"), 10) == Decimal("0.1")
    with pytest.raises(Rejected, match="x: must be above 0 A"):
        positive("x", 0, 10, "A")


def test_a_whole_number_has_its_range():
    assert whole("n", 9, 1, 9) == 9
    with pytest.raises(Rejected, match="n: must lie between 1 and 9"):
        whole("n", 10, 1, 9)


def test_a_table_is_read_at_its_rows_only():
    assert row_of("size", Decimal("1.50"), ROWS, "the sizes") == "thin"
    for value in (Decimal(2), Decimal("NaN"), 5):
        with pytest.raises(Rejected, match=r"size: must be one of the sizes: 1\.5, 4; no value between is read"):
            row_of("size", value, ROWS, "the sizes")


def test_the_next_row_stands_for_a_value_between():
    assert row_at_or_above("size", 2, ROWS, "mm2", "T") == (4, "thick")
    assert row_at_or_above("size", 4, ROWS, "mm2", "T") == (4, "thick")
    with pytest.raises(Rejected, match=r"size: must lie between 1\.5 and 4 mm2, the rows of T"):
        row_at_or_above("size", 5, ROWS, "mm2", "T")


@pytest.mark.parametrize(
    ("value", "expected"),
    [
        ("4.6720", "4.672"),
        ("32", "32"),
        ("1E+2", "100"),
        ("0", "0"),
        ("0.0001", "0"),
        ("-0.5", "-0.5"),
        ("2.0005", "2"),
    ],
)
def test_numbers_are_written_without_trailing_zeros(value, expected):
    assert plain(Decimal(value)) == expected


def test_a_missing_value_is_not_known():
    assert with_unit(None, "A") == "not known"
    assert with_unit(Decimal("9.60"), "A") == "9.6 A"
