"""Which year's set of emission factors a month is reckoned with, and that a set of another year says so.

A set is published for the reports of one year.  Where the year of a month has none in the book the newest known set
stands in, in words; a caller may name one set for all months instead.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Final

from service.common.errors import Fault, Rejected
from service.figures.domain.book import Figure, FigureBook

GENERATED: Final = "carbon_electricity_generated"
DISTRIBUTION: Final = "carbon_electricity_distribution"
PETROL: Final = "carbon_petrol_car"
SIZES: Final = ("average", "small", "medium", "large")
GRID_LAG_FROM: Final = 2026
"""From this set on the grid described is that of one year before, up to then of two: DESNZ, conversion factors."""


@dataclass(frozen=True, slots=True)
class ElectricitySet:
    """Electricity of one year's set: generated, and what is lost on its way, each counted once."""

    generated: Figure
    distribution: Figure

    @property
    def year(self) -> int:
        """Return the year that the set is named after."""
        return self.generated.from_on.year

    @property
    def grid_year(self) -> int:
        """Return the year whose grid the set describes."""
        return self.year - (1 if self.year >= GRID_LAG_FROM else 2)

    @property
    def kg_per_kwh(self) -> Decimal:
        """Return what a kWh at a home's meter stands for [kg CO2e].

        The factor of electricity generated is per kWh that leaves the power station; the other adds what is lost
        before the meter.  A published factor of an electric car per mile holds both already, so it is not used.
        """
        return self.generated.value + self.distribution.value


@dataclass(frozen=True, slots=True)
class PetrolSet:
    """Petrol cars of one year's set, by size [kg CO2e per mile]."""

    year: int
    cars: Mapping[str, Figure]


@dataclass(frozen=True, slots=True)
class FactorBook:
    """The sets of a book, and the one year that the caller asked for, if any; raises ``Rejected`` for one without."""

    book: FigureBook
    set_year: int | None = None

    def __post_init__(self) -> None:
        if self.set_year is not None and self.set_year not in self.years:
            listed = ", ".join(map(str, self.years)) or "none"
            raise Rejected(Fault("set_year", self.set_year, f"is not in the book, which holds the sets of: {listed}"))

    @property
    def years(self) -> tuple[int, ...]:
        """Return the years whose set of electricity is whole, oldest first."""
        return tuple(sorted(self._electricity()))

    def electricity(self, on: date) -> ElectricitySet | None:
        """Return the set for a day: the one asked for, the one in force, or else the newest; None without any."""
        sets = self._electricity()
        if self.set_year is not None:
            return sets[self.set_year]
        generated, distribution = self.book.find(GENERATED, on), self.book.find(DISTRIBUTION, on)
        if generated and distribution and generated.from_on.year == distribution.from_on.year:
            return ElectricitySet(generated, distribution)
        return sets[max(sets)] if sets else None

    def petrol(self, on: date) -> PetrolSet | None:
        """Return the petrol cars for a day, chosen alike; None where the set asked for has none."""
        sets = self._petrol()
        if self.set_year is not None:
            return sets.get(self.set_year)
        in_force = {size: car for size in SIZES if (car := self.book.find(PETROL, on, size)) is not None}
        if len(in_force) == len(SIZES):
            return PetrolSet(in_force[SIZES[0]].from_on.year, in_force)
        return sets[max(sets)] if sets else None

    def _electricity(self) -> dict[int, ElectricitySet]:
        lost = {row.from_on.year: row for row in self.book.rows(DISTRIBUTION)}
        return {
            row.from_on.year: ElectricitySet(row, lost[row.from_on.year])
            for row in self.book.rows(GENERATED)
            if row.from_on.year in lost
        }

    def _petrol(self) -> dict[int, PetrolSet]:
        found: dict[int, dict[str, Figure]] = {}
        for size in SIZES:
            for row in self.book.rows(PETROL, size):
                found.setdefault(row.from_on.year, {})[size] = row
        return {year: PetrolSet(year, cars) for year, cars in found.items() if len(cars) == len(SIZES)}
