"""A home's year under one tariff: the house as it uses electricity, and the cars as they would be planned under it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

import numpy as np

from service.advice.domain.bill import (
    NP_PER_PENNY,
    NP_PER_UP,
    ROUNDING_RULE,
    YEAR_DAYS,
    Bill,
    Line,
    bill_of_days,
    energy_lines,
    in_pence,
    merged,
    times,
)
from service.advice.domain.break_even import CheapUse, YearCost
from service.advice.domain.house_use import HouseUse, Ints
from service.common.errors import Fault, Rejected
from service.common.money import format_pence, round_half_up
from service.common.units import WH_PER_KWH
from service.common.working import Step
from service.planning.domain.home_week import HomeWeek
from service.planning.domain.plans import HouseholdPlan
from service.planning.domain.side_by_side import PLANNER, side_of
from service.planning.domain.worth import AS_IF, WEEKS_A_YEAR
from service.tariffs.domain.priced_days import PricedDays

PERMILLE: Final = 1000
SOURCE: Final = "the scheme's published rate sheets"


@dataclass(frozen=True, eq=False)
class CarWeekUse:
    """What the cars take in one planned week: positions of half-hours in the year's days, energy, miles it is for.

    ``short_wh`` is what no plan could deliver: it is in no bill.
    """

    at: Ints
    energy_wh: Ints
    miles: Fraction
    short_wh: int = 0


@dataclass(frozen=True, eq=False)
class TariffYear:
    """A year under one tariff: house and car apart, cheap hours apart, VAT included, with its working."""

    house: Bill
    car: tuple[Line, ...]
    whole: Bill
    miles: Fraction
    cheap: CheapUse | None
    cheap_band: str | None
    steps: tuple[Step, ...]

    @property
    def cost(self) -> YearCost:
        """Return the parts that move with the house's use, with the miles, and not at all."""
        return YearCost(self.house.energy_np, self.car_np, self.house.standing_np)

    @property
    def car_np(self) -> int:
        """Return the cars' part."""
        return sum(line.cost_np for line in self.car)

    @property
    def car_wh(self) -> int:
        """Return what the cars take at home."""
        return sum(line.energy_wh for line in self.car)

    @property
    def up_per_mile(self) -> int | None:
        """Return what a mile costs [1e-6 p], rounded once; None where nothing is charged at home."""
        if not self.miles:
            return None
        cost = Fraction(self.car_np, NP_PER_UP) / self.miles
        return round_half_up(cost.numerator, cost.denominator)


def car_use(plan: HouseholdPlan, week: HomeWeek, first_slot: int) -> CarWeekUse:
    """Return what a planned week takes at home and how many miles that energy is for.

    Miles are those the energy drives: at the wall x battery over wall energy x miles per kWh from the battery.
    """
    cars = {car.car.id: car for car in week.cars}
    at: list[int] = []
    energy_wh: list[int] = []
    miles = Fraction(0)
    for vehicle in plan.vehicles:
        car = cars[vehicle.vehicle_id]
        for block in vehicle.blocks:
            at.extend(range(block.first_slot - first_slot, block.end_slot - first_slot))
            energy_wh.extend(block.energy_wh)
        into_battery = Fraction(vehicle.energy_wh * car.solved.efficiency_permille, PERMILLE * WH_PER_KWH)
        miles += into_battery * Fraction(car.car.miles_per_kwh)
    return CarWeekUse(
        np.array(at, dtype=np.int64), np.array(energy_wh, dtype=np.int64), miles,
        side_of(plan, week.week).short_wh,
    )  # fmt: skip


def as_estimate(days: PricedDays) -> PricedDays:
    """Return the days with each stand-in price taken for the real one: the means of a half-hourly tariff."""
    return replace(days, is_known=np.ones(days.count, dtype=np.bool_), missing=())


