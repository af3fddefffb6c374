"""The one place where an amount owed becomes whole pence."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction


@dataclass
class Purse:
    """A running total: ``exact_pence`` of what was taken in, and the whole ``pence`` that were given out for it.

    Each amount gives out what brings the pence up to the exact total, rounded half upwards. So the sum of what is
    given out is the exact sum rounded once, in whatever order amounts come; rounding line by line would drift by up
    to half a penny a line, and could pay more than the approved amount of a year.
    """

    exact_pence: Fraction = Fraction(0)
    pence: int = 0

    def take(self, exact_pence: Fraction) -> int:
        """Take in an exact amount and return the whole pence that are due for it now."""
        self.exact_pence += exact_pence
        due = half_up(self.exact_pence) - self.pence
        self.pence += due
        return due


def half_up(value: Fraction) -> int:
    """Return the nearest whole number, a half upwards.

    >>> half_up(Fraction(5, 2)), half_up(Fraction(-5, 2))
    (3, -2)
    """
    return math.floor(value + Fraction(1, 2))


def half_down(value: Fraction) -> int:
    """Return the nearest whole number, a half downwards: how the advisory rates themselves are rounded.

    >>> half_down(Fraction(5, 2)), half_down(Fraction(53, 7))
    (2, 8)
    """
    return math.ceil(value - Fraction(1, 2))
