"""What a firm asks for works at a home, and what stands in for it where nobody has asked one."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from typing import Final

from service.advice.domain.upgrade_words import pounds_of
from service.advice.domain.upgrade_works import COST_KEY, WORDS, Upgrade
from service.common.errors import Fault
from service.common.working import Step
from service.figures.domain.book import Figure, FigureBook, Standing
from service.households.domain.ranges import in_range, known_word, refuse, text_within

COST_PENCE_MAX: Final = 5_000_000
"""Own bound: no work for one car's outlet costs £50,000."""
NOTE_LENGTH_MAX: Final = 300
FIRST_DAY: Final = date(2000, 1, 1)
QUOTE_LASTS_DAYS: Final = 180
"""Older quotes still count and are said to be old: own choice, common practice, no source."""


@dataclass(frozen=True, slots=True)
class QuoteDetails:
    """A quote as typed, VAT included; raises ``Rejected`` with every fault."""

    kind: str
    cost_pence: int
    quoted_on: date
    note: str = ""

    def __post_init__(self) -> None:
        refuse(
            known_word("kind", self.kind, Upgrade),
            in_range("cost_pence", self.cost_pence, 0, COST_PENCE_MAX, "pence"),
            self._day(),
            text_within("note", self.note, NOTE_LENGTH_MAX),
        )

    def _day(self) -> Iterator[Fault]:
        if self.quoted_on < FIRST_DAY:
            yield Fault("quoted_on", self.quoted_on.isoformat(), f"must not be before {FIRST_DAY.isoformat()}")


def quoted_by(details: QuoteDetails, today: date) -> Iterator[Fault]:
    """Yield a fault where the quote is from a day that has not come."""
    if details.quoted_on > today:
        yield Fault("quoted_on", details.quoted_on.isoformat(), "must not lie in the future")


@dataclass(frozen=True, slots=True)
class Cost:
    """What a work costs [p]; None where neither a quote nor a figure is there."""

    pence: int | None
    is_quoted: bool
    is_assumed: bool
    step: Step


def cost_of(work: Upgrade, quotes: Iterable[QuoteDetails], book: FigureBook, *, today: date) -> Cost:
    """Return the newest quote for a work, of one day the lowest; else the figure in force, said to be assumed."""
    what = f"Cost: {WORDS[work]}"
    own = [quote for quote in quotes if quote.kind == work]
    if own:
        newest = max(own, key=lambda quote: (quote.quoted_on, -quote.cost_pence))
        age = (today - newest.quoted_on).days
        old = f"; {age} days old: ask whether it still holds" if age > QUOTE_LASTS_DAYS else ""
        inputs = {"quoted on": newest.quoted_on.isoformat(), "quotes": str(len(own))}
        step = Step(what, inputs, f"the newest quote counts{old}", "the home's own quote", pounds_of(newest.cost_pence))
        return Cost(newest.cost_pence, True, False, step)
    figure: Figure | None = book.find("work_cost", today, COST_KEY[work])
    if figure is None:
        step = Step(what, {}, "neither a quote nor a figure", "", "not known: ask for a quote")
        return Cost(None, False, False, step)
    pence = int(figure.value)
    is_assumed = figure.standing == Standing.ASSUMED
    rule = "no quote of this home: a figure stands in"
    return Cost(pence, False, is_assumed, Step(what, {}, rule, figure.where_from, pounds_of(pence)))
