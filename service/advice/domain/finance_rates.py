"""The internal rates of return of a row of payments: every one there is, and plainly that there is none.

A rate r makes the present value nought.  With v = 1 / (1 + r) that value is a polynomial in v, and each of its roots
above nought is a rate above -100 %.  How many there are is counted exactly (Sturm), so a row of payments with two rates
is never shown with one.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Context, Decimal, localcontext
from fractions import Fraction
from itertools import pairwise
from math import gcd, lcm
from typing import Final, TypeAlias

TOLERANCE: Final = Fraction(1, 10**15)
"""How near v lies to a root, as a share of v."""

Polynomial: TypeAlias = tuple[int, ...]
"""Coefficients from the constant up; the last is not nought."""


def internal_rates(flows: Sequence[Decimal | int]) -> tuple[Decimal, ...]:
    """Return all internal rates of return as shares of one, the lowest first; empty where there is none.

    Parameters
    ----------
    flows : sequence
        Money in time order; the first is today.

    Notes
    -----
    Sturm's theorem: the roots of a square-free polynomial in (a, b] are as many as the changes of sign in its Sturm
    chain at a less those at b.  Intervals with one root each are halved until ``TOLERANCE``.  Payments that change
    sign once, as an outlay and savings do, have one rate (Descartes' rule of signs), and need no chain.

    Examples
    --------
    >>> [round(rate, 6) for rate in internal_rates([-100, 230, -132])]
    [Decimal('0.100000'), Decimal('0.200000')]
    >>> internal_rates([-100, 0, -5]), internal_rates([-100, -1])
    ((), ())
    """
    polynomial = _whole(flows)
    if len(polynomial) < 2:
        return ()
    low, high = _bounds(polynomial)
    if _turns([(each > 0) - (each < 0) for each in polynomial]) == 1:
        return (_rate(_refined(polynomial, low, high)),)
    chain = _sturm_chain(_square_free(polynomial))
    roots = [_refined(chain[0], *span) for span in _isolated(chain, low, high)]
    return tuple(sorted(_rate(root) for root in roots))


def rate_words(rates: Sequence[Decimal]) -> str:
    """Say what the rates are: one, none, or several, which then say nothing.

    >>> rate_words([]), rate_words([Decimal("0.12414829")])
    ('none: no rate makes what is saved equal to what is spent', '12.41 % a year')
    """
    shown = [f"{rate * 100:.2f} %" for rate in rates]
    if not shown:
        return "none: no rate makes what is saved equal to what is spent"
    if len(shown) == 1:
        return f"{shown[0]} a year"
    return f"not one but {len(shown)} ({', '.join(shown)}): judge by the present value instead"


def _whole(flows: Sequence[Decimal | int]) -> Polynomial:
    """Return flows as whole coefficients, without noughts at either end: those are no rates."""
    exact = [Fraction(flow) for flow in flows]
    scale = lcm(*(each.denominator for each in exact)) if exact else 1
    return _primitive([int(each * scale) for each in exact], is_from_first=True)


def _primitive(coefficients: Sequence[int], *, is_from_first: bool = False) -> Polynomial:
    kept = list(coefficients)
    while kept and kept[-1] == 0:
        kept.pop()
    while is_from_first and kept and kept[0] == 0:
        kept.pop(0)
    common = gcd(*kept) if kept else 1
    return tuple(each // common for each in kept)


def _derivative(polynomial: Polynomial) -> Polynomial:
    return _primitive([power * each for power, each in enumerate(polynomial)][1:])


def _divided(over: Polynomial, under: Polynomial) -> tuple[list[Fraction], list[Fraction]]:
    """Return quotient and remainder."""
    rest = [Fraction(each) for each in over]
    quotient = [Fraction(0)] * max(len(over) - len(under) + 1, 0)
    for place in range(len(over) - len(under), -1, -1):
        factor = rest[place + len(under) - 1] / under[-1]
        quotient[place] = factor
        for power, each in enumerate(under):
            rest[place + power] -= factor * each
    return quotient, rest[: len(under) - 1]


def _scaled(exact: Sequence[Fraction]) -> Polynomial:
    """Return a polynomial times a number above nought, as whole coefficients."""
    scale = lcm(*(each.denominator for each in exact)) if exact else 1
    return _primitive([int(each * scale) for each in exact])


def _square_free(polynomial: Polynomial) -> Polynomial:
    """Return a polynomial with the same roots, each of them once."""
    first, second = polynomial, _derivative(polynomial)
    while second:
        first, second = second, _scaled(_divided(first, second)[1])
    return polynomial if len(first) < 2 else _scaled(_divided(polynomial, first)[0])


def _sturm_chain(polynomial: Polynomial) -> tuple[Polynomial, ...]:
    chain = [polynomial, _derivative(polynomial)]
    while chain[-1]:
        remainder = _scaled(_divided(chain[-2], chain[-1])[1])
        chain.append(tuple(-each for each in remainder))
    return tuple(chain[:-1])


def _sign(polynomial: Polynomial, at: Fraction) -> int:
    """Return the sign of a polynomial's value, in whole numbers: nothing is rounded."""
    total, scale = 0, 1
    for each in reversed(polynomial):
        total = total * at.numerator + each * scale
        scale *= at.denominator
    return (total > 0) - (total < 0)


def _changes(chain: Sequence[Polynomial], at: Fraction) -> int:
    return _turns([_sign(each, at) for each in chain])


def _turns(signs: Sequence[int]) -> int:
    """Return how often the sign changes, noughts left out."""
    return sum(left != right for left, right in pairwise([sign for sign in signs if sign]))


def _bounds(polynomial: Polynomial) -> tuple[Fraction, Fraction]:
    """Return between which numbers all roots above nought lie (Cauchy)."""
    greatest = max(abs(each) for each in polynomial)
    low = Fraction(1, 2) / (1 + Fraction(greatest, abs(polynomial[0])))
    return low, 1 + Fraction(greatest, abs(polynomial[-1]))


def _isolated(chain: Sequence[Polynomial], low: Fraction, high: Fraction) -> list[tuple[Fraction, Fraction]]:
    """Return spans (low, high] with one root each."""
    waiting, found = [(low, high, _changes(chain, low), _changes(chain, high))], []
    while waiting:
        start, end, at_start, at_end = waiting.pop()
        if at_start - at_end == 1:
            found.append((start, end))
        elif at_start > at_end:
            middle = (start + end) / 2
            at_middle = _changes(chain, middle)
            waiting += [(start, middle, at_start, at_middle), (middle, end, at_middle, at_end)]
    return found


def _refined(polynomial: Polynomial, low: Fraction, high: Fraction) -> Fraction:
    """Return the one root in (low, high], by halving."""
    sign_high = _sign(polynomial, high)
    if sign_high == 0:
        return high
    while high - low > TOLERANCE * low:
        middle = (low + high) / 2
        sign = _sign(polynomial, middle)
        if sign == 0:
            return middle
        low, high = (low, middle) if sign == sign_high else (middle, high)
    return (low + high) / 2


def _rate(root: Fraction) -> Decimal:
    with localcontext(Context(prec=30)):
        return Decimal(root.denominator) / Decimal(root.numerator) - 1
