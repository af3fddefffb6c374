"""The sentences beside an account of carbon, and the steps that led to it."""

from datetime import date
from decimal import Decimal

from service.figures.domain.book import FigureBook
from service.figures.domain.shipped import shipped_figures
from service.reporting.domain.carbon import CarbonAccount, Driven, account
from service.reporting.domain.carbon_factors import FactorBook
from service.reporting.domain.carbon_words import BOUNDS, notes, working

FACTORS = FactorBook(FigureBook(shipped_figures()))


def of(*months: tuple[int, int], factors: FactorBook = FACTORS, **driven) -> CarbonAccount:
    usual = {"metered_wh": 30_000, "told_miles": Decimal(90)}
    return account([(date(year, month, 1), Driven(**(driven or usual))) for year, month in months], factors)


def test_a_year_with_its_own_set_needs_no_sentence_about_it():
    assert notes(of((2025, 3)), FACTORS) == (BOUNDS,)


def test_a_set_of_another_year_is_said_for_what_and_why():
    assert notes(of((2024, 3), (2026, 3), (2026, 4)), FACTORS)[:-1] == (
        "2025 set used for petrol cars in 2024: the 2024 set is not in the book.",
        "2025 set used for charging in 2026: the 2026 set is not in the book.",
        "2025 set used for petrol cars in 2026: the 2026 set is not in the book.",
    )


def test_a_set_that_was_asked_for_is_said_as_asked():
    asked = FactorBook(FigureBook(shipped_figures()), 2023)
    assert notes(of((2025, 3), factors=asked), asked)[:-1] == (
        "2023 set used for charging in 2025, as asked.",
        "No set for petrol cars in 2025 is in the book, so this is not known.",
    )


def test_estimates_are_said_with_their_share():
    told = notes(of((2025, 3), metered_wh=1_000, estimated_wh=2_000, told_miles=Decimal(6)), FACTORS)
    assert told[0].startswith("2.0 kWh of 3.0 kWh is an estimate from miles")
    told = notes(of((2025, 3), metered_wh=1_000, estimated_miles=Decimal("3.0")), FACTORS)
    assert told[0] == "3.0 of 3.0 miles are an estimate from the energy recorded."


def test_nothing_recorded_says_nothing():
    assert (notes(of(), FACTORS), working(of(), FACTORS)) == ((), ())


def test_the_working_runs_from_both_factors_to_what_is_saved():
    steps = working(of((2025, 3)), FACTORS)
    assert [step.what for step in steps] == [
        "Electricity, 2025 set", "Petrol cars, 2025 set", "Energy that the cars took", "Miles driven on it",
        "Emitted for the electricity", "A petrol car over the same miles", "Less emitted than by a petrol car",
    ]
    assert steps[0].inputs == {
        "generated": "0.177 kg CO2e per kWh", "lost on its way": "0.01853 kg CO2e per kWh",
        "describes the grid of": "2023",
    }
    assert steps[0].result == "0.19553 kg CO2e per kWh at the meter"
    assert "(two sources); " in steps[0].source and steps[0].source.endswith("losses (published)")
    assert steps[4].result == "5.9 kg CO2e"  # 30 kWh x 0.19553
    assert steps[6].result == "average 17.7 kg CO2e, small 14.9 kg CO2e, medium 19.4 kg CO2e, large 33.0 kg CO2e"
    assert {step.source for step in steps[2:4]} == {"own choice, common practice, no source"}


def test_what_is_not_known_is_so_in_the_working():
    asked = FactorBook(FigureBook(shipped_figures()), 2023)
    assert working(of((2025, 3), factors=asked), asked)[-1].result.startswith("average not known")
