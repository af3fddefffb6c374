"""Resistance of copper conductors, against IEC 60228 as cable makers restate it."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.common.errors import Rejected
from service.safety.domain.arithmetic.resistance import (
    HANDBOOK_HOT_FACTOR,
    ConductorClass,
    conductor_resistance,
    loop_resistance,
    temperature_factor,
)
from tests.service.safety.domain.arithmetic.published import APPRENTICE, IEC_60228, cells, derived, printed

TABLE = cells(
    "class_1_or_2 class_5",
    "0.75 24.5 26.0",
    "1.0 18.1 19.5",
    "1.5 12.1 13.3",
    "2.5 7.41 7.98",
    "4 4.61 4.95",
    "6 3.08 3.30",
    "10 1.83 1.91",
    "16 1.15 1.21",
    "25 0.727 0.780",
)
PAIRS = [
    ("1", "1", "36.20"), ("1.5", "1", "30.20"), ("2.5", "1.5", "19.51"), ("4", "1.5", "16.71"),
    ("6", "2.5", "10.49"), ("10", "4", "6.44"), ("16", "6", "4.23"),
]  # fmt: skip


@pytest.mark.reference
@pytest.mark.parametrize(("size", "conductor_class", "expected"), TABLE)
def test_resistance_at_20_c(size, conductor_class, expected, reference):
    got = conductor_resistance(Decimal(size), ConductorClass(conductor_class)).ohm_per_km
    reference(source=IEC_60228, expected=Decimal(expected), got=got)


@pytest.mark.reference
@pytest.mark.parametrize(("hot", "expected"), [(60, "1.157"), (70, "1.197"), (90, "1.275")])
def test_temperature_factor(hot, expected, reference):
    got = temperature_factor(hot).value
    # printed from the rounded 0.00393/K, which makes 1.1965 of our 1.19646
    reference(source=derived("1 + 0.00393 (t - 20)"), got=got, expected=Decimal(expected), tolerance=Decimal("0.0006"))


@pytest.mark.reference
@pytest.mark.parametrize(("hot", "expected", "tolerance"), [(70, "1.20", "0.005"), (90, "1.28", "0.005")])
def test_handbook_multipliers_are_the_factor_rounded(hot, expected, tolerance, reference):
    got = temperature_factor(hot).value
    reference(source=APPRENTICE, expected=Decimal(expected), got=got, tolerance=Decimal(tolerance))


@pytest.mark.reference
def test_the_handbook_multiplier_in_use(reference):
    reference(source=APPRENTICE, expected=Decimal("1.20"), got=HANDBOOK_HOT_FACTOR)


@pytest.mark.reference
def test_the_cable_makers_correction_from_20_to_70_c(reference):
    reference(source=IEC_60228, got=1 / HANDBOOK_HOT_FACTOR, **printed("0.833"))


@pytest.mark.reference
@pytest.mark.parametrize(("line", "cpc", "expected"), PAIRS)
def test_line_and_protective_conductor_of_twin_and_earth(line, cpc, expected, reference):
    got = loop_resistance(Decimal(line), Decimal(cpc)).ohm_per_km
    reference(source=f"R1+R2: {APPRENTICE}", got=got, expected=Decimal(expected))


def test_2_5_with_2_5_is_not_twin_and_earth():
    with pytest.raises(Rejected, match="cpc_mm2: must be a twin and earth as made"):
        loop_resistance(Decimal("2.5"), Decimal("2.5"))


@pytest.mark.parametrize("size", ["0.5", "3", "35", "NaN"])
def test_a_size_outside_the_table_is_refused(size):
    with pytest.raises(Rejected, match="size_mm2"):
        conductor_resistance(Decimal(size), ConductorClass.FLEXIBLE)


@pytest.mark.parametrize("hot", ["-0.1", "90.1", "NaN"])
def test_a_temperature_out_of_range_is_refused(hot):
    with pytest.raises(Rejected, match="conductor_c: must lie between 0 and 90 C"):
        temperature_factor(Decimal(hot))


@given(st.decimals(0, 90, places=1), st.decimals(0, 90, places=1))
def test_a_hotter_conductor_never_resists_less(one, other):
    low, high = sorted([one, other])
    assert temperature_factor(low).value <= temperature_factor(high).value


def test_a_printed_figure_is_met_within_half_its_last_place():
    assert printed("0.560") == {"expected": Decimal("0.560"), "tolerance": Decimal("0.0005")}
    assert printed("64") == {"expected": Decimal(64), "tolerance": Decimal("0.5")}
