"""Heat in a contact, against I^2 R and the plug's test."""

import re
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.common.errors import Rejected
from service.safety.domain.arithmetic.contact_heat import (
    PLUG_TEST_A,
    PLUG_TEST_RISE_K,
    contact_heat,
    heat_picture,
    heat_ratio,
    plug_temperature_c,
    temperature_rise,
)
from tests.service.safety.domain.arithmetic.published import PLUG_TEST, cells, derived, printed

HEAT = cells(
    "6 8 10 13 16 32",
    "1 0.036 0.064 0.10 0.169 0.256 1.02",
    "5 0.18 0.32 0.50 0.845 1.28 5.12",
    "10 0.36 0.64 1.00 1.69 2.56 10.2",
    "50 1.80 3.20 5.0 8.45 12.8 51.2",
    "100 3.60 6.40 10 16.9 25.6 102",
    "200 7.20 12.8 20 33.8 51.2 205",
    "500 18.0 32.0 50 84.5 128 512",
)


@pytest.mark.reference
@pytest.mark.parametrize(("resistance", "current", "expected"), HEAT)
def test_heat_in_a_contact(resistance, current, expected, reference):
    got = contact_heat(Decimal(resistance), Decimal(current)).power_w
    reference(source=derived("P = I^2 R"), got=got, **printed(expected))


@pytest.mark.reference
@pytest.mark.parametrize(
    ("current", "than", "source", "expected"),
    [
        (13, 10, derived("ratio of squares"), "1.69"),
        (14, 13, PLUG_TEST, "1.160"),
        (6, 10, derived("ratio of squares"), "0.36"),
        (8, 10, derived("ratio of squares"), "0.64"),
    ],
)
def test_heat_goes_with_the_square(current, than, source, expected, reference):
    reference(source=source, got=heat_ratio(current, than), **printed(expected))


@pytest.mark.reference
@pytest.mark.parametrize(("expected", "got"), [(14, PLUG_TEST_A), (52, PLUG_TEST_RISE_K)])
def test_the_plugs_test(expected, got, reference):
    reference(source=PLUG_TEST, expected=expected, got=got)


@pytest.mark.reference
@pytest.mark.parametrize(("current", "expected"), [(10, "26.5"), (6, "9.6")])
def test_rise_of_a_plug_that_just_passes_its_test(current, expected, reference):
    got = temperature_rise(current).rise_k
    reference(source=derived("52 K at 14 A, rise with I^2"), got=got, **printed(expected))


@pytest.mark.reference
@pytest.mark.parametrize(("ambient", "expected"), [(20, 72), (40, 92)])
def test_temperature_of_a_plug_at_its_test(ambient, expected, reference):
    reference(source=derived("ambient + 52 K"), expected=expected, got=plug_temperature_c(ambient, 14))


def test_the_picture_has_a_bar_for_each_current():
    picture = heat_picture(50)
    assert [bar.current_a for bar in picture.bars] == [6, 8, 10, 13, 16, 32]
    assert [bar.power_w for bar in picture.bars][:4] == [Decimal("1.8"), Decimal("3.2"), 5, Decimal("8.45")]
    assert picture.bars[3].ratio == Decimal("1.69")
    assert "13 A: 8.45 W" in picture.working.steps[0].result


@pytest.mark.parametrize(
    ("field", "ask"),
    [
        ("resistance_mohm", lambda: contact_heat(-1, 10)),
        ("current_a", lambda: contact_heat(1, 81)),
        ("than_a", lambda: heat_ratio(10, 0)),
        ("ambient_c", lambda: plug_temperature_c(61, 10)),
    ],
)
def test_what_is_out_of_range_is_refused(field, ask):
    with pytest.raises(Rejected, match=field):
        ask()


@given(st.integers(0, 500), st.integers(0, 80), st.integers(0, 80))
def test_more_current_never_heats_less(resistance, one, other):
    low, high = sorted([one, other])
    assert contact_heat(resistance, low).power_w <= contact_heat(resistance, high).power_w


def test_the_members_picture_shows_these_figures():
    script = (Path(__file__).parents[5] / "frontend" / "app" / "lib" / "contact_heat.js").read_text()
    bars = re.findall(r'"current_a": ([\d.]+), "power_w": ([\d.]+), "ratio": ([\d.]+)', script)
    resistance = re.search(r"WORN_JOINT_MOHM = (\d+);", script)
    assert resistance and len(bars) == 3
    drawn = [tuple(map(Decimal, bar)) for bar in bars]
    picture = heat_picture(Decimal(resistance[1]), [current for current, _, _ in drawn], than_a=10)
    assert drawn == [(bar.current_a, bar.power_w, bar.ratio) for bar in picture.bars]
