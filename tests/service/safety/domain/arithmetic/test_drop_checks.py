"""Tables against conductor resistance, and the load-corrected drop, whose formula is from memory."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.common.errors import Rejected
from service.safety.domain.arithmetic.answers import Answer
from service.safety.domain.arithmetic.cable import CableRun
from service.safety.domain.arithmetic.cable_factors import Surroundings
from service.safety.domain.arithmetic.cable_tables import TABLES, CableKind, Method
from service.safety.domain.arithmetic.drop_checks import load_correction, table_against_resistance
from service.safety.domain.arithmetic.voltage_drop import drop_by_table
from tests.service.safety.domain.arithmetic.published import IEC_60228, derived, printed

TWIN, FLEX = CableKind.TWIN_AND_EARTH, CableKind.FLEX
# size, from resistance, table over resistance
TWIN_AND_EARTH = [
    ("1.0", "43.31", "1.016"), ("1.5", "28.96", "1.002"), ("2.5", "17.73", "1.015"), ("4", "11.03", "0.997"),
    ("6", "7.370", "0.990"), ("10", "4.379", "1.005"), ("16", "2.752", "1.018"),
]  # fmt: skip
FLEXIBLE = [("1.0", "45.1"), ("1.5", "30.8"), ("2.5", "18.5")]
PHYSICS = derived(f"2 x R20 x 1.1965, or 1.157 for flex, R20 from {IEC_60228}")
ROUNDED_FACTOR = Decimal("0.00005")  # the printed factor 1.1965 is 1.19646


def nearly(text):
    """Return a printed figure with the tolerance that its own rounding and that of its factor leave."""
    figure = printed(text)
    return {**figure, "tolerance": figure["tolerance"] + figure["expected"] * ROUNDED_FACTOR}


@pytest.mark.reference
@pytest.mark.parametrize(("size", "expected", "_ratio"), TWIN_AND_EARTH)
def test_drop_of_twin_and_earth_from_resistance(size, expected, _ratio, reference):
    reference(source=PHYSICS, got=table_against_resistance(TWIN, Decimal(size)).resistance_mv, **nearly(expected))


@pytest.mark.reference
@pytest.mark.parametrize(("size", "_expected", "ratio"), TWIN_AND_EARTH)
def test_table_over_resistance(size, _expected, ratio, reference):
    reference(source=PHYSICS, got=table_against_resistance(TWIN, Decimal(size)).ratio, **nearly(ratio))


@pytest.mark.reference
@pytest.mark.parametrize(("size", "expected"), FLEXIBLE)
def test_drop_of_flex_from_resistance(size, expected, reference):
    reference(source=PHYSICS, got=table_against_resistance(FLEX, Decimal(size)).resistance_mv, **nearly(expected))


@pytest.mark.parametrize(
    ("kind", "size"),
    [*((TWIN, size) for size in TABLES[TWIN].rows), *((FLEX, Decimal(size)) for size in ("1.0", "1.5", "2.5"))],
)
def test_table_and_resistance_agree_within_their_band(kind, size):
    comparison = table_against_resistance(kind, size)
    band = Decimal("0.025") if kind is TWIN else Decimal("0.045")
    assert comparison.answer is Answer.PASSES
    assert abs(comparison.ratio - 1) <= band


def test_armoured_cable_was_not_compared_and_is_refused():
    with pytest.raises(Rejected, match="kind: must be twin_and_earth or flex"):
        table_against_resistance(CableKind.ARMOURED_90C, 6)


def run(size, method="C", around=None):
    return CableRun("run", TWIN, Decimal(size), Method(method), around or Surroundings())


# the formula of Appendix 4 section 6.1 is from memory: these rows are no reference
FROM_MEMORY = [("6", 32, 20, "0.9285", "4.338"), ("10", 32, 20, "0.9000", "2.534"), ("2.5", 10, 15, "0.8850", "2.389")]


@pytest.mark.parametrize(("size", "current", "length", "factor", "volts"), FROM_MEMORY)
def test_load_correction_from_memory(size, current, length, factor, volts):
    correction = load_correction(run(size), current)
    assert abs(correction.factor - Decimal(factor)) < Decimal("0.00005")
    drop = drop_by_table(TWIN, Decimal(size), current, length).volts
    assert abs(correction.factor * drop - Decimal(volts)) < Decimal("0.0006")
    assert "from memory" in correction.working.steps[0].source


def test_a_conductor_below_its_capacity_runs_cooler_from_memory():
    assert abs(load_correction(run("6"), 32).conductor_c - Decimal("48.5")) < Decimal("0.05")
    assert load_correction(run("6"), 47).factor == 1


def test_more_current_than_tabulated_is_refused_and_not_computed():
    with pytest.raises(Rejected, match=r"current_a: must be at most 27 A, or the conductor runs hotter than 70 C"):
        load_correction(run("6", "101"), 32)


def test_more_current_than_its_surroundings_allow_is_refused():
    around = Surroundings(Decimal(40), 2)
    assert load_correction(run("6", around=around), 32).factor < 1
    with pytest.raises(Rejected, match=r"must be at most 32.712 A"):
        load_correction(run("6", around=around), 33)
    with pytest.raises(Rejected, match="must be at most 47 A"):
        load_correction(run("6", around=Surroundings(Decimal(25))), 48)


def test_a_run_in_insulation_is_refused():
    with pytest.raises(Rejected, match=r"surroundings.insulation_mm"):
        load_correction(run("6", around=Surroundings(insulation_mm=Decimal(100))), 10)


@given(st.decimals(0, 47, places=1), st.decimals(0, 47, places=1))
def test_more_current_never_corrects_further_down(one, other):
    low, high = sorted([one, other])
    assert load_correction(run("6"), low).factor <= load_correction(run("6"), high).factor <= 1