def tariff_year(
    days: PricedDays, use: HouseUse, week: CarWeekUse, *, name: str, is_estimate: bool = False
) -> TariffYear:
    """Return the home's year under a tariff.

    Raises
    ------
    Rejected
        If a price of energy used or a standing charge is not known, with the periods named.
    """
    house = bill_of_days(days, use.half_hours_wh)
    week_lines = energy_lines(days, week.at, week.energy_wh)
    is_car_priced = sum(line.energy_wh for line in week_lines) == int(week.energy_wh.sum())
    if not house.is_whole or not is_car_priced:
        words = days.missing or ("its standing charge is not known",)
        raise Rejected(*(Fault("prices", None, each) for each in words))
    car = times(week_lines, WEEKS_A_YEAR)
    cheap_band = _cheap_band(days)
    cheap = None if cheap_band is None else _cheap_use(days, cheap_band, use, week)
    whole = merged(house, car)
    steps = tuple(_steps(house, week_lines, car, whole, week, name=name, is_estimate=is_estimate))
    return TariffYear(house, car, whole, week.miles * WEEKS_A_YEAR, cheap, cheap_band, steps)


def _cheap_band(days: PricedDays) -> str | None:
    """Return the band with the lowest mean price, None where the tariff has one band or no bands."""
    present: list[int] = [band for band in np.unique(days.band).tolist() if band >= 0]
    if len(present) < 2:
        return None
    means = [Fraction(int(days.price_up[days.band == band].sum()), int((days.band == band).sum())) for band in present]
    return days.band_names[present[means.index(min(means))]]


def _cheap_use(days: PricedDays, band: str, use: HouseUse, week: CarWeekUse) -> CheapUse:
    is_cheap = days.band == days.band_names.index(band)
    energy_wh = use.half_hours_wh.copy()
    np.add.at(energy_wh, week.at, week.energy_wh * WEEKS_A_YEAR)

    def cost_np(marks: np.ndarray[tuple[int], np.dtype[np.bool_]]) -> int:
        at = np.flatnonzero(marks)
        return sum(line.cost_np for line in energy_lines(days, at, energy_wh[at]))

    return CheapUse(
        int(energy_wh[is_cheap].sum()), cost_np(is_cheap), int(energy_wh[~is_cheap].sum()), cost_np(~is_cheap)
    )


def _steps(
    house: Bill,
    week: Iterable[Line],
    car: Iterable[Line],
    whole: Bill,
    use: CarWeekUse,
    *,
    name: str,
    is_estimate: bool,
) -> Iterator[Step]:
    rule = "energy of each half-hour x its price, by band"
    yield Step(
        f"The house under {name}",
        {"prices": "means of the half-hourly prices known so far, by time of day" if is_estimate else "as published"},
        rule, SOURCE, "; ".join(_line_words(house.lines)) or "nothing",
    )  # fmt: skip
    yield Step(
        f"The cars' week under {name}",
        {"planned": "again, under this tariff", "miles that it is for": f"{float(use.miles):.1f}"},
        "the cheapest week that meets the departures", PLANNER, "; ".join(_line_words(week)) or "nothing is charged",
    )  # fmt: skip
    yield Step("The cars' year", {"weeks": str(WEEKS_A_YEAR)}, f"weeks x the week, {AS_IF}", PLANNER,
               "; ".join(_line_words(car)) or "nothing is charged")  # fmt: skip
    yield Step(
        "Standing charge", {"days": str(whole.days)}, f"a charge for each local day; a year has {YEAR_DAYS}", SOURCE,
        f"{_pence(whole.standing_np)} p",
    )  # fmt: skip
    yield Step(
        "The whole year",
        {
            "house": f"{_pence(house.energy_np)} p",
            "cars": f"{_pence(whole.energy_np - house.energy_np)} p",
            "standing charge": f"{_pence(whole.standing_np)} p",
        },
        f"their sum, {ROUNDING_RULE}", "own rule",
        f"{in_pence(whole.total_np)} p, of which VAT {in_pence(whole.vat_np)} p",
    )  # fmt: skip


def _line_words(lines: Iterable[Line]) -> Iterator[str]:
    for line in lines:
        yield f"{line.band}: {line.energy_wh / WH_PER_KWH:.1f} kWh for {_pence(line.cost_np)} p"


def _pence(cost_np: int) -> str:
    """Return exact pence, cut to what is readable: 1e-6 p."""
    return format_pence(round_half_up(cost_np, NP_PER_PENNY // 1_000_000))
