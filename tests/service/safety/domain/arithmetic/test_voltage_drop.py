"""Voltage drop by table and limits, against handbook numbers, worked examples and an independent power flow."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.common.errors import Rejected
from service.safety.domain.arithmetic.answers import Answer
from service.safety.domain.arithmetic.cable import CableRun
from service.safety.domain.arithmetic.cable_factors import AS_TABULATED
from service.safety.domain.arithmetic.cable_tables import TABLES, CableKind, Method
from service.safety.domain.arithmetic.resistance import ConductorClass
from service.safety.domain.arithmetic.ring import RingPlace, ring_equivalent_m
from service.safety.domain.arithmetic.voltage_drop import (
    DropUse,
    SupplyKind,
    drop_along,
    drop_by_resistance,
    drop_by_table,
    drop_limit,
    drop_within,
    longest_run,
)
from tests.service.safety.domain.arithmetic.power_flow import loop_ohm, solved_drop_v
from tests.service.safety.domain.arithmetic.published import (
    DROP_3PH,
    DROP_LIMITS,
    FLEX_PAGE,
    derived,
    printed,
)

TWIN, FLEX = CableKind.TWIN_AND_EARTH, CableKind.FLEX
SOLID = ConductorClass.SOLID_OR_STRANDED
TABLE_RULE = derived("Vd = mV/A/m x I x L / 1000 on Table 4D5")
PUBLIC_5 = drop_limit(SupplyKind.PUBLIC, DropUse.OTHER)
PUBLIC_3 = drop_limit(SupplyKind.PUBLIC, DropUse.LIGHTING)

# size, current, length, volts, percent, against 5 %, against 3 %
DROPS = [
    line.split()
    for line in """6 32 10 2.336 1.016 passes passes
