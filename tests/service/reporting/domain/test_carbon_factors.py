"""Which set a month is reckoned with, against the published sets; electricity lost on its way is counted once."""

from datetime import date
from decimal import Decimal

import pytest

from service.common.errors import Rejected
from service.common.units import KM_PER_MILE
from service.figures.domain.book import Figure, FigureBook
from service.figures.domain.shipped import shipped_figures
from service.reporting.domain.carbon import grams
from service.reporting.domain.carbon_factors import DISTRIBUTION, GENERATED, PETROL, SIZES, FactorBook

SHIPPED = FigureBook(shipped_figures())
FACTORS = FactorBook(SHIPPED)
DESNZ = "DESNZ, conversion factors for company reporting"
ONCE = f"{DESNZ} 2025: electric car per mile, its part of losses over the factor of losses x both factors"


def set_of(year: int, **values: str) -> list[Figure]:
    days, rest = (date(year, 1, 1), date(year + 1, 1, 1)), ("kg CO2e per kWh", "operator", "a page")
    return [
        Figure(name, "", *days, Decimal(value), *rest)
        for name, value in values.items()
    ]


@pytest.mark.reference
@pytest.mark.parametrize(("year", "expected"), [(2022, "0.21107"), (2023, "0.22499"), (2025, "0.19553")])
def test_electricity_at_the_meter(year, expected, reference):
    found = FACTORS.electricity(date(year, 7, 1))
    reference(source=f"{DESNZ} {year}, generated + losses", expected=Decimal(expected), got=found.kg_per_kwh)


@pytest.mark.reference
@pytest.mark.parametrize(
    ("losses_a_mile", "car_a_mile"), [("0.00618", "0.06512"), ("0.00592", "0.06246")], ids=["average", "medium"]
)
def test_losses_counted_once_give_the_published_electric_car(losses_a_mile, car_a_mile, reference):
    found = FACTORS.electricity(date(2025, 7, 1))
    kwh_a_mile = Decimal(losses_a_mile) / found.distribution.value
    got = kwh_a_mile * found.kg_per_kwh
    reference(source=ONCE, expected=Decimal(car_a_mile), got=got, tolerance=Decimal("0.0001"))
    counted_twice = got + Decimal(losses_a_mile)
    assert counted_twice - Decimal(car_a_mile) > Decimal("0.005")


@pytest.mark.reference
@pytest.mark.parametrize(("a_km", "a_mile"), [("0.04047", "0.06512"), ("0.16272", "0.26187")])
def test_factors_a_kilometre_and_a_mile_are_the_same(a_km, a_mile, reference):
    got = Decimal(a_km) * KM_PER_MILE
    reference(source=f"{DESNZ} 2025", expected=Decimal(a_mile), got=got, tolerance=Decimal("0.00002"))


@pytest.mark.reference
@pytest.mark.parametrize(("year", "kg"), [(2024, 20_705), (2025, 17_700)])
def test_a_hundred_thousand_kilowatt_hours(year, kg, reference):
    got = grams(Decimal(100_000), FACTORS.electricity(date(year, 7, 1)).generated.value)
    reference(source=f"press example on {DESNZ} {year}", expected=kg * 1000, got=got)


@pytest.mark.reference
@pytest.mark.parametrize(("set_year", "grid_year"), [(2022, 2020), (2025, 2023), (2026, 2025)])
def test_the_grid_that_a_set_describes(set_year, grid_year, reference):
    ahead = FigureBook([*shipped_figures(), *set_of(2026, **{GENERATED: "0.13", DISTRIBUTION: "0.01"})])
    got = FactorBook(ahead).electricity(date(set_year, 7, 1)).grid_year
    reference(source=f"{DESNZ}, change of method in 2026", expected=grid_year, got=got)


@pytest.mark.parametrize(
    ("on", "electricity", "petrol"),
    [
        ("2021-06-01", 2025, 2025), ("2022-01-01", 2022, 2025), ("2024-12-31", 2024, 2025), ("2025-12-31", 2025, 2025),
        ("2026-01-01", 2025, 2025), ("2030-01-01", 2025, 2025),
    ],
)
def test_each_year_has_its_own_set_or_else_the_newest(on, electricity, petrol):
    day = date.fromisoformat(on)
    assert (FACTORS.electricity(day).year, FACTORS.petrol(day).year) == (electricity, petrol)


def test_a_set_that_the_operator_records_is_used_at_once():
    book = FactorBook(FigureBook([*shipped_figures(), *set_of(2026, **{GENERATED: "0.131", DISTRIBUTION: "0.013"})]))
    assert book.electricity(date(2026, 11, 1)).kg_per_kwh == Decimal("0.144")
    assert book.electricity(date(2025, 11, 1)).year == 2025
    assert book.petrol(date(2026, 11, 1)).year == 2025


def test_half_a_set_is_none():
    book = FactorBook(FigureBook([*shipped_figures(), *set_of(2026, **{GENERATED: "0.131"})]))
    assert book.years == (2022, 2023, 2024, 2025)
    assert book.electricity(date(2026, 11, 1)).year == 2025
    cars = [
        Figure(PETROL, size, date(2026, 1, 1), None, Decimal("0.2"), "kg CO2e per mile", "operator", "a page")
        for size in SIZES[:3]
    ]
    assert FactorBook(FigureBook([*shipped_figures(), *cars])).petrol(date(2026, 5, 1)).year == 2025


def test_one_set_for_all_days_is_the_callers_to_ask_for():
    asked = FactorBook(SHIPPED, 2023)
    assert {asked.electricity(date(year, 5, 1)).year for year in range(2021, 2028)} == {2023}
    assert asked.petrol(date(2025, 5, 1)) is None


def test_a_set_that_is_not_in_the_book_is_refused():
    with pytest.raises(Rejected) as caught:
        FactorBook(SHIPPED, 2026)
    (fault,) = caught.value.faults
    assert (fault.field, fault.rule) == (
        "set_year", "is not in the book, which holds the sets of: 2022, 2023, 2024, 2025"
    )


def test_an_empty_book_knows_nothing():
    empty = FactorBook(FigureBook([]))
    assert (empty.electricity(date(2025, 1, 1)), empty.petrol(date(2025, 1, 1)), empty.years) == (None, None, ())
