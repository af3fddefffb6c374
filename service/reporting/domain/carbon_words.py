"""The working behind an account of carbon, and the sentences that must stand beside its numbers."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from typing import Final

from service.common.units import WH_PER_KWH
from service.common.working import Step
from service.reporting.domain.carbon import WHOLE_PERCENT, CarbonAccount
from service.reporting.domain.carbon_factors import SIZES, ElectricitySet, FactorBook, PetrolSet

BOUNDS: Final = (
    "Counted is what the grid emits for the electricity and what the petrol car emits from its exhaust; making cars,"
    " batteries and fuels is on neither side."
)
_OWN_CHOICE: Final = "own choice, common practice, no source"


def notes(account: CarbonAccount, factors: FactorBook) -> tuple[str, ...]:
    """Return the sentences: which set stood in for which year, and what rests on estimates."""
    found = [*_set_notes(account, factors)]
    driven = account.driven
    if driven.estimated_wh:
        found.append(
            f"{_kwh(driven.estimated_wh)} of {_kwh(driven.energy_wh)} is an estimate from miles and what the car is"
            " said to drive on a kWh."
        )
    if driven.estimated_miles:
        found.append(
            f"{driven.estimated_miles:,} of {driven.miles:,} miles are an estimate from the energy recorded."
        )
    return (*found, BOUNDS) if account.months else ()


def working(account: CarbonAccount, factors: FactorBook) -> tuple[Step, ...]:
    """Return the steps from the factors to what is saved."""
    sets = {each.year: each for month in account.months if (each := factors.electricity(month.month_on))}
    cars = {petrol.year: petrol for month in account.months if (petrol := factors.petrol(month.month_on))}
    return (
        *(_electricity_step(sets[year]) for year in sorted(sets)),
        *(_petrol_step(cars[year]) for year in sorted(cars)),
        *(_total_steps(account) if account.months else ()),
    )


def _set_notes(account: CarbonAccount, factors: FactorBook) -> Iterable[str]:
    years = sorted({month.month_on.year for month in account.months})
    for year in years:
        months = [month.month_on for month in account.months if month.month_on.year == year]
        for what, used in (
            ("charging", {each.year for on in months if (each := factors.electricity(on))}),
            ("petrol cars", {petrol.year for on in months if (petrol := factors.petrol(on))}),
        ):
            others = sorted(used - {year})
            if not used:
                yield f"No set for {what} in {year} is in the book, so this is not known."
            elif others and factors.set_year is not None:
                yield f"{others[0]} set used for {what} in {year}, as asked."
            elif others:
                yield f"{others[0]} set used for {what} in {year}: the {year} set is not in the book."


def _electricity_step(each: ElectricitySet) -> Step:
    return Step(
        what=f"Electricity, {each.year} set",
        inputs={
            "generated": f"{each.generated.value.normalize():f} {each.generated.unit}",
            "lost on its way": f"{each.distribution.value.normalize():f} {each.distribution.unit}",
            "describes the grid of": str(each.grid_year),
        },
        rule="generated + lost on its way, each counted once",
        source=f"{each.generated.where_from}; {each.distribution.where_from}",
        result=f"{each.kg_per_kwh.normalize():f} kg CO2e per kWh at the meter",
    )


def _petrol_step(each: PetrolSet) -> Step:
    return Step(
        what=f"Petrol cars, {each.year} set",
        inputs={size: f"{each.cars[size].value.normalize():f} kg CO2e per mile" for size in SIZES},
        rule="the average car, and as a range the small and the large one",
        source=each.cars[SIZES[0]].where_from,
        result=f"{each.cars[SIZES[0]].value.normalize():f} kg CO2e per mile for the average car",
    )


def _total_steps(account: CarbonAccount) -> tuple[Step, ...]:
    driven = account.driven
    energy = Step(
        what="Energy that the cars took",
        inputs={
            "home, by a meter": _kwh(driven.metered_wh),
            "home, as stated": _kwh(driven.stated_wh),
            "away from home": _kwh(driven.away_wh),
            "estimated from miles": _kwh(driven.estimated_wh),
        },
        rule=(
            "recorded energy stands; where none is recorded in a month, or less than"
            f" {WHOLE_PERCENT} % of what the miles take, the rest is miles / (miles per kWh x efficiency of charging)"
        ),
        source=_OWN_CHOICE,
        result=_kwh(driven.energy_wh),
    )
    miles = Step(
        what="Miles driven on it",
        inputs={"told": f"{driven.told_miles:,} miles", "estimated": f"{driven.estimated_miles:,} miles"},
        rule=(
            "odometer, else diary; where charging is recorded and the miles are not of each day of the month,"
            " kWh x miles per kWh x efficiency of charging"
        ),
        source=_OWN_CHOICE,
        result=f"{driven.miles:,} miles",
    )
    emitted = Step(
        what="Emitted for the electricity", inputs={"energy": _kwh(driven.energy_wh)},
        rule="energy of each month x the factor of its set", source="", result=_kg(account.electricity_g),
    )
    petrol = Step(
        what="A petrol car over the same miles", inputs={"miles": f"{driven.miles:,}"},
        rule="miles of each month x the factor of its set", source="",
        result=", ".join(f"{size} {_kg(account.petrol_g(size))}" for size in SIZES),
    )
    saved = Step(
        what="Less emitted than by a petrol car", inputs={}, rule="petrol car less electricity", source="",
        result=", ".join(f"{size} {_kg(account.saved_g(size))}" for size in SIZES),
    )
    return energy, miles, emitted, petrol, saved


def _kwh(wh: int) -> str:
    return f"{(Decimal(wh) / WH_PER_KWH).quantize(Decimal('0.1')):,} kWh"


def _kg(g: int | None) -> str:
    return "not known" if g is None else f"{(Decimal(g) / 1000).quantize(Decimal('0.1')):,} kg CO2e"
