"""Money at different times against published values and two other programmes' answers."""

from __future__ import annotations

import random
from decimal import Decimal

import numpy_financial
import pytest
import pyxirr

from service.advice.domain.finance import (
    annuity_factor,
    break_even_outlay,
    discounted_payback,
    net_present_value,
    simple_payback,
)
from service.common.errors import Rejected

DOCS = "documentation of a financial package, and two packages run"
RUN = "two financial packages run"
DERIVED = "arithmetic on the figures above"
OUTLAY, YEARLY, YEARS = 1000, 180, 10
FLOWS = [-OUTLAY, *[YEARLY] * YEARS]

VALUES = [
    (DOCS, "npv 0.281", -0.00847859, lambda: net_present_value(Decimal("0.281"), [-100, 39, 59, 55, 20]), 5e-9),
    (
        DOCS,
        "npv 0.08",
        3065.2227,
        lambda: net_present_value(Decimal("0.08"), [-40000, 5000, 8000, 12000, 30000]),
        5e-5,
    ),
    (RUN, "npv at 0 %", 800.00, lambda: net_present_value(Decimal(0), FLOWS), 5e-3),
    (RUN, "npv at 3.5 %", 496.99, lambda: net_present_value(Decimal("0.035"), FLOWS), 5e-3),
    (RUN, "npv at 5 %", 389.91, lambda: net_present_value(Decimal("0.05"), FLOWS), 5e-3),
    (RUN, "npv at 8 %", 207.81, lambda: net_present_value(Decimal("0.08"), FLOWS), 5e-3),
    (RUN, "annuity at 3.5 %", 8.31660532, lambda: annuity_factor(Decimal("0.035"), YEARS), 5e-9),
    (RUN, "annuity at 5 %", 7.72173493, lambda: annuity_factor(Decimal("0.05"), YEARS), 5e-9),
    (RUN, "annuity at 8 %", 6.71008140, lambda: annuity_factor(Decimal("0.08"), YEARS), 5e-9),
    (RUN, "simple payback", 5.5556, lambda: simple_payback(OUTLAY, YEARLY), 5e-5),
    (RUN, "discounted payback at 3.5 %", 6.28529, lambda: discounted_payback(Decimal("0.035"), OUTLAY, YEARLY), 5e-6),
    (RUN, "discounted payback at 5 %", 6.66984, lambda: discounted_payback(Decimal("0.05"), OUTLAY, YEARLY), 5e-6),
]


@pytest.mark.reference
@pytest.mark.parametrize(("source", "name", "expected", "got", "tolerance"), VALUES, ids=[row[1] for row in VALUES])
def test_published_values_come_out(source, name, expected, got, tolerance, reference):
    reference(source=source, expected=expected, got=float(got()), tolerance=tolerance)


@pytest.mark.reference
@pytest.mark.parametrize("yearly", [0, -20, Decimal("0.01")])
def test_no_saving_or_less_than_the_interest_never_pays_back(yearly, reference):
    reference(source=DERIVED, expected=None, got=discounted_payback(Decimal("0.035"), OUTLAY, yearly))


def test_what_saves_too_little_within_its_life_has_a_payback_beyond_it() -> None:
    # 100 x the annuity factor is 831.66, less than the outlay.
    years = discounted_payback(Decimal("0.035"), OUTLAY, 100)
    assert years is not None and years > YEARS
    assert net_present_value(Decimal("0.035"), [-OUTLAY, *[100] * YEARS]) < 0


def test_the_most_that_it_may_cost_is_where_the_present_value_is_nought() -> None:
    most = break_even_outlay(Decimal("0.035"), YEARLY, YEARS)
    assert abs(net_present_value(Decimal("0.035"), [-most, *[YEARLY] * YEARS])) < Decimal("1e-15")
    assert break_even_outlay(Decimal("0.035"), -5, YEARS) == 0


def test_present_values_and_paybacks_equal_those_of_two_other_programmes() -> None:
    seed = 20_261_129
    print(f"seed {seed}")
    dice = random.Random(seed)
    for _ in range(400):
        rate = Decimal(dice.randint(1, 2500)) / 10_000
        flows = [dice.randint(-200_000, 200_000) for _ in range(dice.randint(1, 26))]
        ours = float(net_present_value(rate, flows))
        size = sum(map(abs, flows)) or 1
        assert abs(ours - numpy_financial.npv(float(rate), flows)) <= 1e-12 * size
        assert abs(ours - (pyxirr.npv(float(rate), flows) or 0)) <= 1e-12 * size
        outlay, yearly = dice.randint(1, 300_000), dice.randint(1, 60_000)
        years = discounted_payback(rate, outlay, yearly)
        if years is None:
            assert outlay * rate >= yearly
        else:
            assert float(years) == pytest.approx(numpy_financial.nper(float(rate), yearly, -outlay), rel=1e-9)
            assert float(years) == pytest.approx(pyxirr.nper(float(rate), yearly, -outlay), rel=1e-9)
            assert 0 <= simple_payback(outlay, yearly) <= years


@pytest.mark.parametrize(
    "call",
    [
        lambda: net_present_value(Decimal(-1), [1]),
        lambda: net_present_value(Decimal("NaN"), [1]),
        lambda: annuity_factor(Decimal("0.1"), -1),
        lambda: annuity_factor(Decimal("0.1"), 101),
        lambda: simple_payback(-1, 5),
    ],
)
def test_what_is_no_rate_no_outlay_and_no_span_is_refused(call) -> None:
    with pytest.raises(Rejected):
        call()


def test_what_costs_nothing_has_paid_back_at_once() -> None:
    assert (simple_payback(0, 0), discounted_payback(Decimal("0.035"), 0, 5)) == (0, 0)
