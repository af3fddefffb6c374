"""What the cars' charging stands for in carbon, and what petrol cars would have emitted over the same miles.

A car's month rests on one thing.  Where charging was recorded, on its kWh; its miles are those of the odometer or of a
diary without a gap, else what that energy drives.  Where nothing was recorded, on the miles told, and the kWh they
take at the wall are an estimate.  So energy and miles always speak of the same driving.  Emissions are whole grams.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from typing import Any, Final

from service.common.errors import Fault, Rejected
from service.common.units import WH_PER_KWH
from service.planning.domain.charging import miles_per_wall_kwh
from service.reporting.domain.carbon_factors import SIZES, FactorBook

PERIOD_DAYS_MAX: Final = 1100
"""Own bound: three years and a little."""
EARLIEST_ON: Final = date(2018, 1, 1)
"""Own bound: the book knows no set so far back."""
WHOLE_PERCENT: Final = 75
"""Own choice: recorded energy of less than this share of what the miles take leaves charging out."""
_TENTH: Final = Decimal("0.1")


@dataclass(frozen=True, slots=True)
class Period:
    """Local days [from_on, to_on); raises ``Rejected``."""

    from_on: date
    to_on: date

    def __post_init__(self) -> None:
        faults = []
        if self.from_on < EARLIEST_ON:
            faults.append(Fault("from_on", self.from_on.isoformat(), f"must not lie before {EARLIEST_ON}"))
        if not 0 < (self.to_on - self.from_on).days <= PERIOD_DAYS_MAX:
            rule = f"must lie after from_on, by at most {PERIOD_DAYS_MAX} days"
            faults.append(Fault("to_on", self.to_on.isoformat(), rule))
        if faults:
            raise Rejected(*faults)

    def check_whole_months(self) -> None:
        """Refuse days that are not the first of a month; raises ``Rejected``."""
        faults = [
            Fault(field, day.isoformat(), "must be the first day of a month")
            for field, day in (("from_on", self.from_on), ("to_on", self.to_on))
            if day.day != 1
        ]
        if faults:
            raise Rejected(*faults)

    def months(self, *, before: date) -> tuple[tuple[date, date], ...]:
        """Return the calendar months of the period that lie before a day, the first and last as far as they do."""
        found, start, end = [], self.from_on, min(self.to_on, before)
        while start < end:
            following = date(start.year + start.month // 12, start.month % 12 + 1, 1)
            found.append((start, min(following, end)))
            start = following
        return tuple(found)


@dataclass(frozen=True, slots=True)
class CarMonth:
    """What is recorded of one car in one month: energy at the wall by how it is known, and miles.

    ``are_miles_whole`` says that the miles are of each day of the month; ``miles_per_kwh`` counts battery kWh.
    """

    vehicle_id: str
    month_on: date
    miles_per_kwh: Decimal
    efficiency_permille: int
    metered_wh: int = 0
    stated_wh: int = 0
    away_wh: int = 0
    miles: Decimal | None = None
    are_miles_whole: bool = False


@dataclass(frozen=True, slots=True)
class Driven:
    """Energy [Wh at the wall] and miles of the same driving; what is an estimate stands apart."""

    metered_wh: int = 0
    stated_wh: int = 0
    away_wh: int = 0
    estimated_wh: int = 0
    told_miles: Decimal = Decimal(0)
    estimated_miles: Decimal = Decimal(0)

    @property
    def energy_wh(self) -> int:
        """Return all energy."""
        return self.metered_wh + self.stated_wh + self.away_wh + self.estimated_wh

    @property
    def miles(self) -> Decimal:
        """Return all miles."""
        return self.told_miles + self.estimated_miles

    def __add__(self, other: Driven) -> Driven:
        return Driven(
            self.metered_wh + other.metered_wh, self.stated_wh + other.stated_wh, self.away_wh + other.away_wh,
            self.estimated_wh + other.estimated_wh, self.told_miles + other.told_miles,
            self.estimated_miles + other.estimated_miles,
        )


KINDS: Final = (("metered_wh", "stated_wh", "away_wh", "estimated_wh"), ("told_miles", "estimated_miles"))
"""How energy and miles are known, the surest first."""


def blend(homes: Sequence[Driven], fewest: int) -> tuple[Driven, bool]:
    """Return a month of homes as one, and whether any kind was counted as a less sure one.

    No kind stands apart that fewer than ``fewest`` homes tell of: it would be their own. It is counted with the next,
    and where the last is still too few, what stands before it too: what is known is never made to look surer.
    """
    nothing, sums = Driven(), dict[str, Any]()
    for names in KINDS:
        who = [{place for place, home in enumerate(homes) if getattr(home, name)} for name in names]
        amounts = [sum((getattr(home, name) for home in homes), getattr(nothing, name)) for name in names]
        last = len(names) - 1
        moves = [*((at, at + 1, at) for at in range(last)), *((at, last, last) for at in reversed(range(last)))]
        for at, to, judged in moves:
            if 0 < len(who[judged]) < fewest:
                who[to] |= who[at]
                amounts[to] += amounts[at]
                who[at], amounts[at] = set(), getattr(nothing, names[at])
        sums |= zip(names, amounts, strict=True)
    found = Driven(**sums)
    return found, found != sum(homes, nothing)


def settle(month: CarMonth) -> Driven | None:
    """Return a car's month on the one thing it rests on, or None where nothing of it is known."""
    per_kwh = miles_per_wall_kwh(month.miles_per_kwh, month.efficiency_permille)
    recorded = month.metered_wh + month.stated_wh + month.away_wh
    if not recorded:
        if month.miles is None:
            return None
        return Driven(estimated_wh=_wall_wh(month.miles, per_kwh), told_miles=month.miles)
    held = Driven(month.metered_wh, month.stated_wh, month.away_wh)
    if month.miles is None or not month.are_miles_whole:
        miles = (Decimal(recorded) / WH_PER_KWH * per_kwh).quantize(_TENTH, ROUND_HALF_UP)
        return held + Driven(estimated_miles=miles)
    needed = _wall_wh(month.miles, per_kwh)
    missing = needed - recorded if recorded * 100 < needed * WHOLE_PERCENT else 0
    return held + Driven(estimated_wh=missing, told_miles=month.miles)


