"""How firm the first place of a ranking is: at which value of each input the first and the second tariff swap."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from typing import Final

from service.advice.domain.break_even import CheapUse, YearCost, car_factor, house_factor, share_needed
from service.common.units import WH_PER_KWH

MILES_LIKELY_PERMILLE: Final = 200
"""By how much a year's miles may well differ from 52 such weeks, each way; own choice, no source."""
SHARE_LIKELY: Final = Fraction(1, 10)
"""By how much the share of use in cheap hours may well differ; own choice, no source."""
CLOSE_RULE: Final = "close where one of these could well happen, firm where none could"


class Firmness(StrEnum):
    """How firm the first place is."""

    FIRM = "firm"
    CLOSE = "close"
    ONLY_ONE = "only_one"
    NONE = "none"


class FlipInput(StrEnum):
    """What could change the order."""

    HOUSE = "house_kwh"
    MILES = "car_miles"
    SHARE = "cheap_share"


@dataclass(frozen=True, slots=True)
class Side:
    """One of the two: its name, its year and how the use lies to its cheap hours."""

    name: str
    cost: YearCost
    cheap: CheapUse | None
    is_estimate: bool = False


@dataclass(frozen=True, slots=True)
class Flip:
    """Where an input stands and where the order would change, None where it never does.

    ``value`` is kWh, miles or a share of 1; ``of`` names the tariff whose cheap hours are meant. ``is_near``: it
    could well happen.
    """

    what: FlipInput
    of: str
    value: Fraction
    flips_at: Fraction | None
    is_near: bool


@dataclass(frozen=True, slots=True)
class Verdict:
    """How firm the first place is, the flips between first and second, and reasons beside them."""

    firmness: Firmness
    flips: tuple[Flip, ...] = ()
    reasons: tuple[str, ...] = ()


def firmness_of(first: Side, second: Side, *, house_wh: int, house_likely_permille: int, miles: Fraction) -> Verdict:
    """Return how firm it is that the first tariff is cheaper than the second.

    Parameters
    ----------
    house_wh : int
        What the house uses in the year, without cars.
    house_likely_permille : int
        By how much it may well be another, each way, by how it is known.
    miles : Fraction
        What the cars drive in the year on what they are charged at home.
    """
    flips = tuple(_flips(first, second, house_wh, house_likely_permille, miles))
    reasons = tuple(
        f"The prices of {side.name} in a year to come are not known: means of those known so far stand for them."
        for side in (first, second)
        if side.is_estimate
    )
    is_close = bool(reasons) or any(flip.is_near for flip in flips) or first.cost.total_np == second.cost.total_np
    return Verdict(Firmness.CLOSE if is_close else Firmness.FIRM, flips, reasons)


def _flips(first: Side, second: Side, house_wh: int, house_likely_permille: int, miles: Fraction) -> Iterator[Flip]:
    house_kwh = Fraction(house_wh, WH_PER_KWH)
    yield _scaled(FlipInput.HOUSE, house_kwh, house_factor(first.cost, second.cost), house_likely_permille)
    if miles:
        yield _scaled(FlipInput.MILES, miles, car_factor(first.cost, second.cost), MILES_LIKELY_PERMILLE)
    for side, other in ((first, second), (second, first)):
        if side.cheap is not None:
            share = share_needed(side.cheap, side.cost.total_np, other.cost.total_np)
            is_near = share is not None and abs(share - side.cheap.share) <= SHARE_LIKELY
            yield Flip(FlipInput.SHARE, side.name, side.cheap.share, share, is_near)


def _scaled(what: FlipInput, value: Fraction, factor: Fraction | None, likely_permille: int) -> Flip:
    is_near = factor is not None and abs(factor - 1) <= Fraction(likely_permille, 1000)
    return Flip(what, "", value, None if factor is None else factor * value, is_near)
