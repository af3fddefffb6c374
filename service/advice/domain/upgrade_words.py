"""Money, energy and years of an upgrade in words."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal

from service.common.money import UP_PER_PENNY, round_half_up
from service.common.units import PENCE_PER_POUND, WH_PER_KWH


def pounds_of(pence: int) -> str:
    """Return whole pence as pounds.

    >>> pounds_of(110_000), pounds_of(-5)
    ('£1,100.00', '-£0.05')
    """
    whole, rest = divmod(abs(pence), PENCE_PER_POUND)
    return f"{'-' if pence < 0 else ''}£{whole:,}.{rest:02d}"


def pounds(up: int) -> str:
    """Return micro-pence as pounds, rounded to a penny."""
    return pounds_of(round_half_up(up, UP_PER_PENNY))


def kwh(energy_wh: int) -> str:
    """Return an energy, exactly."""
    return f"{Decimal(energy_wh) / WH_PER_KWH:f} kWh"


def years_words(years: Decimal) -> str:
    """Return years to a tenth, as a person reads them.

    >>> years_words(Decimal("5.5556")), years_words(Decimal("0.04")), years_words(Decimal("1234.5"))
    ('5.6 years', 'less than a tenth of a year', 'more than 100 years')
    """
    if years > 100:
        return "more than 100 years"
    tenths = years.quantize(Decimal("0.1"), ROUND_HALF_UP)
    if tenths == 0:
        return "less than a tenth of a year"
    return f"{tenths} year{'' if tenths == 1 else 's'}"
