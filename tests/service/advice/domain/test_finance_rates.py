"""Every internal rate of return there is, against published values and two other programmes' answers."""

from __future__ import annotations

import random
from decimal import Decimal

import numpy
import numpy_financial
import pytest
import pyxirr

from service.advice.domain.finance import net_present_value
from service.advice.domain.finance_rates import internal_rates, rate_words

DOCS = "documentation of a financial package, and two packages run"
ROWS = [
    (DOCS, [-100, 39, 59, 55, 20], 0.28094842, 5e-9),
    (DOCS, [-250000, 100000, 150000, 200000, 250000, 300000], 0.56723033, 5e-9),
    ("two financial packages run", [-1000, *[180] * 10], 0.12414829, 5e-9),
]


@pytest.mark.reference
@pytest.mark.parametrize(("source", "flows", "expected", "tolerance"), ROWS)
def test_published_rates_come_out(source, flows, expected, tolerance, reference):
    (rate,) = internal_rates(flows)
    reference(source=source, expected=expected, got=float(rate), tolerance=tolerance)


def test_one_outlay_and_savings_give_the_rate_of_two_other_programmes() -> None:
    seed = 4_711
    print(f"seed {seed}")
    dice = random.Random(seed)
    compared = 0
    for _ in range(300):
        flows = [-dice.randint(1, 300_000), *[dice.randint(1, 90_000) for _ in range(dice.randint(1, 25))]]
        (rate,) = internal_rates(flows)
        for theirs in (numpy_financial.irr(flows), pyxirr.irr(flows)):
            # Others may give up where the rate is extreme; where they answer, they answer alike.
            if theirs is not None and numpy.isfinite(theirs) and abs(numpy_financial.npv(theirs, flows)) < 1e-4:
                compared += 1
                assert float(rate) == pytest.approx(theirs, rel=1e-7, abs=1e-9)
    assert compared > 500


def test_rates_of_any_flows_are_as_many_as_the_real_roots_and_make_the_value_nought() -> None:
    seed = 815
    print(f"seed {seed}")
    dice = random.Random(seed)
    several = 0
    for _ in range(300):
        flows = [dice.randint(-50, 50) for _ in range(dice.randint(2, 9))]
        rates = internal_rates(flows)
        several += len(rates) > 1
        for rate in rates:
            size = sum(abs(flow) / float(1 + rate) ** year for year, flow in enumerate(flows))
            assert abs(float(net_present_value(rate, flows))) <= 1e-9 * size
        roots = numpy.roots(flows)  # of the value times (1 + rate) to the last year, in (1 + rate)
        clear = [root.real for root in roots if abs(root.imag) < 1e-9 and root.real > 1e-9]
        assert len({round(root, 5) for root in clear}) == len(rates)
    assert several > 20


def test_there_may_be_none_or_several_and_that_is_said() -> None:
    assert internal_rates([-1000, *[0] * 10]) == internal_rates([5, 5]) == internal_rates([]) == ()
    assert rate_words(()).startswith("none")
    two = internal_rates([-100, 230, -132])
    assert [round(float(rate), 12) for rate in two] == [0.1, 0.2]
    assert rate_words(two) == "not one but 2 (10.00 %, 20.00 %): judge by the present value instead"


def test_a_root_that_is_there_twice_is_one_rate() -> None:
    (rate,) = internal_rates([100, -220, 121])
    assert round(rate, 12) == Decimal("0.1")


def test_what_never_comes_back_has_a_rate_below_nought() -> None:
    (rate,) = internal_rates([-1000, *[5] * 10])
    assert rate < 0
    assert abs(net_present_value(rate, [-1000, *[5] * 10])) < Decimal("1e-6")
