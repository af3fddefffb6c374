"""Business miles in an own car: the approved mileage allowance, whose higher rate ends at a threshold of the tax year.

The threshold counts per tax year and employment, not per car (from memory). How many miles of a year are paid at the
first rate depends on their number alone, so each claim takes what the claims sent before it have left of them, and
within a claim the earlier trips come first. Where an earlier claim was refused or corrected, or miles elsewhere were
stated otherwise, miles belong under the other rate than they were paid at: one line of adjustment puts that right.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from service.common.working import Step
from service.figures.domain.book import Figure, FigureBook
from service.reimbursement.domain.lines import Line, LineKind, Part, Trip, plain
from service.reimbursement.domain.months import tax_year_words
from service.reimbursement.domain.purse import Purse

THRESHOLD_RULE = "counted per tax year and employment, not per car (from memory)"


@dataclass(frozen=True)
class YearBefore:
    """What stands of a tax year before this claim.

    ``elsewhere`` miles were paid by the employer outside this service; of the ``claimed`` miles of claims that count,
    ``first`` went at the first rate; they came to ``exact_pence``, paid as ``pence``.
    """

    elsewhere: Decimal = Decimal(0)
    claimed: Decimal = Decimal(0)
    first: Decimal = Decimal(0)
    exact_pence: Fraction = Fraction(0)
    pence: int = 0


@dataclass(frozen=True)
class _Rates:
    first: Figure
    above: Figure
    threshold: Figure

    @classmethod
    def of(cls, book: FigureBook, on: date) -> _Rates:
        names = ("mileage_allowance_first", "mileage_allowance_above", "mileage_allowance_threshold")
        return cls(*(book.at(name, on) for name in names))

    def figures(self) -> tuple[Figure, Figure, Figure]:
        return self.first, self.above, self.threshold


def own_car_lines(
    trips: Sequence[Trip], before: YearBefore, book: FigureBook, *, year_from_on: date, on: date
) -> tuple[list[Line], list[Figure]]:
    """Return a line for each trip of one tax year, oldest first, an adjustment where one is due, and the figures used.

    ``on`` is the day whose figures an adjustment without trips is worked out with.

    Raises
    ------
    FigureNotKnown
        Where a rate or the threshold is not known for a trip's day.
    """
    trips = sorted(trips, key=lambda trip: (trip.on_date, trip.id))
    latest = _Rates.of(book, trips[-1].on_date if trips else on)
    miles = sum((trip.miles for trip in trips), Decimal(0))
    threshold = latest.threshold.value
    # Of all miles of the year, how many belong under the first rate, and how many of those are left for this claim.
    reached = before.elsewhere + before.claimed + miles
    here = min(threshold, reached) - min(threshold, before.elsewhere) - before.first
    left = min(max(here, Decimal(0)), miles)
    moved = here - left
    purse = Purse(before.exact_pence, before.pence)
    lines, figures = [], list(latest.figures())
    counted = before.elsewhere + before.claimed
    for trip in trips:
        rates = _Rates.of(book, trip.on_date)
        at_first = min(left, trip.miles)
        lines.append(_line(trip, at_first, counted, rates, purse, year_from_on))
        left, counted = left - at_first, counted + trip.miles
        figures += rates.figures()
    if moved:
        lines.append(_adjustment(moved, reached, latest, purse, year_from_on))
    return lines, figures


def _line(
    trip: Trip, at_first: Decimal, counted: Decimal, rates: _Rates, purse: Purse, year_from_on: date
) -> Line:
    parts = tuple(_parts(trip.miles, at_first, rates))
    exact = sum((part.exact_pence for part in parts), Fraction(0))
    pence = purse.take(exact)
    year = tax_year_words(year_from_on)
    split = " + ".join(f"{plain(part.miles)} miles x {plain(part.rate_pence)} p" for part in parts)
    working = (
        rates.first.step("first rate of the mileage allowance"),
        rates.above.step("rate above the threshold"),
        rates.threshold.step("threshold of the tax year"),
        Step(
            what="miles at each rate",
            inputs={
                f"business miles of {year} counted before": plain(Fraction(counted)),
                "miles of this trip": plain(Fraction(trip.miles)),
            },
            rule="the first rate up to the threshold, the other rate above it; a trip that straddles it is split; "
            + THRESHOLD_RULE,
            source=rates.threshold.where_from,
            result=split,
        ),
        _rounding(exact, purse, pence, f"of {year}"),
    )
    return Line(
        LineKind.MILEAGE_ALLOWANCE, trip, trip.miles, parts, exact, pence, split, working, year_from_on
    )


def _parts(miles: Decimal, at_first: Decimal, rates: _Rates) -> Iterator[Part]:
    if at_first:
        yield Part(Fraction(at_first), Fraction(rates.first.value), is_first=True)
    if miles - at_first:
        yield Part(Fraction(miles - at_first), Fraction(rates.above.value))


def _adjustment(moved: Decimal, reached: Decimal, rates: _Rates, purse: Purse, year_from_on: date) -> Line:
    gained = Part(Fraction(moved), Fraction(rates.first.value), is_first=True)
    lost = Part(-Fraction(moved), Fraction(rates.above.value))
    exact = gained.exact_pence + lost.exact_pence
    pence = purse.take(exact)
    year = tax_year_words(year_from_on)
    way = "from the rate above to the first rate" if moved > 0 else "from the first rate to the rate above"
    text = f"{plain(Fraction(abs(moved)))} miles of {year} that were claimed earlier move {way}"
    step = Step(
        what="adjustment of the tax year",
        inputs={"business miles of the year with this claim": plain(Fraction(reached))},
        rule="an earlier claim was refused or corrected, or miles elsewhere were stated otherwise: the year's miles "
        "are put under the rates that their number gives; " + THRESHOLD_RULE,
        source=rates.threshold.where_from,
        result=text,
    )
    return Line(
        LineKind.ADJUSTMENT, None, Decimal(0), (gained, lost), exact, pence, text,
        (rates.first.step("first rate"), rates.above.step("rate above"), step, _rounding(exact, purse, pence, year)),
        year_from_on,
    )  # fmt: skip


def _rounding(exact: Fraction, purse: Purse, pence: int, of_what: str) -> Step:
    return Step(
        what="whole pence",
        inputs={
            "exact amount": f"{plain(exact)} p",
            f"exact running total {of_what}": f"{plain(purse.exact_pence)} p",
            f"whole pence {of_what} before": f"{purse.pence - pence} p",
        },
        rule="the running total rounded once, a half upwards; the line is what it adds",
        source="own rule: nothing published says how to round a claim",
        result=f"{pence} p",
    )
