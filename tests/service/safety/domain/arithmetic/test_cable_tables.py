"""Every cell of the cable tables, against the pages they were read in."""

from decimal import Decimal

import pytest

from service.common.errors import Rejected
from service.safety.domain.arithmetic.cable_tables import TABLES, CableKind, Method
from tests.service.safety.domain.arithmetic.published import (
    APPRENTICE,
    CABLE_FILE,
    FLEX_PAGE,
    PAGE_4D5,
    WHOLESALER,
    cells,
)

TWIN_AND_EARTH = cells(
    "C A 100 101 102 103 mV",
    "1.0 16 11.5 13 10.5 13 8 44",
    "1.5 20 14.5 16 13 16 10 29",
    "2.5 27 20 21 17 21 13.5 18",
    "4 37 26 27 22 27 17.5 11",
    "6 47 32 34 27 35 23.5 7.3",
    "10 64 44 45 36 47 32 4.4",
    "16 85 57 57 46 63 42.5 2.8",
)
ARMOURED = cells(
    "C D E mV",
    "1.5 27 25 29 31",
    "2.5 36 33 39 19",
    "4 49 46 52 12",
    "6 62 53 66 7.9",
    "10 85 71 90 4.7",
    "16 110 91 115 2.9",
)
FLEX = cells(
    "flexible_cord mV", "0.5 3 93", "0.75 6 62", "1.0 10 46", "1.25 13 37", "1.5 16 32", "2.5 25 19", "4 32 12"
)
SINGLE_CORE = [("1.0", "44"), ("1.5", "29"), ("2.5", "18"), ("4", "11"), ("6", "7.3"), ("10", "4.4"), ("16", "2.8")]


def cell(kind, size, column):
    table = TABLES[kind]
    if column == "mV":
        return table.row(Decimal(size)).mv_per_a_m
    return table.capacity_a(Decimal(size), Method(column))


def source_4d5(size, column):
    pages = [CABLE_FILE] if column in ("A", "101", "102") else [APPRENTICE, CABLE_FILE]
    return "; ".join([*pages, PAGE_4D5] if size in ("1.0", "1.5") else pages)


@pytest.mark.reference
@pytest.mark.parametrize(("size", "column", "expected"), TWIN_AND_EARTH)
def test_table_4d5_of_flat_twin_and_earth(size, column, expected, reference):
    got = cell(CableKind.TWIN_AND_EARTH, size, column)
    reference(source=f"Table 4D5: {source_4d5(size, column)}", expected=Decimal(expected), got=got)


@pytest.mark.reference
@pytest.mark.parametrize(("size", "column", "expected"), ARMOURED)
def test_table_4e4_of_armoured_cable(size, column, expected, reference):
    got = cell(CableKind.ARMOURED_90C, size, column)
    reference(source=f"Table 4E4: {CABLE_FILE}, one source only", expected=Decimal(expected), got=got)


@pytest.mark.reference
@pytest.mark.parametrize(("size", "column", "expected"), FLEX)
def test_table_4f3_of_flexible_cord(size, column, expected, reference):
    pages = f"{CABLE_FILE}; {FLEX_PAGE}" if column == "mV" else CABLE_FILE
    reference(source=f"Table 4F3: {pages}", expected=Decimal(expected), got=cell(CableKind.FLEX, size, column))


@pytest.mark.reference
@pytest.mark.parametrize(("size", "expected"), SINGLE_CORE)
def test_single_core_drops_equal_those_of_twin_and_earth(size, expected, reference):
    got = cell(CableKind.TWIN_AND_EARTH, size, "mV")
    reference(source=f"4D1B single phase: {WHOLESALER}", expected=Decimal(expected), got=got)


def test_the_wrong_numbers_that_go_round_are_not_ours():
    clipped = [cell(CableKind.TWIN_AND_EARTH, size, "C") for size in ("1.0", "1.5", "2.5", "4", "6")]
    assert clipped != [13, 16, 24, 32, 41]


@pytest.mark.parametrize("size", ["0.9", "3", "25", "0", "-1", "NaN"])
def test_a_size_that_the_table_does_not_hold_is_refused(size):
    with pytest.raises(Rejected, match="size_mm2: must be one of the sizes of BS 7671 Table 4D5"):
        TABLES[CableKind.TWIN_AND_EARTH].row(Decimal(size))


@pytest.mark.parametrize(
    ("kind", "method"),
    [
        (CableKind.TWIN_AND_EARTH, Method.BURIED),
        (CableKind.TWIN_AND_EARTH, Method.FREE_AIR),
        (CableKind.ARMOURED_90C, Method.CEILING_TO_100_MM),
        (CableKind.FLEX, Method.CLIPPED),
    ],
)
def test_a_method_of_another_table_is_refused(kind, method):
    with pytest.raises(Rejected, match="method: must be one of the methods of"):
        TABLES[kind].capacity_a(Decimal("1.5"), method)
