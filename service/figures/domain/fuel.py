"""The arithmetic behind the advisory rates, so that a published rate can be traced to its inputs."""

from __future__ import annotations

from decimal import ROUND_HALF_DOWN, Decimal

from service.common.units import LITRES_PER_GALLON


def pence_per_mile_petrol(pence_per_litre: Decimal, miles_per_gallon: Decimal) -> Decimal:
    """Return what petrol costs a mile, before rounding [pence].

    Source: HMRC, advisory fuel rates, tables of calculation: price a gallon over miles a gallon.
    """
    return pence_per_litre * LITRES_PER_GALLON / miles_per_gallon


def whole_rate(pence_per_mile: Decimal) -> int:
    """Return the rate that a cost is rounded to: the nearest whole penny, exactly a half down [pence].

    Source: HMRC, advisory fuel rates, as the motoring press reported it in Dec 2025.

    >>> whole_rate(Decimal("7.5")), whole_rate(Decimal("7.51"))
    (7, 8)
    """
    return int(pence_per_mile.quantize(Decimal(1), ROUND_HALF_DOWN))
