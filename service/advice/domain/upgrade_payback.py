"""Whether works pay back within their life, and how firm that is.

What saves nothing never pays back, and that is said: no number of years stands for it, least of all one below nought.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from typing import Final

from service.advice.domain.finance import break_even_outlay, discounted_payback, net_present_value, simple_payback
from service.advice.domain.finance_rates import internal_rates, rate_words
from service.advice.domain.upgrade_money import YearlyMoney
from service.advice.domain.upgrade_words import kwh, pounds, pounds_of, years_words
from service.common.money import UP_PER_PENNY
from service.common.working import Step
from service.figures.domain.book import Figure

ARITHMETIC: Final = "arithmetic"


@dataclass(frozen=True, slots=True)
class Terms:
    """What money is judged by: the life of works and the yearly rate by which later money counts less."""

    life: Figure
    rate: Figure

    @property
    def years(self) -> int:
        """Return the life in whole years."""
        return int(self.life.value)

    @property
    def share(self) -> Decimal:
        """Return the rate as a share of one."""
        return self.rate.value / 100


@dataclass(frozen=True, slots=True)
class Payback:
    """Whether an outlay comes back; money in whole pence, years None where it never does.

    ``most_pence`` is the most the works may cost to come back within their life; ``least_wh`` how much must be charged
    a year at the same saving for each kWh, None where no amount is enough.  ``rates`` and ``steps`` are worked out when
    asked for: a list of homes asks for neither.
    """

    cost_pence: int
    yearly: YearlyMoney
    terms: Terms
    simple_years: Decimal | None
    discounted_years: Decimal | None
    worth_pence: int
    most_pence: int
    least_wh: int | None
    pays_back: bool
    words: str

    @property
    def rates(self) -> tuple[Decimal, ...]:
        """Return every internal rate of return."""
        return internal_rates(_flows(self.cost_pence, self.yearly, self.terms.years))

    @property
    def steps(self) -> tuple[Step, ...]:
        """Return the working."""
        terms, yearly = self.terms, self.yearly
        return (
            terms.life.step("Life of the works"),
            terms.rate.step("How much less later money counts"),
            Step(
                "Payback",
                {"cost": pounds_of(self.cost_pence), "saved a year": pounds(yearly.total_up or 0)},
                "cost / saved a year; then with each later pound counted for less",
                ARITHMETIC,
                self.words,
            ),
            Step(
                "Present value",
                {"years": str(terms.years), "rate": f"{terms.rate.value.normalize():f} % a year"},
                "- cost today + each year's saving / (1 + rate) to the power of its year",
                ARITHMETIC,
                pounds_of(self.worth_pence),
            ),
            Step(
                "Rate of return",
                {},
                "every rate at which the present value is nought",
                ARITHMETIC,
                rate_words(self.rates),
            ),
            Step(
                "How firm this is",
                {
                    "may cost at most": pounds_of(self.most_pence),
                    "must charge a year": "no amount is enough" if self.least_wh is None else kwh(self.least_wh),
                },
                "where the present value is nought; energy at the same saving for each kWh",
                ARITHMETIC,
                f"reckoned with {pounds_of(self.cost_pence)} and {kwh(yearly.battery_wh)} into batteries a year",
            ),
        )


def payback(cost_pence: int, yearly: YearlyMoney, terms: Terms) -> Payback | None:
    """Return whether works pay back within their life; None where their money is not known."""
    if yearly.total_up is None:
        return None
    pence = Decimal(yearly.total_up) / UP_PER_PENNY
    worth = _whole(net_present_value(terms.share, _flows(cost_pence, yearly, terms.years)))
    simple, discounted = simple_payback(cost_pence, pence), discounted_payback(terms.share, cost_pence, pence)
    most = int(break_even_outlay(terms.share, pence, terms.years))
    pays_back = worth >= 0 and discounted is not None
    words = _words(simple, discounted, terms.years, is_saving=pence > 0, pays_back=pays_back)
    least_wh = _least_wh(cost_pence, yearly, most)
    return Payback(
        cost_pence, yearly, terms, simple, discounted, worth, most, least_wh, pays_back, words
    )


def _flows(cost_pence: int, yearly: YearlyMoney, years: int) -> list[Decimal]:
    pence = Decimal(yearly.total_up or 0) / UP_PER_PENNY
    return [Decimal(-cost_pence), *[pence] * years]


def _least_wh(cost_pence: int, yearly: YearlyMoney, most_pence: int) -> int | None:
    """Return the yearly energy at which the cost just comes back, rounded up; None where no amount does."""
    if most_pence <= 0 or yearly.battery_wh <= 0:
        return None
    return -(-cost_pence * yearly.battery_wh // most_pence)


def _words(simple: Decimal | None, discounted: Decimal | None, years: int, *, is_saving: bool, pays_back: bool) -> str:
    if not is_saving or simple is None:
        return "never pays back: it saves nothing"
    if pays_back and discounted is not None:
        return f"pays back in {years_words(simple)}, {years_words(discounted)} with later money counted for less"
    if discounted is None:
        return "never pays back: what it saves is less than the interest on its cost"
    return f"does not pay back within its life of {years} years: it would take {years_words(discounted)}"


def _whole(pence: Decimal) -> int:
    return int(pence.quantize(Decimal(1), ROUND_HALF_UP))
