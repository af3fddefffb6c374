from decimal import ROUND_HALF_UP, Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.common.errors import Rejected
from service.common.money import MAX_PENCE, UP_PER_PENNY, format_pence, parse_pence, round_half_up


@pytest.mark.parametrize(
    ("text", "up"),
    [
        ("28.35", 28_350_000),
        ("0", 0),
        ("-0", 0),
        ("-4.2", -4_200_000),
        ("+7", 7_000_000),
        (" 7.90 ", 7_900_000),
        ("0.000001", 1),
        ("-0.000001", -1),
        ("100000", 100_000_000_000),
    ],
)
def test_plain_decimals_are_read_exactly(text, up):
    assert parse_pence(text) == up


@pytest.mark.parametrize(
    "text",
    [
        "",
        " ",
        ".",
        "1.",
        ".5",
        "1e3",
        "NaN",
        "inf",
        "-inf",
        "1,5",
        "1 000",
        "£1",
        "0x10",
        "--1",
        "1_000",
        "٣",
        "9" * 40,
    ],
)
def test_anything_else_is_refused_and_names_its_field(text):
    with pytest.raises(Rejected) as caught:
        parse_pence(text, field="bands.0.price")
    (fault,) = caught.value.faults
    assert (fault.field, fault.value) == ("bands.0.price", text)


@pytest.mark.parametrize("text", ["1.0000000", "0.1234567", "100000.000001", "-100001", None, 28.35, Decimal("28.35")])
def test_a_price_too_fine_too_large_or_not_text_is_refused(text):
    with pytest.raises(Rejected):
        parse_pence(text)


@given(st.integers(-MAX_PENCE * UP_PER_PENNY, MAX_PENCE * UP_PER_PENNY))
def test_a_price_written_and_read_again_is_the_same(up):
    text = format_pence(up)
    assert parse_pence(text) == up
    assert Decimal(text) * UP_PER_PENNY == up
    assert text == "0" or not ("." in text and text.endswith("0"))


@given(st.integers(-(10**20), 10**20), st.integers(-(10**12), 10**12).filter(bool))
def test_rounding_is_exact_half_away_from_zero_and_the_same_for_credits(numerator, denominator):
    got = round_half_up(numerator, denominator)
    doubled = 2 * got * abs(denominator) - 2 * numerator * (1 if denominator > 0 else -1)
    assert abs(doubled) <= abs(denominator)
    assert round_half_up(-numerator, denominator) == -got


@given(st.integers(-(10**9), 10**9), st.sampled_from([1, 2, 4, 5, 8, 10, 100, 1000]))
def test_rounding_agrees_with_decimal(numerator, denominator):
    exact = Decimal(numerator) / Decimal(denominator)
    assert round_half_up(numerator, denominator) == int(exact.to_integral_value(ROUND_HALF_UP))


def test_dividing_by_nothing_is_an_error():
    with pytest.raises(ZeroDivisionError):
        round_half_up(1, 0)
