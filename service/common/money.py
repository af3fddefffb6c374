"""Exact money: unit prices in micro-pence per kWh (``_up``), as whole numbers.

Text is read and written as plain decimal pence with at most six decimals. Rounding happens in
one named function, half away from zero, so that a credit rounds as the same charge would.
"""

from __future__ import annotations

import re

from service.common.errors import Fault, Rejected

UP_PER_PENNY = 1_000_000  # micro-pence in a penny
MAX_PENCE = 100_000  # own bound, not a price: keeps price x energy x a year of half-hours inside int64

_PLAIN_DECIMAL = re.compile(r"([+-]?)([0-9]{1,12})(?:\.([0-9]{1,12}))?")


def parse_pence(text: str, *, field: str = "price") -> int:
    """Return the micro-pence in a plain decimal number of pence.

    Parameters
    ----------
    text : str
        Optional sign, digits, optionally a point and up to six decimals [pence]. Exponents,
        separators, NaN and infinity are refused, because each reads differently elsewhere.
    field : str
        Dotted path that a fault names.

    Raises
    ------
    Rejected
        If the text is not such a number, or its size is more than ``MAX_PENCE``.

    Examples
    --------
    >>> parse_pence("28.35")
    28350000
    """
    match = _PLAIN_DECIMAL.fullmatch(text.strip()) if isinstance(text, str) else None
    if match is None:
        raise Rejected(Fault(field, text, "must be a plain decimal number of pence, such as 28.35"))
    sign, whole, fraction = match[1], match[2], match[3] or ""
    if len(fraction) > 6:
        raise Rejected(Fault(field, text, "must have at most six decimals"))
    size_up = int(whole) * UP_PER_PENNY + int(fraction.ljust(6, "0"))
    if size_up > MAX_PENCE * UP_PER_PENNY:
        raise Rejected(Fault(field, text, f"must lie between -{MAX_PENCE} and {MAX_PENCE} pence"))
    return -size_up if sign == "-" else size_up


def format_pence(up: int) -> str:
    """Return micro-pence as plain decimal pence without trailing zeros.

    >>> format_pence(28_350_000), format_pence(-500_000), format_pence(0)
    ('28.35', '-0.5', '0')
    """
    whole, fraction = divmod(abs(int(up)), UP_PER_PENNY)
    decimals = f".{fraction:06d}".rstrip("0").rstrip(".")
    return f"{'-' if up < 0 else ''}{whole}{decimals}"


def round_half_up(numerator: int, denominator: int) -> int:
    """Return the whole number nearest to a fraction; a half goes away from zero.

    >>> round_half_up(5, 2), round_half_up(-5, 2), round_half_up(7, 3)
    (3, -3, 2)
    """
    size = (2 * abs(numerator) + abs(denominator)) // (2 * abs(denominator))
    return size if (numerator < 0) == (denominator < 0) else -size
