"""The lines of the export of upgrades, for both formats: text stays text, whatever it begins with."""

from __future__ import annotations

import re
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from typing import Final, TypeAlias

from service.advice.domain.budget_ranking import RankedHome
from service.advice.domain.upgrade_works import WORDS
from service.common.money import UP_PER_PENNY
from service.common.units import PENCE_PER_POUND, WH_PER_KWH

Cell: TypeAlias = str | int | Decimal | date | None

HEADS: Final = (
    "Rank", "Home", "Place", "Paid for", "Work", "Cost in pounds", "Cost is", "Saved a year in pounds",
    "Shortfall avoided in kWh a year", "Payback in years", "Present value in pounds", "Clearance", "Why", "Reckoned on",
)  # fmt: skip
PENNY: Final = Decimal("0.01")
# Line ends and control characters, and what XML (1.0, section 2.2) cannot hold: one would spoil a whole workbook.
_CONTROL: Final = re.compile(r"[\x00-\x1f\x7f-\x9f\u2028\u2029\ufeff\ufffe\uffff]+")
# What a spreadsheet takes for the start of a formula, behind blanks too, and in full width.
_ACTIVE: Final = re.compile(r"^[\s\u00a0]*[=+\-@\uff1d\uff0b\uff0d\uff20]")


def line(row: RankedHome) -> tuple[Cell, ...]:
    """Return one home's cells in the order of ``HEADS``; what is not known is empty, never nought."""
    home, work = row.home, row.work
    own: tuple[Cell, ...] = (row.rank, home.reference, _readable(row.place), "yes" if row.is_paid_for else "no")
    money: tuple[Cell, ...] = (None,) * 7
    if work is not None:
        pay, total_up = work.pay, work.yearly.total_up
        money = (
            WORDS[work.work],
            None if work.cost.pence is None else _pounds(work.cost.pence),
            "quoted" if work.cost.is_quoted else "assumed" if work.cost.is_assumed else "a figure",
            None if total_up is None else _pounds(Decimal(total_up) / UP_PER_PENNY),
            Decimal(work.yearly.avoided_wh) / WH_PER_KWH,
            None if pay is None or pay.simple_years is None else pay.simple_years.quantize(PENNY, ROUND_HALF_UP),
            None if pay is None else _pounds(pay.worth_pence),
        )
    reckoned_on = None if home.reckoned_at is None else home.reckoned_at.date()
    return (*own, *money, _readable(home.clearance), row.why, reckoned_on)


def one_line(text: str) -> str:
    """Return text without control characters and line ends, which some readers take for a new cell or row."""
    return _CONTROL.sub(" ", text)


def looks_active(text: str) -> bool:
    """Tell whether a spreadsheet might run the text as a formula."""
    return bool(_ACTIVE.match(text))


def _pounds(pence: int | Decimal) -> Decimal:
    return (Decimal(pence) / PENCE_PER_POUND).quantize(PENNY, ROUND_HALF_UP)


def _readable(word: str) -> str:
    return word.replace("_", " ")
