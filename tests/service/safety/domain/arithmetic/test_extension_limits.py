"""Drop, heat and limits of extension leads, against the flex table and quoted limits."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.common.errors import Rejected
from service.safety.domain.arithmetic.cable_tables import TABLES, CableKind
from service.safety.domain.arithmetic.extension_limits import (
    ADVISED_LENGTH_M,
    current_within_label,
    extension_loss,
    longest_extension,
)
from tests.service.safety.domain.arithmetic.published import (
    EXTENSION_15_M,
    EXTENSION_TABLE,
    REEL_LABEL,
    cells,
    derived,
    printed,
)

# volts/percent/watts at 10 A
LOSSES = cells(
    "5 10 15 20 25",
    "1.0 2.30/1.00/23 4.60/2.00/46 6.90/3.00/69 9.20/4.00/92 11.50/5.00/115",
    "1.25 1.85/0.80/18.5 3.70/1.61/37 5.55/2.41/55.5 7.40/3.22/74 9.25/4.02/92.5",
    "1.5 1.60/0.70/16 3.20/1.39/32 4.80/2.09/48 6.40/2.78/64 8.00/3.48/80",
    "2.5 0.95/0.41/9.5 1.90/0.83/19 2.85/1.24/28.5 3.80/1.65/38 4.75/2.07/47.5",
)
HEAT_PER_M = cells("10 13", "1.0 4.60 7.77", "1.25 3.70 6.25", "1.5 3.20 5.41", "2.5 1.90 3.21")


@pytest.mark.reference
@pytest.mark.parametrize("at", ["volts", "percent", "heat_w"])
@pytest.mark.parametrize(("size", "length", "expected"), LOSSES)
def test_drop_and_heat_at_10_a(size, length, expected, at, reference):
    loss = extension_loss(Decimal(size), Decimal(length), 10)
    figure = expected.split("/")[["volts", "percent", "heat_w"].index(at)]
    reference(source=derived("mV/A/m of Table 4F3 x I x L, and x I"), got=getattr(loss, at), **printed(figure))


@pytest.mark.reference
@pytest.mark.parametrize(("size", "current", "expected"), HEAT_PER_M)
def test_heat_per_metre(size, current, expected, reference):
    got = extension_loss(Decimal(size), 1, Decimal(current)).heat_w_per_m
    reference(source=derived("mV/A/m of Table 4F3 x I x I"), got=got, **printed(expected))


@pytest.mark.reference
def test_a_25_m_lead_of_1_5_mm2_gives_off_about_80_w(reference):
    got = extension_loss(Decimal("1.5"), 25, 10).heat_w
    reference(source=derived("mV/A/m of Table 4F3 x I x I x L"), expected=80, got=got)


@pytest.mark.reference
@pytest.mark.parametrize(("size", "expected"), [("1.25", 12), ("1.5", 15), ("2.5", 25)])
def test_longest_lead_by_size(size, expected, reference):
    reference(source=EXTENSION_TABLE, expected=expected, got=longest_extension(Decimal(size)).table_m)


@pytest.mark.reference
def test_longest_lead_advised(reference):
    reference(source=EXTENSION_15_M, expected=15, got=ADVISED_LENGTH_M)


@pytest.mark.reference
def test_a_label_of_2300_w_is_exceeded_by_10_a_at_253_v(reference):
    label = current_within_label(2300)
    assert label.current_a < 10
    reference(source=REEL_LABEL, expected=2530, got=label.power_at_highest_v_w)


def test_the_shorter_of_table_and_advice_holds():
    assert longest_extension(Decimal("1.25")).length_m == 12
    assert longest_extension(Decimal("2.5")).length_m == 15
    assert longest_extension(Decimal("1.0")).length_m is None


def test_a_flex_above_its_rating_is_said_to_be_so():
    assert extension_loss(Decimal("1.0"), 10, 13).is_above_rating
    assert not extension_loss(Decimal("1.0"), 10, 10).is_above_rating


@pytest.mark.parametrize(
    ("field", "ask"),
    [
        ("size_mm2", lambda: extension_loss(6, 10, 10)),
        ("current_a", lambda: extension_loss(4, 10, Decimal("13.1"))),
        ("length_m", lambda: extension_loss(4, -1, 10)),
        ("label_w", lambda: current_within_label(0)),
        ("label_w", lambda: current_within_label(4001)),
    ],
)
def test_what_is_out_of_range_is_refused(field, ask):
    with pytest.raises(Rejected, match=field):
        ask()


@given(st.sampled_from(sorted(TABLES[CableKind.FLEX].rows)), st.integers(0, 50), st.integers(0, 50), st.integers(0, 13))
def test_a_longer_lead_never_loses_less(size, one, other, current):
    low, high = sorted([one, other])
    shorter, longer = extension_loss(size, low, current), extension_loss(size, high, current)
    assert shorter.volts <= longer.volts
    assert shorter.heat_w <= longer.heat_w
