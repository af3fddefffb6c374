"""Trips, figures and reckonings for tests of claims."""

from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any

from service.figures.domain.book import Figure, FigureBook
from service.figures.domain.shipped import shipped_figures
from service.reimbursement.domain.holdings import Holding
from service.reimbursement.domain.kinds import HeldAs
from service.reimbursement.domain.lines import Trip
from service.reimbursement.domain.months import Month
from service.reimbursement.domain.reckoning import ClaimInputs
from service.reimbursement.domain.rules import SchemeRule

CAR, OTHER_CAR = "c" * 32, "d" * 32
BOOK = FigureBook(shipped_figures())
ADVISORY = SchemeRule(date(2018, 1, 1), "advisory_rate")


def trip(on: date, miles: str, *, trip_id: str = "", car: str = CAR, **more: Any) -> Trip:
    """Return a trip of that day and length."""
    words = {"origin": "Depot", "destination": "Site", "reason": "survey of a site", **more}
    return Trip(trip_id or f"{on.isoformat()}-{miles}", car, "blue hatchback", on, **words, miles=Decimal(miles))


def claim(month: str, trips: list[Trip], *, held: HeldAs = HeldAs.OWN_CAR, **more: Any) -> ClaimInputs:
    """Return what a claim is reckoned from, with the shipped figures."""
    usual = {
        "holdings": [Holding(car, date(2018, 1, 1), held) for car in (CAR, OTHER_CAR)],
        "rules": [ADVISORY],
        "book": BOOK,
    }
    return ClaimInputs(Month.read(month), trips, **{**usual, **more})


def figure(name: str, value: str, from_on: date, *, key: str = "") -> Figure:
    """Return a figure that an operator recorded."""
    return Figure(name, key, from_on, None, Decimal(value), "pence per mile", "operator", "recorded by the operator")


def plain_allowance(miles: Decimal, first: Decimal, above: Decimal, threshold: Decimal) -> Fraction:
    """Return a tax year's allowance worked out in one go, in pence: nothing of the code under test is in it."""
    return Fraction(min(miles, threshold) * first + max(miles - threshold, Decimal(0)) * above)
