"""The arithmetic behind the advisory rates, against the publisher's own tables of calculation."""

from decimal import Decimal

import pytest

from service.common.money import UP_PER_PENNY
from service.figures.domain.fuel import pence_per_mile_petrol, whole_rate
from service.planning.domain.charging import pence_per_mile

TABLES = "HMRC, tables of calculation of 1 Dec 2013 and 1 Mar 2014, via two accountants' copies"
ELECTRIC = "HMRC, advisory electricity rate, its working as several pages give it"
APPLIED = Decimal("0.85")  # of the mean miles a gallon, by the same tables

# Pence a litre, mean miles a gallon, published pence a mile, published rate.
PETROL = [
    ("129.2", "51.06", "13.5", 14), ("129.2", "42.24", "16.4", 16), ("129.2", "28.63", "24.1", 24),
    ("129.9", "51.06", "13.6", 14), ("129.9", "42.24", "16.4", 16), ("136.8", "62.36", "11.7", 12),
    ("137.5", "62.36", "11.8", 12),
]
# Pence a kWh, miles a kWh, published pence a mile, published rate, tolerance.
CHARGED = [
    ("26.14", "3.57", "7.31", 7, "0.02"), ("27.04", "3.59", "7.53", 8, "0.02"), ("51", "3.59", "14.2", 14, "0.05"),
]


@pytest.mark.reference
@pytest.mark.parametrize(("litre", "mpg", "expected", "rate"), PETROL)
def test_what_petrol_costs_a_mile(litre, mpg, expected, rate, reference):
    got = pence_per_mile_petrol(Decimal(litre), Decimal(mpg) * APPLIED)
    reference(source=TABLES, expected=Decimal(expected), got=got, tolerance=Decimal("0.1"))


@pytest.mark.reference
@pytest.mark.parametrize(("litre", "mpg", "expected", "rate"), PETROL)
def test_the_rate_that_petrol_is_rounded_to(litre, mpg, expected, rate, reference):
    got = whole_rate(pence_per_mile_petrol(Decimal(litre), Decimal(mpg) * APPLIED))
    reference(source=TABLES, expected=rate, got=got)


@pytest.mark.reference
@pytest.mark.parametrize(("price", "miles", "expected", "rate", "tolerance"), CHARGED)
def test_what_electricity_costs_a_mile(price, miles, expected, rate, tolerance, reference):
    got = pence_per_mile(int(Decimal(price) * UP_PER_PENNY), Decimal(miles))
    reference(source=ELECTRIC, expected=Decimal(expected), got=got, tolerance=Decimal(tolerance))


@pytest.mark.reference
@pytest.mark.parametrize(("price", "miles", "expected", "rate", "tolerance"), CHARGED)
def test_the_rate_that_electricity_is_rounded_to(price, miles, expected, rate, tolerance, reference):
    got = whole_rate(pence_per_mile(int(Decimal(price) * UP_PER_PENNY), Decimal(miles)))
    reference(source=ELECTRIC, expected=rate, got=got)


@pytest.mark.reference
def test_exactly_half_a_penny_is_rounded_down(reference):
    reference(source="HMRC's rule, via the motoring press, Dec 2025", expected=7, got=whole_rate(Decimal("7.5")))
    assert whole_rate(Decimal("7.5001")) == 8
