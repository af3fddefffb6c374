"""The declared band, power and current, against legislation and arithmetic."""

from decimal import Decimal

import pytest

from service.common.errors import Rejected
from service.safety.domain.arithmetic.supply_voltage import (
    HIGHEST_V,
    LOWEST_V,
    load_current,
    power_over_band,
    supply_kva,
    three_phase_power_w,
)
from tests.service.safety.domain.arithmetic.published import DECLARED, FUSE_SIZES, THREE_PHASE, cells, derived, printed

POWERS = cells(
    "declared_w lowest_w highest_w",
    "6  1.380 1.297 1.518",
    "8  1.840 1.730 2.024",
    "10 2.300 2.162 2.530",
    "12 2.760 2.594 3.036",
    "13 2.990 2.811 3.289",
    "16 3.680 3.459 4.048",
    "20 4.600 4.324 5.060",
    "32 7.360 6.918 8.096",
)


@pytest.mark.reference
@pytest.mark.parametrize(("expected", "got"), [("216.2", LOWEST_V), ("253.0", HIGHEST_V)])
def test_the_declared_band_is_6_percent_below_and_10_above(expected, got, reference):
    reference(source=DECLARED, expected=Decimal(expected), got=got)


@pytest.mark.reference
@pytest.mark.parametrize(("current", "at", "expected"), POWERS)
def test_power_over_the_declared_band(current, at, expected, reference):
    got = getattr(power_over_band(Decimal(current)), at) / 1000
    reference(source=derived("current x voltage over the declared band"), got=got, **printed(expected))


@pytest.mark.reference
@pytest.mark.parametrize(
    ("expected", "got"),
    [
        ("11.04", power_over_band(16, 3).declared_w),
        ("22.08", power_over_band(32, 3).declared_w),
        ("11.09", three_phase_power_w(16)),
        ("22.17", three_phase_power_w(32)),
    ],
)
def test_power_on_three_phases(expected, got, reference):
    reference(source=THREE_PHASE, got=got / 1000, **printed(expected))


@pytest.mark.reference
@pytest.mark.parametrize(("fuse", "expected"), [(60, "13.8"), (80, "18.4"), (100, "23.0")])
def test_a_supply_fuse_in_kva(fuse, expected, reference):
    reference(source=FUSE_SIZES, expected=Decimal(expected), got=supply_kva(fuse))


def test_a_load_takes_its_power_over_its_voltage():
    assert load_current(2300).current_a == 10
    assert load_current(2400, 240).current_a == 10


@pytest.mark.parametrize("power", ["-1", "1000001", "NaN"])
def test_a_power_out_of_range_is_refused(power):
    with pytest.raises(Rejected, match="power_w"):
        load_current(Decimal(power))


def test_a_current_out_of_range_is_refused():
    with pytest.raises(Rejected, match="current_a"):
        power_over_band(1001)
    with pytest.raises(Rejected, match="phases"):
        power_over_band(10, 2)
