from decimal import Decimal

import pytest

from service.common.units import DECLARED_VOLTAGE_V, KM_PER_MILE, LITRES_PER_GALLON, WH_PER_KWH

HMRC = "HMRC advisory fuel rates, calculation tables of 1 Dec 2013 and 1 Mar 2014: pence a litre and a gallon"
TRADE = "common practice, no source"


@pytest.mark.reference
@pytest.mark.parametrize(
    ("litre_p", "gallon_p"), [("129.2", "587.2"), ("129.9", "590.5"), ("136.8", "621.9"), ("137.5", "625.0")]
)
def test_a_gallon_costs_what_the_published_tables_say(litre_p, gallon_p, reference):
    got = float(Decimal(litre_p) * LITRES_PER_GALLON)
    reference(source=HMRC, expected=float(gallon_p), got=got, tolerance=0.2)


@pytest.mark.reference
def test_forty_miles_a_gallon_at_130_pence_a_litre(reference):
    reference(source=TRADE, expected=14.8, got=float(130 * LITRES_PER_GALLON / 40), tolerance=0.05)


@pytest.mark.reference
@pytest.mark.parametrize(("current_a", "power_kw"), [(10, 2.3), (32, 7.36)])
def test_power_at_the_declared_voltage(current_a, power_kw, reference):
    reference(source=TRADE, expected=power_kw, got=current_a * DECLARED_VOLTAGE_V / WH_PER_KWH)


def test_a_mile_is_1760_yards_of_0_9144_metres():
    yard_m = Decimal("0.9144")
    assert yard_m * 1760 / 1000 == KM_PER_MILE
