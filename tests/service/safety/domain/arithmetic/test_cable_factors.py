"""Factors of surroundings, against the tables; between rows the safe side, beyond them a refusal."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.common.errors import Rejected
from service.safety.domain.arithmetic.cable_factors import (
    Surroundings,
    ambient_factor,
    grouping_factor,
    insulation_factor,
)
from tests.service.safety.domain.arithmetic.published import APPRENTICE, CA_PAGE, CI_OLDER

CA = "25 1.03|30 1.00|35 0.94|40 0.87|45 0.79|50 0.71|55 0.61|60 0.50"
CG = "1 1.00|2 0.80|3 0.70|4 0.65|5 0.60|6 0.57|7 0.54|8 0.52|9 0.50"
CI = "50 0.88|100 0.78|200 0.63|400 0.51|500 0.50|2000 0.50"
OLDER = "50 0.89|100 0.81|200 0.68|400 0.55"


def pairs(text):
    return [(int(at), Decimal(value)) for at, value in (pair.split() for pair in text.split("|"))]


@pytest.mark.reference
@pytest.mark.parametrize(("ambient", "expected"), pairs(CA))
def test_ambient_temperature_factor(ambient, expected, reference):
    reference(source=f"Ca, 70 C cable: {APPRENTICE}; {CA_PAGE}", expected=expected, got=ambient_factor(ambient).value)


@pytest.mark.reference
@pytest.mark.parametrize(("circuits", "expected"), pairs(CG))
def test_grouping_factor(circuits, expected, reference):
    got = grouping_factor(circuits).value
    reference(source=f"Cg, bunched or enclosed: {APPRENTICE}", expected=expected, got=got)


@pytest.mark.reference
@pytest.mark.parametrize(("length", "expected"), pairs(CI))
def test_thermal_insulation_factor(length, expected, reference):
    reference(source=f"Ci, Table 52.2: {APPRENTICE}", expected=expected, got=insulation_factor(length).value)


@pytest.mark.reference
@pytest.mark.parametrize(("length", "expected"), pairs(OLDER))
def test_thermal_insulation_factor_of_older_books(length, expected, reference):
    got = insulation_factor(length, is_older_book=True).value
    reference(source=f"Ci, older tables: {CI_OLDER}", expected=expected, got=got)


def test_between_two_rows_the_safe_one_holds():
    assert ambient_factor(Decimal("30.1")).value == Decimal("0.94")
    assert ambient_factor(59).value == Decimal("0.50")
    assert insulation_factor(1).value == Decimal("0.88")
    assert insulation_factor(300).value == Decimal("0.51")
    assert insulation_factor(0).value == 1


@pytest.mark.parametrize(
    ("field", "around"),
    [
        ("ambient_c", {"ambient_c": Decimal("24.9")}),
        ("ambient_c", {"ambient_c": Decimal("60.1")}),
        ("ambient_c", {"ambient_c": Decimal("NaN")}),
        ("grouped_circuits", {"grouped_circuits": 0}),
        ("grouped_circuits", {"grouped_circuits": 10}),
        ("insulation_mm", {"insulation_mm": Decimal(-1)}),
    ],
)
def test_surroundings_beyond_the_tables_are_refused(field, around):
    with pytest.raises(Rejected, match=f"{field}: must lie between"):
        Surroundings(**around)


def test_more_insulation_than_the_older_book_tables_is_refused():
    with pytest.raises(Rejected, match="insulation_mm"):
        insulation_factor(500, is_older_book=True)


@given(st.decimals(25, 60, places=2), st.decimals(25, 60, places=2))
def test_hotter_never_gives_a_greater_factor(one, other):
    low, high = sorted([one, other])
    assert ambient_factor(low).value >= ambient_factor(high).value


@given(st.decimals(0, 3000, places=1), st.decimals(0, 3000, places=1))
def test_more_insulation_never_gives_a_greater_factor(one, other):
    low, high = sorted([one, other])
    assert insulation_factor(low).value >= insulation_factor(high).value
