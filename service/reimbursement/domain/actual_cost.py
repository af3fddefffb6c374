"""Business miles in a company car at what the electricity at home cost, as metered half-hour by half-hour.

A trip's share of the month's cost at home is its miles out of all miles of the month (common practice, no source).
Estimates, and energy whose half-hours are not known, never back a claim at actual cost.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from service.common.working import Step
from service.figures.domain.book import FigureBook
from service.reimbursement.domain.advisory import HOME_RATE, RateStanding, rounding_step, standing_of
from service.reimbursement.domain.lines import Blocker, Line, LineKind, Part, Trip, plain
from service.reimbursement.domain.purse import Purse, half_down
from service.reimbursement.domain.vat import vat_step

NP_PER_PENNY = 1_000_000_000
"""A watt-hour at a micro-penny a kWh is a thousand-millionth of a penny."""
EVIDENCE = (
    "HMRC, EIM23900 as amended October 2023, via an institute of payroll professionals: the money must relate solely "
    "to charging that car; an accurate measure of kWh and the price actually paid"
)
SHARE_SOURCE = "common practice, no source"


@dataclass(frozen=True)
class HomeElectricity:
    """What a car drew at home in a month: metered energy by half-hour and what is not metered so [Wh]."""

    wh_by_slot: Mapping[int, int]
    unmetered_wh: int = 0


@dataclass(frozen=True)
class AllMiles:
    """How far a car went in a month, business and private, and how that is known."""

    miles: Decimal
    known_by: str


@dataclass(frozen=True)
class CarMonth:
    """What is known of a car's month for a claim at actual cost; ``price_up_by_slot`` VAT included [1e-6 p a kWh].

    A half-hour that is absent from ``price_up_by_slot`` has no known price. ``claimed_miles`` are the business miles of
    the month in other claims that count.
    """

    electricity: HomeElectricity
    price_up_by_slot: Mapping[int, int]
    all_miles: AllMiles | None
    claimed_miles: Decimal = Decimal(0)

    @property
    def cost_pence(self) -> Fraction:
        """Return the exact cost of the metered half-hours."""
        prices = self.price_up_by_slot
        return Fraction(
            sum(wh * prices[slot] for slot, wh in self.electricity.wh_by_slot.items() if slot in prices), NP_PER_PENNY
        )


def actual_cost_faults(trips: Sequence[Trip], month: CarMonth) -> list[str]:
    """Return, in words, what is missing before these trips of one car can be paid at actual cost."""
    faults = []
    if not month.electricity.wh_by_slot:
        faults.append("no metered half-hours of charging at home are recorded in this month; estimates do not count")
    unpriced = [slot for slot in month.electricity.wh_by_slot if slot not in month.price_up_by_slot]
    if unpriced:
        faults.append(
            f"the price of {len(unpriced)} half-hours of charging is not known: record the tariff of that time"
        )
    business = sum((trip.miles for trip in trips), month.claimed_miles)
    if month.all_miles is None:
        faults.append(
            "all miles of the month are not known: record the odometer within three days of the last day of the month "
            "before and of its own, or keep the diary of each of its days, also those of no miles"
        )
    elif not business <= month.all_miles.miles:
        others = month.claimed_miles
        of_which = f", of which {plain(Fraction(others))} in other claims of the month" if others else ""
        faults.append(
            f"the business miles ({plain(Fraction(business))}{of_which}) are more than all miles of the month "
            f"({plain(Fraction(month.all_miles.miles))}, {month.all_miles.known_by})"
        )
    return faults


def blockers_of(trips: Sequence[Trip], faults: Sequence[str]) -> list[Blocker]:
    """Return the faults as what stands in the way of each trip."""
    return [Blocker(trip.id, trip.on_date, "the actual cost is not known", rule) for trip in trips for rule in faults]


def actual_cost_lines(trips: Sequence[Trip], month: CarMonth, book: FigureBook, purse: Purse) -> list[Line]:
    """Return a line for each trip of one car; call ``actual_cost_faults`` first."""
    assert month.all_miles is not None
    rate = month.cost_pence / Fraction(month.all_miles.miles)
    return [_line(trip, rate, month, month.all_miles, book, purse) for trip in trips]


def _line(
    trip: Trip, rate: Fraction, month: CarMonth, all_miles: AllMiles, book: FigureBook, purse: Purse
) -> Line:
    part = Part(Fraction(trip.miles), rate)
    pence = purse.take(part.exact_pence)
    text = f"{plain(part.miles)} miles x {plain(rate)} p of electricity at home"
    working = (
        _cost_step(month),
        Step(
            what="cost a mile",
            inputs={"all miles of the month": f"{plain(Fraction(all_miles.miles))} ({all_miles.known_by})"},
            rule="the month's cost at home over all its miles; a trip takes its miles' share",
            source=SHARE_SOURCE,
            result=f"{plain(rate)} p a mile",
        ),
        _compared(trip, rate, book),
        vat_step(part.exact_pence, trip.on_date, book),
        rounding_step(part.exact_pence, purse, pence),
    )
    return Line(LineKind.ACTUAL_COST, trip, trip.miles, (part,), part.exact_pence, pence, text, working)


def _cost_step(month: CarMonth) -> Step:
    electricity = month.electricity
    inputs = {
        "metered at home": f"{plain(Fraction(sum(electricity.wh_by_slot.values()), 1000))} kWh "
        f"in {len(electricity.wh_by_slot)} half-hours",
    }
    if electricity.unmetered_wh:
        inputs["left out, not metered by half-hour"] = f"{plain(Fraction(electricity.unmetered_wh, 1000))} kWh"
    return Step(
        what="electricity at home",
        inputs=inputs,
        rule="each metered half-hour at the price then in force, VAT included as the employee paid it",
        source=EVIDENCE,
        result=f"{plain(month.cost_pence)} p",
    )


def _compared(trip: Trip, rate: Fraction, book: FigureBook) -> Step:
    """Return how the cost a mile stands to the advisory rate, where that is known."""
    figure = book.find(HOME_RATE, trip.on_date)
    if figure is None:
        result, source = "the advisory rate of that day is not known", "HMRC, advisory fuel rates guidance"
    else:
        standing, excess = standing_of(rate, trip.on_date, book)
        is_above = standing is RateStanding.ABOVE
        result = f"{plain(excess)} p a mile above it: this working is the proof of cost" if is_above else "not above it"
        source = figure.where_from
    return Step(
        what="against the advisory rate",
        inputs={
            "cost a mile, as the advisory rates are rounded (a half down)": f"{half_down(rate)} p",
            **({"advisory rate at home": f"{plain(Fraction(figure.value))} p a mile"} if figure else {}),
        },
        rule="more than the advisory rate is free of tax only with proof of the higher cost a mile",
        source=source,
        result=result,
    )
