"""What works at a home bring a year, and where that comes from.

Three sources of money are told apart: less lost on the way into the battery, cheaper half-hours, and what is charged at
home because it is no longer short.  What was short is charged in public today: that price is a figure with a date, and
stands apart.  A week that ends with fuller batteries has spent money that the next week need not spend: that is shown
and not counted, or it would count 52 times.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from service.advice.domain.upgrade_week import WeekFigures
from service.advice.domain.upgrade_words import kwh, pounds
from service.common.money import UP_PER_PENNY, round_half_up
from service.common.units import WH_PER_KWH
from service.common.working import Step
from service.figures.domain.book import Figure
from service.planning.domain.path_kernel import NP_PER_UP
from service.planning.domain.worth import AS_IF, WEEKS_A_YEAR

OWN: Final = "rule of this service"


@dataclass(frozen=True, slots=True)
class YearlyMoney:
    """A year of such weeks [1e-6 p]; ``saved_up`` is losses + hours + more, None where a price is not known.

    ``left_up`` is what else lies between the weeks: charge that batteries hold at their end, not counted.
    ``avoided_wh`` is what is no longer short, in the battery; ``public_up`` what it would cost in public, None where no
    price of that is known.  ``battery_wh`` is what is charged into batteries after the works.
    """

    saved_up: int | None
    losses_up: int | None
    hours_up: int | None
    more_up: int | None
    left_up: int | None
    avoided_wh: int
    public_up: int | None
    battery_wh: int
    steps: tuple[Step, ...]

    @property
    def total_up(self) -> int | None:
        """Return all that is saved; without a price of public charging what was short counts for nothing."""
        return None if self.saved_up is None else self.saved_up + (self.public_up or 0)


def yearly_money(now: WeekFigures, then: WeekFigures, public: Figure | None) -> YearlyMoney:
    """Return what lies between two weeks, for a year of such weeks.

    Parameters
    ----------
    now, then : WeekFigures
        The week as it is and after the works.
    public : Figure or None
        Price of public charging [pence per kWh], taken as paid for energy in the battery.

    Notes
    -----
    With W wall energy, E energy into batteries and p = cost / W of a week, k = W_then / E_then the wall energy for each
    Wh in the battery after the works, S = k E_now what the same charge takes then, A what is no longer short in the
    battery and F = E_then - E_now - A how much fuller batteries end (they start alike)::

        cost_now - cost_then = (W_now - S) p_now + S (p_now - p_then) - k A p_then - k F p_then

    Term by term: losses, hours, more and left.
    """
    avoided_wh = WEEKS_A_YEAR * (now.short_battery_wh - then.short_battery_wh)
    public_up = None if public is None else _public_up(avoided_wh, public)
    parts = None if now.unpriced_wh or then.unpriced_wh else _parts(now, then)
    losses, hours, more, left = parts or (None, None, None, None)
    saved_up = None if losses is None or hours is None or more is None else losses + hours + more
    steps = (_saved_step(saved_up, losses, hours, more, left), _public_step(avoided_wh, public, public_up))
    battery_wh = WEEKS_A_YEAR * then.battery_wh
    return YearlyMoney(saved_up, losses, hours, more, left, avoided_wh, public_up, battery_wh, steps)


def _parts(now: WeekFigures, then: WeekFigures) -> tuple[int, int, int, int]:
    whole = round_half_up(WEEKS_A_YEAR * (now.cost_np - then.cost_np), NP_PER_UP)
    if not (then.battery_wh and then.wall_wh):
        return 0, 0, 0, whole
    price_now = Fraction(now.cost_np, now.wall_wh) if now.wall_wh else Fraction(0)
    price_then = Fraction(then.cost_np, then.wall_wh)
    wall_per_battery = Fraction(then.wall_wh, then.battery_wh)
    same_wh = wall_per_battery * now.battery_wh
    losses = _year_up((now.wall_wh - same_wh) * price_now)
    hours = _year_up(same_wh * (price_now - price_then))
    more = _year_up(-wall_per_battery * (now.short_battery_wh - then.short_battery_wh) * price_then)
    return losses, hours, more, whole - losses - hours - more


def _year_up(week_np: Fraction) -> int:
    exact = WEEKS_A_YEAR * week_np
    return round_half_up(exact.numerator, exact.denominator * NP_PER_UP)


def _public_up(avoided_wh: int, public: Figure) -> int:
    exact = Fraction(avoided_wh, WH_PER_KWH) * Fraction(public.value) * UP_PER_PENNY
    return round_half_up(exact.numerator, exact.denominator)


def _saved_step(
    saved: int | None, losses: int | None, hours: int | None, more: int | None, left: int | None
) -> Step:
    if saved is None or losses is None or hours is None or more is None or left is None:
        rule = "a half-hour used has no known price: that never becomes money"
        return Step("Saved at home a year", {}, rule, OWN, "not known")
    inputs = {
        "less lost on the way into the battery": pounds(losses),
        "cheaper half-hours": pounds(hours),
        "charged at home, no longer short": pounds(more),
        "left in batteries at the week's end, not counted": pounds(left),
    }
    rule = f"{WEEKS_A_YEAR} x the week, {AS_IF}; a fuller battery at its end is the next week's gain"
    return Step("Saved at home a year", inputs, rule, OWN, pounds(saved))


def _public_step(avoided_wh: int, public: Figure | None, public_up: int | None) -> Step:
    inputs = {"no longer short, in the battery": kwh(avoided_wh)}
    if public is None or public_up is None:
        return Step("Public charging avoided", inputs, "no price of it is known", OWN, "not counted")
    rule = f"{WEEKS_A_YEAR} weeks x energy x {public.value.normalize():f} p, losses at a public point left out"
    return Step("Public charging avoided", inputs, rule, public.where_from, pounds(public_up))
