"""Business miles in a company car at the advisory electric rates, apportioned by where the energy came from.

Source of the rules: HMRC, advisory fuel rates guidance. A trip is paid at the rate in force on its day; the rate
before it, which may still be used for a month after a change, is accepted but never chosen here.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction

from service.common.working import Step
from service.figures.domain.book import Figure, FigureBook, FigureNotKnown
from service.reimbursement.domain.lines import Blocker, Line, LineKind, Part, Trip, plain
from service.reimbursement.domain.months import Month
from service.reimbursement.domain.purse import Purse

HOME_RATE, PUBLIC_RATE = "advisory_electric_home", "advisory_electric_public"
SOURCE = "HMRC, advisory fuel rates guidance"


@dataclass(frozen=True)
class MonthEnergy:
    """What a car was charged with in a local month, by place [Wh], as its charging records say."""

    home_wh: int = 0
    public_wh: int = 0
    work_wh: int = 0

    @property
    def total_wh(self) -> int:
        """Return the energy from everywhere."""
        return self.home_wh + self.public_wh + self.work_wh


@dataclass(frozen=True)
class Shares:
    """Which share of a month's energy came from home and from public points; the rest cost the driver nothing."""

    home: Fraction
    public: Fraction
    step: Step


def shares_of(energy: MonthEnergy, stated_home_percent: Decimal | None, month: Month) -> Shares | None:
    """Return how a month's miles are apportioned; None where nothing is known and nobody has said it: no guess.

    Known charging goes before what a member states.
    """
    rule = "miles are apportioned by where the energy came from"
    if energy.total_wh:
        home, public = (Fraction(part, energy.total_wh) for part in (energy.home_wh, energy.public_wh))
        kwh = {name: f"{plain(Fraction(wh, 1000))} kWh" for name, wh in _places(energy)}
        if energy.work_wh:
            rule += "; what was charged at work is paid by the employer already and earns nothing (own choice)"
        return Shares(home, public, Step(f"charging of {month}", kwh, rule, SOURCE, _share_words(home, public)))
    if stated_home_percent is not None:
        home = Fraction(stated_home_percent) / 100
        inputs = {"share at home, stated by the member": f"{plain(home * 100)} %"}
        rule += "; no charging of this car is recorded in the month, so the member's word stands"
        source = f"{SOURCE}; the share is stated, not measured"
        return Shares(home, 1 - home, Step(f"charging of {month}", inputs, rule, source, _share_words(home, 1 - home)))
    return None


def advisory_line(trip: Trip, shares: Shares, book: FigureBook, purse: Purse) -> tuple[Line, list[Figure]]:
    """Return the line of a trip, and the figures used.

    Raises
    ------
    FigureNotKnown
        Where a rate that the trip needs is not known for its day.
    """
    figures = list(_rates(trip.on_date, shares, book))
    miles = Fraction(trip.miles)
    weights = [share for share in (shares.home, shares.public) if share]
    parts = tuple(
        Part(miles * share, Fraction(figure.value)) for share, figure in zip(weights, figures, strict=True)
    )
    exact = sum((part.exact_pence for part in parts), Fraction(0))
    pence = purse.take(exact)
    text = " + ".join(f"{plain(part.miles)} miles x {plain(part.rate_pence)} p" for part in parts) or "charged at work"
    working = (
        shares.step,
        *(figure.step(f"advisory rate, {figure.name.removeprefix('advisory_electric_')}") for figure in figures),
        Step("amount", {"miles": plain(miles)}, "miles at each rate by the shares", SOURCE, f"{plain(exact)} p"),
        rounding_step(exact, purse, pence),
    )
    return Line(LineKind.ADVISORY_RATE, trip, trip.miles, parts, exact, pence, text, working), figures


def blocker_without_shares(trip: Trip) -> Blocker:
    """Return why a company car's trip cannot be claimed while nobody knows where the car was charged."""
    return Blocker(
        trip.id, trip.on_date, "where the car was charged is not known",
        f"no charging of {trip.vehicle_label} is recorded in this month: record it, or state the share charged at home",
    )  # fmt: skip


def rounding_step(exact: Fraction, purse: Purse, pence: int) -> Step:
    """Return the step in which a company car's line becomes whole pence."""
    return Step(
        what="whole pence",
        inputs={
            "exact amount": f"{plain(exact)} p",
            "exact running total of the claim": f"{plain(purse.exact_pence)} p",
        },
        rule="the running total rounded once, a half upwards; the line is what it adds",
        source="own rule: nothing published says how to round a claim",
        result=f"{pence} p",
    )


class RateStanding(StrEnum):
    """How what is paid a mile stands to the advisory rate of the day."""

    WITHIN = "within"  # at or below the rate in force
    PREVIOUS_RATE = "previous_rate"  # the rate before it, within a month of the change
    ABOVE = "above"  # the excess is taxable unless a higher cost a mile is shown


def standing_of(
    paid_pence: Fraction, on: date, book: FigureBook, name: str = HOME_RATE
) -> tuple[RateStanding, Fraction]:
    """Return how an amount a mile stands to the rate of a day, and the excess a mile over what is accepted [pence]."""
    now = book.at(name, on)
    if paid_pence <= now.value:
        return RateStanding.WITHIN, Fraction(0)
    before = book.before(now)
    if before is not None and paid_pence <= before.value and on < _a_month_after(now.from_on):
        return RateStanding.PREVIOUS_RATE, Fraction(0)
    return RateStanding.ABOVE, paid_pence - Fraction(now.value)


def _rates(on: date, shares: Shares, book: FigureBook) -> Iterator[Figure]:
    if shares.home:
        yield book.at(HOME_RATE, on)
    if shares.public:
        yield _public_rate(on, book)


def _public_rate(on: date, book: FigureBook) -> Figure:
    """Return the public rate, or the single rate of the days before there were two."""
    found = book.find(PUBLIC_RATE, on)
    rows = book.rows(PUBLIC_RATE)
    if found is None and rows and on < rows[0].from_on:
        return book.at(HOME_RATE, on)
    if found is None:
        raise FigureNotKnown(PUBLIC_RATE, "", on)
    return found


def _places(energy: MonthEnergy) -> Iterator[tuple[str, int]]:
    yield "at home", energy.home_wh
    yield "at public points", energy.public_wh
    if energy.work_wh:
        yield "at work", energy.work_wh


def _share_words(home: Fraction, public: Fraction) -> str:
    return f"{plain(home * 100)} % home, {plain(public * 100)} % public"


def _a_month_after(day: date) -> date:
    end_on = Month.of(day).end_on
    return end_on.replace(day=min(day.day, 28))