6 32 20 4.672 2.031 passes passes
6 32 25 5.840 2.539 passes passes
6 32 30 7.008 3.047 passes fails
6 32 49 11.446 4.977 passes fails
6 32 50 11.680 5.078 fails fails
10 32 40 5.632 2.449 passes passes
10 32 82 11.546 5.020 fails fails
4 32 30 10.560 4.591 passes fails
4 20 25 5.500 2.391 passes passes
2.5 10 15 2.700 1.174 passes passes
2.5 13 20 4.680 2.035 passes passes
2.5 16 18 5.184 2.254 passes passes""".splitlines()
]
IDS = ["-".join(row[:3]) for row in DROPS]
LONGEST = [
    ("2.5", 10, "63.9"), ("2.5", 13, "49.1"), ("2.5", 16, "39.9"), ("2.5", 20, "31.9"),
    ("4", 32, "32.7"), ("6", 32, "49.2"), ("6", 40, "39.4"), ("10", 32, "81.7"),
]  # fmt: skip


def table_drop(size, current, length, kind=TWIN):
    return drop_by_table(kind, Decimal(size), Decimal(current), Decimal(length))


def run(size, length, kind=TWIN):
    method = Method.CLIPPED if kind is TWIN else Method.FLEXIBLE_CORD
    metres = None if length is None else Decimal(length)
    return CableRun(f"{size} {kind.value}", kind, Decimal(size), method, AS_TABULATED, metres)


@pytest.mark.reference
@pytest.mark.parametrize("row", DROPS, ids=IDS)
def test_drop_by_table_in_volts(row, reference):
    reference(source=TABLE_RULE, got=table_drop(*row[:3]).volts, **printed(row[3]))


@pytest.mark.reference
@pytest.mark.parametrize("row", DROPS, ids=IDS)
def test_drop_by_table_in_percent(row, reference):
    reference(source=TABLE_RULE, got=table_drop(*row[:3]).percent, **printed(row[4]))


@pytest.mark.reference
@pytest.mark.parametrize(("limit", "column"), [(PUBLIC_5, 5), (PUBLIC_3, 6)], ids=["5 %", "3 %"])
@pytest.mark.parametrize("row", DROPS, ids=IDS)
def test_drop_against_its_limit(row, limit, column, reference):
    got = drop_within(table_drop(*row[:3]), limit).answer.value
    reference(source=f"{TABLE_RULE}; Table 4Ab", expected=row[column], got=got)


@pytest.mark.parametrize("row", DROPS, ids=IDS)
def test_drop_by_table_is_the_product_to_a_millionth(row):
    size, current, length = (float(text) for text in row[:3])
    mv = {6: 7.3, 10: 4.4, 4: 11, 2.5: 18}[size]
    assert abs(float(table_drop(*row[:3]).volts) - mv * current * length / 1000) < 1e-6


@pytest.mark.reference
@pytest.mark.parametrize(("size", "current", "expected"), LONGEST)
def test_longest_run_at_5_percent(size, current, expected, reference):
    got = longest_run(TWIN, Decimal(size), current, PUBLIC_5).length_m
    reference(source=derived("L = 11.5 V / (mV/A/m x I)"), got=got, **printed(expected))


@pytest.mark.reference
@pytest.mark.parametrize(
    ("what", "expected"), [("fixed", "2.70"), ("flex", "4.80"), ("volts", "7.50"), ("percent", "3.26")]
)
def test_drops_in_series_add_from_the_origin(what, expected, reference):
    whole = drop_along(10, [run("2.5", 15), run("1.5", 15, FLEX)])
    got = {
        "fixed": table_drop("2.5", 10, 15).volts,
        "flex": table_drop("1.5", 10, 15, FLEX).volts,
        "volts": whole.volts,
        "percent": whole.percent,
    }[what]
    reference(source=derived("15 m of 2.5 mm2 and 15 m of 1.5 mm2 flex at 10 A"), got=got, **printed(expected))


@pytest.mark.reference
@pytest.mark.parametrize(
    ("supply", "use", "at", "expected"),
    [
        ("public", "lighting", "percent", "3"),
        ("public", "lighting", "volts", "6.9"),
        ("public", "other", "percent", "5"),
        ("public", "other", "volts", "11.5"),
        ("private", "lighting", "percent", "6"),
        ("private", "lighting", "volts", "13.8"),
        ("private", "other", "percent", "8"),
        ("private", "other", "volts", "18.4"),
    ],
)
def test_limits_of_table_4ab(supply, use, at, expected, reference):
    got = getattr(drop_limit(SupplyKind(supply), DropUse(use)), at)
    reference(source=f"Table 4Ab: {DROP_LIMITS}", expected=Decimal(expected), got=got)


@pytest.mark.reference
@pytest.mark.parametrize(
    ("length", "expected"), [(100, "5"), (101, "5.005"), (150, "5.25"), (200, "5.5"), (900, "5.5")]
)
def test_long_runs_may_drop_a_little_more(length, expected, reference):
    got = drop_limit(SupplyKind.PUBLIC, DropUse.OTHER, length_m=length).percent
    reference(source="'UK Voltage Drop (BS 7671)' reference page", expected=Decimal(expected), got=got)


@pytest.mark.reference
@pytest.mark.parametrize(("use", "expected"), [("lighting", 12), ("other", 20)])
def test_limits_on_three_phases(use, expected, reference):
    got = drop_limit(SupplyKind.PUBLIC, DropUse(use), phases=3).volts
    reference(source=DROP_3PH, expected=Decimal(expected), got=got)


@pytest.mark.reference
def test_flex_up_to_90_c_drops_1_09_times_as_much(reference):
    hot = drop_by_table(FLEX, Decimal("1.5"), 10, 10, is_90c_flex=True).volts
    got = hot / table_drop("1.5", 10, 10, FLEX).volts
    reference(source=f"90 C flex: {FLEX_PAGE}", expected=Decimal("1.09"), got=got, tolerance=Decimal("1e-20"))


# --- published worked examples
W1 = "course lesson 'Voltage Drop Calculation': 2.5 mm2, 16 A, 18 m"
W2 = "'UK Voltage Drop (BS 7671)' reference page: 6 mm2, 32 A, 30 m, 0.0225 ohm mm2/m"
W3 = "forum 'determining the csa of the cpc': 10 mm2, 18 m, 5 kW water heater"


@pytest.mark.reference
@pytest.mark.parametrize(("what", "expected"), [("volts", "5.18"), ("answer", "passes")])
def test_w1_drop_of_a_radial(what, expected, reference):
    drop = table_drop("2.5", 16, 18)
    if what == "volts":
        reference(source=W1, got=drop.volts, **printed(expected))
    else:
        reference(source=W1, expected=expected, got=drop_within(drop, PUBLIC_5).answer.value)


@pytest.mark.reference
@pytest.mark.parametrize(("what", "expected"), [("volts", "7.20"), ("percent", "3.13")])
def test_w2_drop_from_resistivity(what, expected, reference):
    # the page's resistivity as the temperature at which a conductor of 3.08 ohm/km has it, 75.4 C
    conductor_c = Decimal("0.0225") * 1000 / (6 * Decimal("3.08")) * Decimal("254.5") - Decimal("234.5")
    reference(source=W2, got=getattr(drop_by_resistance(6, SOLID, 32, 30, conductor_c), what), **printed(expected))


@pytest.mark.reference
def test_w2_by_our_table(reference):
    reference(source=derived("W2 by Table 4D5"), got=table_drop("6", 32, 30).volts, **printed("7.008"))


@pytest.mark.reference
@pytest.mark.parametrize(("size", "source", "expected"), [("10", W3, "1.72"), ("16", derived("W3 in 16 mm2"), "1.096")])
def test_w3_drop_of_a_water_heater(size, source, expected, reference):
    drop = drop_by_table(TWIN, Decimal(size), Decimal(5000) / 230, 18)
    reference(source=source, got=drop.volts, **printed(expected))


# --- refusals and what is not known
def test_a_current_above_anything_the_table_has_for_the_size_is_refused():
    with pytest.raises(Rejected, match="current_a: must lie between 0 and 47 A, the greatest capacity of the size"):
        table_drop("6", "47.1", 10)
    with pytest.raises(Rejected, match="current_a"):
        longest_run(TWIN, Decimal("1.0"), 17, PUBLIC_5)
    with pytest.raises(Rejected, match="current_a: must be above 0"):
        longest_run(TWIN, Decimal("1.0"), 0, PUBLIC_5)


@pytest.mark.parametrize("length", ["-1", "1000.1", "NaN", "Infinity"])
def test_a_length_out_of_range_is_refused(length):
    with pytest.raises(Rejected, match="length_m: must lie between 0 and 1000 m"):
        table_drop("6", 10, length)


def test_only_flex_has_a_90_c_drop():
    with pytest.raises(Rejected, match="is_90c_flex"):
        drop_by_table(TWIN, 6, 10, 10, is_90c_flex=True)


def test_a_length_that_is_not_known_leaves_the_drop_not_known():
    assert drop_along(10, [run("2.5", 15), run("1.5", None, FLEX)]) is None
    assert drop_along(10, []) is None
    assert drop_within(None, PUBLIC_5).answer is Answer.NOT_KNOWN


def test_the_working_shows_each_run_and_the_sum():
    working = drop_along(10, [run("2.5", 15), run("1.5", 15, FLEX)]).working
    assert working.steps[-1].inputs == {"1 2.5 twin_and_earth": "2.7 V", "2 1.5 flex": "4.8 V"}
    assert working.steps[-1].result == "7.5 V = 3.26 % of 230 V"
    assert "Table 4F3" in working.steps[2].source


# --- against an independent solver
SOLVED = [("6", 32, 20), ("10", 32, 20), ("2.5", 10, 15), ("4", 20, 25), ("6", 32, 35), ("2.5", 13, 20), ("16", 40, 30),
          ("1.5", 10, 12), ("1.0", 6, 10)]  # fmt: skip


@pytest.mark.parametrize(("size", "current", "length"), SOLVED)
def test_the_table_agrees_with_a_power_flow_within_2_5_percent(size, current, length):
    solved = solved_drop_v([(0, 1, loop_ohm(size, length))], current, 2)
    assert abs(float(table_drop(size, current, length).volts) / solved - 1) < 0.025


@pytest.mark.parametrize(("size", "current", "length"), SOLVED)
def test_resistance_agrees_with_a_power_flow_within_a_thousandth(size, current, length):
    solved = solved_drop_v([(0, 1, loop_ohm(size, length))], current, 2)
    ours = drop_by_resistance(Decimal(size), SOLID, current, length, 70)
    assert abs(float(ours.volts) / solved - 1) < 0.001


def test_runs_in_series_agree_with_a_power_flow():
    solved = solved_drop_v([(0, 1, loop_ohm("10", 20)), (1, 2, loop_ohm("4", 15)), (2, 3, loop_ohm("2.5", 8))], 16, 4)
    ours = drop_along(16, [run("10", 20), run("4", 15), run("2.5", 8)])
    assert abs(float(ours.volts) / solved - 1) < 0.025


def test_a_ring_drops_as_a_power_flow_of_its_two_legs():
    solved = solved_drop_v([(0, 1, loop_ohm("2.5", 12)), (0, 1, loop_ohm("2.5", 38))], 10, 2)
    ours = table_drop("2.5", 10, ring_equivalent_m(RingPlace(Decimal(50), Decimal(12))))
    assert abs(float(ours.volts) / solved - 1) < 0.025


# --- properties
SIZES = st.sampled_from(sorted(TABLES[TWIN].rows))
CURRENTS = st.decimals(0, 16, places=1)
LENGTHS = st.decimals(0, 1000, places=1)


@given(SIZES, CURRENTS, LENGTHS, LENGTHS)
def test_longer_cable_never_drops_less(size, current, one, other):
    low, high = sorted([one, other])
    assert table_drop(size, current, low).volts <= table_drop(size, current, high).volts


@given(SIZES, CURRENTS, CURRENTS, LENGTHS)
def test_more_current_never_drops_less(size, one, other, length):
    low, high = sorted([one, other])
    assert table_drop(size, low, length).volts <= table_drop(size, high, length).volts


@given(SIZES, SIZES, CURRENTS, LENGTHS)
def test_thicker_cable_never_drops_more(one, other, current, length):
    low, high = sorted([one, other])
    assert table_drop(high, current, length).volts <= table_drop(low, current, length).volts


@given(st.lists(st.tuples(SIZES, st.integers(0, 50)), min_size=1, max_size=4), CURRENTS, SIZES, st.integers(0, 50))
def test_a_further_run_never_drops_less(runs, current, size, length):
    shorter = [run(*one) for one in runs]
    before, after = drop_along(current, shorter), drop_along(current, [*shorter, run(size, length)])
    assert before.volts <= after.volts


@given(SIZES, CURRENTS, LENGTHS, st.decimals(20, 70, places=1), st.decimals(20, 70, places=1))
def test_a_hotter_conductor_never_drops_less(size, current, length, one, other):
    low, high = sorted([one, other])
    cooler, hotter = (drop_by_resistance(size, SOLID, current, length, at).volts for at in (low, high))
    assert cooler <= hotter


@given(SIZES, st.decimals(1, 16, places=1))
def test_the_longest_run_keeps_its_limit_and_a_longer_one_does_not(size, current):
    longest = longest_run(TWIN, size, current, PUBLIC_5).length_m
    slightly = Decimal("1e-9")
    if longest < 999:
        assert drop_within(drop_by_table(TWIN, size, current, longest - slightly), PUBLIC_5).answer is Answer.PASSES
        assert drop_within(drop_by_table(TWIN, size, current, longest + slightly), PUBLIC_5).answer is Answer.FAILS
