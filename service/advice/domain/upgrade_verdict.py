"""The verdict on works at a home: each weighed, the best named, in one line; safety before money."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum
from typing import Final

from service.advice.domain.upgrade_money import YearlyMoney, yearly_money
from service.advice.domain.upgrade_payback import Payback, Terms, payback
from service.advice.domain.upgrade_quotes import Cost, QuoteDetails, cost_of
from service.advice.domain.upgrade_week import WeekFigures
from service.advice.domain.upgrade_words import kwh, pounds_of, years_words
from service.advice.domain.upgrade_works import NEW_CIRCUIT, WORDS, NoQuestion, Upgrade, Variant, variant_of
from service.common.working import Step
from service.figures.domain.book import Figure, FigureBook

NO_QUESTION_WORDS: Final = {
    NoQuestion.NO_CAR: "There is no car in this home, so there is nothing to compare.",
    NoQuestion.NO_OUTLET: "No car here has an outlet that it usually charges at: record it first.",
    NoQuestion.POINT_ALREADY: "The cars charge at a charging point of 7 kW or more already: no faster one is compared.",
    NoQuestion.NOTHING_CHARGED: (
        "Nothing is driven or charged in the coming week as it is known here: enter the cars' weekly routine first."
    ),
}
ASSUMED_COST: Final = "with an assumed cost: get a quote before you decide"


class Answer(StrEnum):
    """What the verdict comes to."""

    SAFETY_FIRST = "safety_first"
    PAYS_BACK = "pays_back"
    CLOSES_SHORTFALL = "closes_shortfall"
    STAY = "stay"
    NOT_KNOWN = "not_known"
    NO_QUESTION = "no_question"


@dataclass(frozen=True, slots=True)
class Weighed:
    """One work with its cost, its year and whether it pays back; ``pay`` is None where money or cost is not known."""

    work: Upgrade
    cost: Cost
    yearly: YearlyMoney
    pay: Payback | None
    words: str

    @property
    def steps(self) -> tuple[Step, ...]:
        """Return the working."""
        return (self.cost.step, *self.yearly.steps, *(self.pay.steps if self.pay else ()))


@dataclass(frozen=True, slots=True)
class Money:
    """What money is reckoned with on a day."""

    public: Figure | None
    terms: Terms
    book: FigureBook
    today: date

    @classmethod
    def of(cls, book: FigureBook, today: date) -> Money:
        """Return what a book says of a day; raises ``FigureNotKnown`` without a life of works or a rate."""
        terms = Terms(book.at("charging_point_life", today), book.at("discount_rate", today))
        return cls(book.find("public_charging_price", today), terms, book, today)


def weigh(
    works: Sequence[Upgrade], weeks: Mapping[Variant, WeekFigures], quotes: Sequence[QuoteDetails], money: Money
) -> tuple[Weighed, ...]:
    """Return each work weighed against staying; one whose week could not be planned is left out."""
    now = weeks[Variant.NOW]
    years = {variant: yearly_money(now, week, money.public) for variant, week in weeks.items()}
    return tuple(
        _weighed(work, cost_of(work, quotes, money.book, today=money.today), years[variant_of(work)], money.terms)
        for work in works
        if variant_of(work) in years
    )


def _weighed(work: Upgrade, cost: Cost, yearly: YearlyMoney, terms: Terms) -> Weighed:
    pay = None if cost.pence is None else payback(cost.pence, yearly, terms)
    if pay is not None:
        words = pay.words
    elif cost.pence is None:
        words = "not known: its cost is not known"
    else:
        words = "not known: a price of the week is missing"
    return Weighed(work, cost, yearly, pay, words)


@dataclass(frozen=True, slots=True)
class Verdict:
    """The answer in one line, and the work it names."""

    answer: Answer
    best: Upgrade | None
    words: str


def best_of(weighed: Sequence[Weighed]) -> Weighed | None:
    """Return the work that is worth most after its cost, of equals the cheaper; None where none is known."""
    known = [each for each in weighed if each.pay is not None]
    return max(known, key=_worth, default=None)


def _worth(each: Weighed) -> tuple[int, int]:
    return (each.pay.worth_pence if each.pay else 0, -(each.cost.pence or 0))


def best_replacement(weighed: Sequence[Weighed]) -> Weighed | None:
    """Return the best of the works that leave nothing of the old outlet and circuit in use."""
    return best_of([each for each in weighed if each.work in NEW_CIRCUIT])


def verdict(weighed: Sequence[Weighed], now: WeekFigures, terms: Terms, *, is_stopped: bool) -> Verdict:
    """Return the verdict on a home's works."""
    if is_stopped:
        return _safety_first(weighed)
    best = best_of(weighed)
    if best is None or best.pay is None:
        return Verdict(Answer.NOT_KNOWN, None, "Not known: a cost, or a price of the coming week, is missing.")
    if best.pay.pays_back:
        years = years_words(best.pay.simple_years or Decimal(0))
        words = f"{_named(best.work)} pays back in {years}{_caveat(best)}."
        return Verdict(Answer.PAYS_BACK, best.work, words)
    closing = [each for each in weighed if each.yearly.avoided_wh > 0]
    if closing:
        most = max(closing, key=lambda each: (each.yearly.avoided_wh, *_worth(each)))
        loss = pounds_of(-most.pay.worth_pence) if most.pay else "an amount that is not known"
        words = (
            f"{_named(most.work)} does not pay back within {terms.years} years, but closes"
            f" {kwh(most.yearly.avoided_wh)} of shortfall a year for {loss} more than it saves over that time"
            f"{_caveat(most)}."
        )
        return Verdict(Answer.CLOSES_SHORTFALL, most.work, words)
    short = f" {kwh(now.short_wh)} stay short in a week like the coming one." if now.short_wh else ""
    return Verdict(Answer.STAY, None, f"Stay with what is there: no work pays back within {terms.years} years.{short}")


def _safety_first(weighed: Sequence[Weighed]) -> Verdict:
    best = best_replacement(weighed)
    named = ""
    if best is not None:
        named = f" Of the works that replace outlet and circuit, {WORDS[best.work]} costs least in the end."
    words = (
        "Safety first: charging here is stopped, and putting that right comes before any saving. An electrician says"
        f" what is needed.{named}"
    )
    return Verdict(Answer.SAFETY_FIRST, None if best is None else best.work, words)


def _caveat(each: Weighed) -> str:
    return f", {ASSUMED_COST}" if each.cost.is_assumed else ""


def _named(work: Upgrade) -> str:
    words = WORDS[work]
    return words[0].upper() + words[1:]
