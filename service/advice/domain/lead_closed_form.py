"""What can be said of a lead without simulation: miles a day, hours a day, nights to fill for a long journey."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_DOWN, Decimal
from typing import Final

from service.advice.domain.lead_nights import WEEKDAYS
from service.advice.domain.lead_simulation import Battery
from service.common.units import WH_PER_KWH

_TENTH: Final = Decimal("0.1")


def carried_miles(hours: Decimal, miles_an_hour: Decimal) -> Decimal:
    """Return the miles that some hours on the lead are good for.

    >>> carried_miles(Decimal(14), Decimal(4))
    Decimal('56')
    """
    return hours * miles_an_hour


def hours_for(miles: Decimal, miles_an_hour: Decimal) -> Decimal:
    """Return the hours on the lead that some miles need.

    >>> hours_for(Decimal(17), Decimal(4))
    Decimal('4.25')
    """
    return miles / miles_an_hour


def carried_miles_a_day(gains_wh: Sequence[int], battery: Battery, miles_per_kwh: Decimal) -> Decimal:
    """Return the miles a day that a week of nights can carry for ever, down to a tenth.

    ``gains_wh`` are what the nights before each weekday put into the battery; no night carries more than lies between
    reserve and ceiling.
    """
    usable = battery.ceiling_wh - battery.reserve_wh
    week_wh = sum(min(each, usable) for each in gains_wh)
    miles = Decimal(week_wh) / WH_PER_KWH * miles_per_kwh / WEEKDAYS
    return miles.quantize(_TENTH, ROUND_DOWN)


@dataclass(frozen=True)
class LongJourney:
    """What a week with one long journey needs.

    ``nights_to_fill`` is how many nights before it the battery has to be let past the everyday ceiling: 0 where the
    usual night is enough, None where no number of nights is. ``elsewhere_wh`` is what has to be charged on the way all
    the same; ``nights_until_usual`` how many nights later a usual evening's charge is back, None: not by itself.
    """

    used_wh: int
    needed_wh: int
    nights_to_fill: int | None
    elsewhere_wh: int
    nights_until_usual: int | None


def long_journey(used_wh: int, *, usual_wh: int, gain_wh: int, battery: Battery) -> LongJourney:
    """Return what a journey that takes ``used_wh`` needs, by what days usually take and what nights give.

    Notes
    -----
    On a usual evening the battery stands at ceiling less usual day. After k nights of filling, with usual days between,
    it stands in the morning at ``ceiling + k (gain - usual)``: a night wins only what it gives beyond a day's driving.
    Energies are of the battery [Wh].
    """
    needed_wh = used_wh + battery.reserve_wh
    elsewhere_wh = max(0, needed_wh - battery.full_wh)
    target_wh = min(needed_wh, battery.full_wh)
    won_wh = gain_wh - usual_wh
    if won_wh < 0:
        return LongJourney(used_wh, needed_wh, None, max(0, used_wh - gain_wh), None)
    nights = _nights(target_wh - battery.ceiling_wh, won_wh)
    if nights is None:
        elsewhere_wh = max(0, needed_wh - battery.ceiling_wh)
    left_wh = max(battery.reserve_wh, max(battery.ceiling_wh, target_wh if nights is not None else 0) - used_wh)
    return LongJourney(
        used_wh, needed_wh, nights, elsewhere_wh, _nights(battery.ceiling_wh - usual_wh - left_wh, won_wh)
    )


def _nights(short_wh: int, won_wh: int) -> int | None:
    if short_wh <= 0:
        return 0
    return -(-short_wh // won_wh) if won_wh > 0 else None
