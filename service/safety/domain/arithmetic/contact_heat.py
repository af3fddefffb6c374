"""Why a loose contact burns below every fuse: heat goes with the square of the current.

Values for one explanatory picture. The rise of a joint with I^2 is a first-order rule and decides nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from service.common.working import Working
from service.safety.domain.arithmetic.quantities import THOUSAND, Number, checked, plain, positive
from service.safety.domain.arithmetic.rules import CONTACT_HEAT, PLUG_HEAT

PLUG_TEST_A: Final = Decimal(14)  # BS 1363 temperature-rise test
PLUG_TEST_RISE_K: Final = Decimal(52)  # BS 1363 limit of the rise
CONTACT_MAX_MOHM: Final = 10_000  # own bound
CONTACT_MAX_A: Final = 80  # own bound: the most a pilot can state
PICTURE_CURRENTS_A: Final = tuple(map(Decimal, (6, 8, 10, 13, 16, 32)))


@dataclass(frozen=True, slots=True)
class ContactHeat:
    """Heat in a contact [W]."""

    power_w: Decimal
    working: Working


@dataclass(frozen=True, slots=True)
class TemperatureRise:
    """How much warmer a joint gets than what surrounds it [K]."""

    rise_k: Decimal
    working: Working


@dataclass(frozen=True, slots=True)
class HeatBar:
    """One bar of the picture: a current [A], its heat [W] and the share of the heat at the first-named current."""

    current_a: Decimal
    power_w: Decimal
    ratio: Decimal


@dataclass(frozen=True)
class HeatPicture:
    """Bars of heat by current in one contact resistance [mohm]."""

    resistance_mohm: Decimal
    bars: tuple[HeatBar, ...]
    working: Working


def contact_heat(resistance_mohm: Number, current_a: Number) -> ContactHeat:
    """Return the heat in a contact, P = I^2 R [W]; raises ``Rejected`` out of range.

    >>> contact_heat(50, 10).power_w
    Decimal('5')
    """
    resistance = checked("resistance_mohm", resistance_mohm, 0, CONTACT_MAX_MOHM, "mohm")
    current = checked("current_a", current_a, 0, CONTACT_MAX_A, "A")
    power = current * current * resistance / THOUSAND
    inputs = {"contact": f"{plain(resistance)} mohm", "current": f"{plain(current)} A"}
    return ContactHeat(
        power, Working((CONTACT_HEAT.step("Heat in a contact", inputs, "P = I^2 R", f"{plain(power)} W"),))
    )


def heat_ratio(current_a: Number, than_a: Number) -> Decimal:
    """Return the heat at one current over that at another: the square of their ratio."""
    current = checked("current_a", current_a, 0, CONTACT_MAX_A, "A")
    return (current / positive("than_a", than_a, CONTACT_MAX_A, "A")) ** 2


def temperature_rise(current_a: Number) -> TemperatureRise:
    """Return the rise of a plug that just passes its test, scaled from 52 K at 14 A with I^2 [K]."""
    rise = PLUG_TEST_RISE_K * heat_ratio(current_a, PLUG_TEST_A)
    step = PLUG_HEAT.step(
        "Rise of a plug that just passes its test",
        {"current": f"{plain(current_a)} A", "test": "52 K at 14 A"},
        "rise goes about with I^2",
        f"{plain(rise, 1)} K",
    )
    return TemperatureRise(rise, Working((step,)))


def plug_temperature_c(ambient_c: Number, current_a: Number) -> Decimal:
    """Return how warm such a plug gets [C] at an ambient temperature of -20 to 60 C."""
    return checked("ambient_c", ambient_c, -20, 60, "C") + temperature_rise(current_a).rise_k


def heat_picture(
    resistance_mohm: Number, currents_a: Sequence[Decimal] = PICTURE_CURRENTS_A, *, than_a: Number = 10
) -> HeatPicture:
    """Return the bars of one picture: heat in one contact at several currents, and each over that at ``than_a``."""
    bars = tuple(
        HeatBar(current, contact_heat(resistance_mohm, current).power_w, heat_ratio(current, than_a))
        for current in currents_a
    )
    step = CONTACT_HEAT.step(
        "Heat in a contact by current",
        {"contact": f"{plain(resistance_mohm)} mohm"},
        "P = I^2 R",
        ", ".join(f"{plain(bar.current_a)} A: {plain(bar.power_w)} W" for bar in bars),
    )
    return HeatPicture(Decimal(resistance_mohm), bars, Working((step,)))
