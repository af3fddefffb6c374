"""What a mile in a petrol car costs: from one's own price and miles per gallon, or a dated published rate."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Final

from service.common.errors import Fault, Rejected
from service.common.money import UP_PER_PENNY, format_pence, round_half_up
from service.common.units import LITRES_PER_GALLON
from service.common.working import Step
from service.figures.domain.book import FigureBook

RATE: Final = "advisory_petrol"
SIZES: Final = ("up_to_1400", "1401_to_2000", "above_2000")
PRICE_MAX_PENCE, MPG_MAX = 1000, 300
"""Own bounds of what a person types."""


@dataclass(frozen=True, slots=True)
class PetrolAsked:
    """Which petrol car to compare with: price [p per litre] and miles per imperial gallon, or an engine's size [cc]."""

    size: str = "1401_to_2000"
    pence_per_litre: Decimal | None = None
    miles_per_gallon: Decimal | None = None

    def __post_init__(self) -> None:
        faults = tuple(self._faults())
        if faults:
            raise Rejected(*faults)

    def _faults(self) -> Iterator[Fault]:
        if self.size not in SIZES:
            yield Fault("petrol_size", self.size, "must be one of: " + ", ".join(SIZES))
        if (self.pence_per_litre is None) != (self.miles_per_gallon is None):
            missing = "petrol_pence_per_litre" if self.pence_per_litre is None else "petrol_miles_per_gallon"
            yield Fault(missing, None, "price and miles per gallon go together")
        for field, value, most in (
            ("petrol_pence_per_litre", self.pence_per_litre, PRICE_MAX_PENCE),
            ("petrol_miles_per_gallon", self.miles_per_gallon, MPG_MAX),
        ):
            if value is not None and not 0 < value <= most:
                yield Fault(field, str(value), f"must be above 0 and at most {most}")


@dataclass(frozen=True, slots=True)
class PetrolMile:
    """Petrol for a mile [1e-6 p], None where it is not known; ``is_current``: the figure is in force today."""

    up_per_mile: int | None
    is_current: bool
    step: Step


def petrol_mile(asked: PetrolAsked, book: FigureBook, on: date) -> PetrolMile:
    """Return what a mile costs in petrol on a day; a published rate that has ended is given with its dates."""
    if asked.pence_per_litre is not None and asked.miles_per_gallon is not None:
        return _own(asked.pence_per_litre, asked.miles_per_gallon)
    figure = book.find(RATE, on, asked.size)
    is_current = figure is not None
    if figure is None:
        past = [row for row in book.rows(RATE, asked.size) if row.from_on <= on]
        figure = past[-1] if past else None
    inputs = {"engine": f"{asked.size.replace('_', ' ')} cc"}
    if figure is None:
        step = Step("Petrol for a mile", inputs, "a dated figure", "figures of this service", "not known")
        return PetrolMile(None, False, step)
    up = int(figure.value * UP_PER_PENNY)
    rule = f"the published rate from {figure.from_on}" + ("" if is_current else "; none for today is known")
    step = Step("Petrol for a mile", inputs, rule, figure.where_from, f"{format_pence(up)} p a mile")
    return PetrolMile(up, is_current, step)


def _own(pence_per_litre: Decimal, miles_per_gallon: Decimal) -> PetrolMile:
    exact = Fraction(pence_per_litre) * Fraction(LITRES_PER_GALLON) / Fraction(miles_per_gallon) * UP_PER_PENNY
    up = round_half_up(exact.numerator, exact.denominator)
    step = Step(
        "Petrol for a mile",
        {"price": f"{pence_per_litre:f} p a litre", "petrol car": f"{miles_per_gallon:f} miles per gallon"},
        f"price x {LITRES_PER_GALLON} litres a gallon / miles per gallon", "told; the gallon by statute",
        f"{format_pence(up)} p a mile",
    )  # fmt: skip
    return PetrolMile(up, True, step)
