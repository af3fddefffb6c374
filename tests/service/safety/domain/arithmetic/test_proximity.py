"""Coding resistors, against a charging controller's manual."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.common.errors import Rejected
from service.safety.domain.arithmetic.proximity import ProximityMeaning, cable_rating
from tests.service.safety.domain.arithmetic.published import CHARGING_CONTROLLER, PROXIMITY_PAGE

# nominal, rating, conductor
NOMINAL = [("1500", 13, "1.5"), ("680", 20, "2.5"), ("220", 32, "6"), ("100", 63, "16")]
# inside each band, next to its ends
BANDS = [
    ("2200", 13), ("1000.1", 13), ("999.9", 20), ("330.1", 20), ("329.9", 32), ("150.1", 32), ("149.9", 63), ("75", 63),
]  # fmt: skip


@pytest.mark.reference
@pytest.mark.parametrize(("resistance", "rating", "_size"), NOMINAL)
def test_a_nominal_resistor_codes_a_rating(resistance, rating, _size, reference):
    reference(source=CHARGING_CONTROLLER, expected=rating, got=cable_rating(Decimal(resistance)).rating_a)


@pytest.mark.reference
@pytest.mark.parametrize(("resistance", "_rating", "size"), NOMINAL)
def test_a_rating_goes_with_a_conductor(resistance, _rating, size, reference):
    got = cable_rating(Decimal(resistance)).conductor_mm2
    reference(source=PROXIMITY_PAGE, expected=Decimal(size), got=got)


@pytest.mark.reference
@pytest.mark.parametrize(("resistance", "rating"), BANDS)
def test_a_reading_within_the_band_is_valid(resistance, rating, reference):
    got = cable_rating(Decimal(resistance)).rating_a
    reference(source=f"{CHARGING_CONTROLLER}: tolerance bands", expected=rating, got=got)


@pytest.mark.reference
@pytest.mark.parametrize(
    ("resistance", "meaning"),
    [("74.9", "error"), ("0", "error"), ("2200.1", "not_plugged"), ("1000000", "not_plugged")],
)
def test_outside_the_bands_is_an_error_or_no_cable(resistance, meaning, reference):
    reading = cable_rating(Decimal(resistance))
    assert reading.rating_a is None
    reference(source=CHARGING_CONTROLLER, expected=meaning, got=reading.meaning.value)


@pytest.mark.reference
def test_the_widest_cable_carries_70_a_on_one_phase(reference):
    reference(source=CHARGING_CONTROLLER, expected=70, got=cable_rating(100, phases=1).rating_a)


@pytest.mark.parametrize(("edge", "rating"), [(1000, 13), (330, 20), (150, 32)])
def test_a_reading_on_an_edge_takes_the_lower_rating(edge, rating):
    assert cable_rating(edge).rating_a == rating


@pytest.mark.parametrize("resistance", ["-1", "NaN", "Infinity"])
def test_a_resistance_that_no_meter_reads_is_refused(resistance):
    with pytest.raises(Rejected, match="resistance_ohm"):
        cable_rating(Decimal(resistance))


def test_two_phases_are_refused():
    with pytest.raises(Rejected, match="phases: must be 1 or 3"):
        cable_rating(100, phases=2)


@given(st.decimals(75, 2200, places=1), st.decimals(75, 2200, places=1))
def test_more_resistance_never_codes_more_current(one, other):
    low, high = sorted([one, other])
    assert cable_rating(low).rating_a >= cable_rating(high).rating_a
    assert cable_rating(low).meaning is ProximityMeaning.CABLE