def _wall_wh(miles: Decimal, miles_per_wall: Decimal) -> int:
    return int((miles * WH_PER_KWH / miles_per_wall).quantize(Decimal(1), ROUND_HALF_UP))


def miles_between(readings: Sequence[tuple[date, Decimal]], start: date, end: date) -> Decimal | None:
    """Return the miles of the days [start, end) by an odometer read at the start of some days, or None.

    Readings are (day, miles) in order of days, and must reach over both ends; between two of them miles are taken as
    driven evenly.
    """
    first, last = _odometer_at(readings, start), _odometer_at(readings, end)
    return None if first is None or last is None or last < first else last - first


def _odometer_at(readings: Sequence[tuple[date, Decimal]], on: date) -> Decimal | None:
    before = next((row for row in reversed(readings) if row[0] <= on), None)
    after = next((row for row in readings if row[0] >= on), None)
    if before is None or after is None:
        return None
    days = (after[0] - before[0]).days
    share = Fraction((on - before[0]).days, days) if days else Fraction(0)
    miles = before[1] + (after[1] - before[1]) * share.numerator / share.denominator
    return miles.quantize(_TENTH, ROUND_HALF_UP)


@dataclass(frozen=True, slots=True)
class CarbonMonth:
    """One month of a home or of a scheme: its driving, and grams of CO2e; None where the book has no factor."""

    month_on: date
    driven: Driven
    electricity_g: int | None
    petrol_g: Mapping[str, int] | None


@dataclass(frozen=True, slots=True)
class CarbonAccount:
    """All months, with sums; a sum is None where one of its months is."""

    months: tuple[CarbonMonth, ...]
    driven: Driven = field(default=Driven())

    @property
    def electricity_g(self) -> int | None:
        """Return what the electricity stands for [g CO2e]."""
        return _sum(month.electricity_g for month in self.months)

    def petrol_g(self, size: str) -> int | None:
        """Return what a petrol car of a size would have emitted [g CO2e]."""
        return _sum(None if month.petrol_g is None else month.petrol_g[size] for month in self.months)

    def saved_g(self, size: str) -> int | None:
        """Return how much less than that the electricity stands for; below 0 it is more [g CO2e]."""
        petrol, electricity = self.petrol_g(size), self.electricity_g
        return None if petrol is None or electricity is None else petrol - electricity


def account(driven: Iterable[tuple[date, Driven]], factors: FactorBook) -> CarbonAccount:
    """Return the account of months of driving, several of one month added up first."""
    by_month: dict[date, Driven] = {}
    for month_on, part in driven:
        by_month[month_on] = by_month.get(month_on, Driven()) + part
    months = tuple(_month(month_on, by_month[month_on], factors) for month_on in sorted(by_month))
    return CarbonAccount(months, sum((month.driven for month in months), Driven()))


def _month(month_on: date, driven: Driven, factors: FactorBook) -> CarbonMonth:
    electricity, petrol = factors.electricity(month_on), factors.petrol(month_on)
    return CarbonMonth(
        month_on,
        driven,
        grams(Decimal(driven.energy_wh) / WH_PER_KWH, electricity.kg_per_kwh) if electricity else None,
        {size: grams(driven.miles, petrol.cars[size].value) for size in SIZES} if petrol else None,
    )


def grams(amount: Decimal, kg_each: Decimal) -> int:
    """Return an amount at so many kg each, in whole grams, a half up.

    >>> grams(Decimal(10_000), Decimal("0.26187"))
    2618700
    """
    return int((amount * kg_each * 1000).quantize(Decimal(1), ROUND_HALF_UP))


def _sum(parts: Iterable[int | None]) -> int | None:
    total = 0
    for part in parts:
        if part is None:
            return None
        total += part
    return total
