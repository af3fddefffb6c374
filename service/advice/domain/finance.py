"""What money at different times is worth, exactly: present value, payback, and what an outlay may cost.

All figures are ``Decimal``.  ``flows[0]`` is today, ``flows[t]`` comes after t whole years.  What never pays back has
no number of years: None, never a negative one.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Context, Decimal, localcontext
from typing import Final

from service.common.errors import Fault, Rejected

DIGITS: Final = 40
"""Digits that are carried: own choice, far beyond a penny in any sum here."""
YEARS_MAX: Final = 100
_EXACT: Final = Context(prec=DIGITS)


def net_present_value(rate: Decimal, flows: Sequence[Decimal | int]) -> Decimal:
    """Return the sum of flows, each divided by (1 + rate) to the power of its years.

    Parameters
    ----------
    rate : Decimal
        A year, as a share of one: 0.035 is 3.5 %. Above -1.
    flows : sequence
        Money in time order, spent below nought; the first is today.

    Examples
    --------
    >>> net_present_value(Decimal("0.1"), [-100, 121])
    Decimal('10')
    """
    _check_rate(rate)
    with localcontext(_EXACT):
        total = Decimal(0)
        for flow in reversed(flows):
            total = total / (1 + rate) + flow
        return _plain(total)


def annuity_factor(rate: Decimal, years: int) -> Decimal:
    """Return what one a year, paid at the end of each of some years, is worth today."""
    if not 0 <= years <= YEARS_MAX:
        raise Rejected(Fault("years", years, f"must lie between 0 and {YEARS_MAX}"))
    return net_present_value(rate, [0, *[1] * years])


def simple_payback(outlay: Decimal | int, yearly: Decimal | int) -> Decimal | None:
    """Return the years until what is saved equals the outlay; None where nothing is saved.

    >>> simple_payback(1000, 180).quantize(Decimal("0.0001")), simple_payback(1000, 0), simple_payback(1000, -5)
    (Decimal('5.5556'), None, None)
    """
    _check_outlay(outlay)
    if outlay == 0:
        return Decimal(0)
    with localcontext(_EXACT):
        return Decimal(outlay) / yearly if yearly > 0 else None


def discounted_payback(rate: Decimal, outlay: Decimal | int, yearly: Decimal | int) -> Decimal | None:
    """Return the years until savings, each worth less the later it comes, equal the outlay; None where they never do.

    Notes
    -----
    The number n of yearly payments that a loan of the outlay at this rate takes: n = -ln(1 - outlay x rate / yearly) /
    ln(1 + rate).  It is no whole number; between years it runs on smoothly.  With outlay x rate >= yearly the interest
    eats all that is saved, and there is no such n.

    Examples
    --------
    >>> discounted_payback(Decimal("0.035"), 1000, 180).quantize(Decimal("0.00001"))
    Decimal('6.28529')
    """
    _check_rate(rate)
    simple = simple_payback(outlay, yearly)
    if simple is None or simple == 0 or rate == 0:
        return simple
    with localcontext(_EXACT):
        eaten = Decimal(outlay) * rate / yearly
        return -(1 - eaten).ln() / (1 + rate).ln() if eaten < 1 else None


def break_even_outlay(rate: Decimal, yearly: Decimal | int, years: int) -> Decimal:
    """Return the most an outlay may be to pay back within some years; nought where nothing is saved."""
    with localcontext(_EXACT):
        return max(Decimal(0), Decimal(yearly) * annuity_factor(rate, years))


def _check_rate(rate: Decimal) -> None:
    if not (rate.is_finite() and rate > -1):
        raise Rejected(Fault("rate", str(rate), "must be a number above -1"))


def _check_outlay(outlay: Decimal | int) -> None:
    if not (Decimal(outlay).is_finite() and outlay >= 0):
        raise Rejected(Fault("outlay", str(outlay), "must be a number, nought or more"))


def _plain(number: Decimal) -> Decimal:
    """Return a number without the trailing digits that dividing left behind its last place."""
    return number.quantize(Decimal("1e-20")).normalize() + 0
