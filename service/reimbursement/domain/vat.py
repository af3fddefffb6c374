"""The VAT that is in a price at home: shown, never as something an employer could recover."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

from service.common.working import Step
from service.figures.domain.book import FigureBook
from service.reimbursement.domain.lines import plain
from service.reimbursement.domain.words import VAT_NOTE

DOMESTIC = "vat_domestic_electricity"


def without_vat(amount: Fraction, percent: Fraction) -> Fraction:
    """Return an amount without the VAT that is in it.

    >>> without_vat(Fraction(105), Fraction(5))
    Fraction(100, 1)
    """
    return amount * 100 / (100 + percent)


def vat_step(amount: Fraction, on: date, book: FigureBook) -> Step:
    """Return how much VAT is in what electricity at home cost, where the rate of the day is known."""
    figure = book.find(DOMESTIC, on)
    vat = None if figure is None else amount - without_vat(amount, Fraction(figure.value))
    return Step(
        what="VAT in it",
        inputs={} if figure is None else {"VAT on electricity at home": f"{plain(Fraction(figure.value))} %"},
        rule=VAT_NOTE,
        source="the rate of that day is not known" if figure is None else figure.where_from,
        result="not known" if vat is None else f"{plain(vat)} p, which the employer cannot recover",
    )
