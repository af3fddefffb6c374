"""Earth fault loop limits, against look-up tables of two editions and arithmetic."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.common.errors import Rejected
from service.safety.domain.arithmetic.answers import Answer
from service.safety.domain.arithmetic.earth_loop import (
    Curve,
    ZsBook,
    cold_zs_verdict,
    earth_electrode_verdict,
    longest_cold_loop_m,
    max_zs,
    max_zs_13a_fuse,
    run_zs,
)
from service.safety.domain.arithmetic.resistance import loop_resistance
from tests.service.safety.domain.arithmetic.published import (
    APPRENTICE,
    MAX_ZS,
    MAX_ZS_1362,
    OLD_ZS,
    cells,
    derived,
    printed,
)

LIMITS = cells(
    "B C D cold",
    "6 7.28 3.64 1.82 5.82",
    "10 4.37 2.19 1.09 3.50",
    "16 2.73 1.37 0.68 2.18",
    "20 2.19 1.09 0.55 1.75",
    "32 1.37 0.68 0.34 1.10",
    "40 1.09 0.55 0.27 0.87",
    "50 0.87 0.44 0.22 0.70",
    "63 0.69 0.35 0.17 0.55",
)
HUNDREDTH = Decimal("0.01")  # pages differ by this in the cold column
# pair, length, Ze, hot, cold
RUNS = [
    ("6/2.5", 20, "0.35", "0.602", "0.560"),
    ("6/2.5", 20, "0.80", "1.052", "1.010"),
    ("10/4", 40, "0.35", "0.659", "0.608"),
    ("2.5/1.5", 25, "0.35", "0.935", "0.838"),
    ("4/1.5", 30, "0.35", "0.952", "0.851"),
]


def pair(text):
    return loop_resistance(*map(Decimal, text.split("/")))


@pytest.mark.reference
@pytest.mark.parametrize(("rating", "column", "expected"), LIMITS)
def test_greatest_zs_of_a_breaker(rating, column, expected, reference):
    limit = max_zs(Decimal(rating), Curve("B" if column == "cold" else column))
    if column == "cold":
        reference(source=MAX_ZS, expected=Decimal(expected), got=limit.cold_ohm, tolerance=HUNDREDTH)
    else:
        reference(source=MAX_ZS, expected=Decimal(expected), got=limit.printed_ohm)


@pytest.mark.reference
def test_the_cold_limit_of_16_a_if_not_rounded_first(reference):
    got = max_zs(16, Curve.B).max_ohm * Decimal("0.8")
    reference(source=MAX_ZS, got=got, **printed("2.19"))


@pytest.mark.reference
@pytest.mark.parametrize(("time", "expected"), [("0.4", "2.30"), ("5", "3.64")])
def test_greatest_zs_of_a_13_a_fuse(time, expected, reference):
    reference(source=MAX_ZS_1362, expected=Decimal(expected), got=max_zs_13a_fuse(Decimal(time)).max_ohm)


@pytest.mark.reference
@pytest.mark.parametrize(("rating", "expected"), [(16, "2.87"), (20, "2.30"), (32, "1.44"), (40, "1.15")])
def test_greatest_zs_in_books_before_2015(rating, expected, reference):
    got = max_zs(rating, Curve.B, ZsBook.BEFORE_2015).max_ohm
    reference(source=OLD_ZS, expected=Decimal(expected), got=got, tolerance=Decimal("0.005"))


@pytest.mark.reference
@pytest.mark.parametrize("is_hot", [True, False], ids=["hot", "cold"])
@pytest.mark.parametrize(("cable", "length", "ze", "hot", "cold"), RUNS)
def test_zs_of_a_run(cable, length, ze, hot, cold, is_hot, reference):
    zs = run_zs(Decimal(ze), pair(cable), length)
    source = derived("Zs = Ze + (R1+R2) L x 1.20 / 1000; cold without 1.20")
    reference(source=source, got=zs.hot_ohm if is_hot else zs.cold_ohm, **printed(hot if is_hot else cold))


@pytest.mark.reference
def test_the_longest_run_takes_the_pair_as_made_and_not_two_line_conductors(reference):
    # 80 % of a 16 A breaker's limit less 0.35 ohm; 14.82 mohm/m, of 2.5/2.5, would make it 123.5 m
    got = longest_cold_loop_m(Decimal("2.18"), Decimal("0.35"), pair("2.5/1.5"))
    reference(source=derived("1.83 ohm over 19.51 mohm/m"), got=got, **printed("93.8"))


@pytest.mark.reference
@pytest.mark.parametrize(("idn", "expected"), [(30, "1667"), (100, "500"), (300, "167")])
def test_greatest_earth_electrode_resistance(idn, expected, reference):
    got = earth_electrode_verdict(20, idn).max_ohm
    reference(source=f"RA x IDn <= 50 V: {APPRENTICE}", got=got, **printed(expected))


@pytest.mark.reference
def test_greatest_earth_electrode_resistance_at_500_ma(reference):
    reference(source=f"RA x IDn <= 50 V: {APPRENTICE}", expected=100, got=earth_electrode_verdict(20, 500).max_ohm)


@pytest.mark.reference
@pytest.mark.parametrize(("ra", "expected"), [(200, False), (201, True), (1600, True)])
def test_above_200_ohm_a_reading_may_be_unstable(ra, expected, reference):
    verdict = earth_electrode_verdict(ra, 30)
    assert verdict.answer is Answer.PASSES
    reference(source=f"RA above 200 ohm: {APPRENTICE}", expected=expected, got=verdict.may_be_unstable)


def test_an_electrode_at_the_limit_passes_and_above_fails():
    assert earth_electrode_verdict(500, 100).answer is Answer.PASSES
    assert earth_electrode_verdict(Decimal("500.1"), 100).answer is Answer.FAILS


def test_a_cold_reading_is_held_to_80_percent():
    limit = max_zs(32, Curve.B)
    assert cold_zs_verdict(Decimal("1.09"), limit).answer is Answer.PASSES
    assert cold_zs_verdict(Decimal("1.10"), limit).answer is Answer.FAILS


def test_old_work_is_read_against_its_own_book():
    assert cold_zs_verdict(Decimal("1.12"), max_zs(32, Curve.B)).answer is Answer.FAILS
    old = max_zs(32, Curve.B, ZsBook.BEFORE_2015)
    assert cold_zs_verdict(Decimal("1.12"), old).answer is Answer.PASSES
    assert (old.book, "before 2015" in old.working.steps[0].source) == (ZsBook.BEFORE_2015, True)


@pytest.mark.parametrize(
    ("field", "ask"),
    [
        ("rating_a", lambda: max_zs(5, Curve.B)),
        ("rating_a", lambda: max_zs(80, Curve.B)),
        ("disconnection_s", lambda: max_zs_13a_fuse(1)),
        ("reading_ohm", lambda: cold_zs_verdict(Decimal(-1), max_zs(32, Curve.B))),
        ("ze_ohm", lambda: run_zs(Decimal("NaN"), pair("6/2.5"), 10)),
        ("length_m", lambda: run_zs(Decimal(0), pair("6/2.5"), 1001)),
        ("ze_ohm", lambda: longest_cold_loop_m(Decimal("0.3"), Decimal("0.35"), pair("6/2.5"))),
        ("ra_ohm", lambda: earth_electrode_verdict(0, 30)),
        ("idn_ma", lambda: earth_electrode_verdict(20, 501)),
        ("idn_ma", lambda: earth_electrode_verdict(20, 0)),
    ],
)
def test_what_is_out_of_range_is_refused(field, ask):
    with pytest.raises(Rejected, match=field):
        ask()


READINGS = st.decimals(0, 10, places=2)


@given(READINGS, READINGS, st.integers(6, 63), st.sampled_from(Curve))
def test_a_higher_reading_never_gives_a_better_answer(one, other, rating, curve):
    low, high = sorted([one, other])
    limit = max_zs(rating, curve)
    if cold_zs_verdict(low, limit).answer is Answer.FAILS:
        assert cold_zs_verdict(high, limit).answer is Answer.FAILS


@given(st.integers(0, 500), st.integers(0, 500), READINGS)
def test_a_longer_run_never_has_a_lower_zs(one, other, ze):
    low, high = sorted([one, other])
    assert run_zs(ze, pair("6/2.5"), low).hot_ohm <= run_zs(ze, pair("6/2.5"), high).hot_ohm
