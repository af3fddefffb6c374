"""The declared voltage, its band, and current to power and back.

A plan reckons at 230 V; a label or a supply must hold over the whole band.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from service.common.units import DECLARED_VOLTAGE_V
from service.common.working import Working
from service.households.domain.ranges import of_phases, refuse
from service.safety.domain.arithmetic.quantities import CURRENT_MAX_A, HUNDRED, THOUSAND, Number, checked, plain
from service.safety.domain.arithmetic.rules import DECLARED_VOLTAGE, POWER

DECLARED_V: Final = Decimal(DECLARED_VOLTAGE_V)
LOWEST_V: Final = DECLARED_V * (HUNDRED - 6) / HUNDRED  # declared -6 %: ESQCR 2002 reg. 27
HIGHEST_V: Final = DECLARED_V * (HUNDRED + 10) / HUNDRED  # declared +10 %: ESQCR 2002 reg. 27
THREE_PHASE_V: Final = Decimal(400)  # declared, line to line
VOLTAGE_MAX_V = 500  # own bound on a voltage that is asked about
POWER_MAX_W = 1_000_000  # own bound


@dataclass(frozen=True, slots=True)
class PowerBand:
    """The power of a steady current at the lowest, the declared and the highest voltage [W]."""

    lowest_w: Decimal
    declared_w: Decimal
    highest_w: Decimal
    working: Working


def power_over_band(current_a: Number, phases: int = 1) -> PowerBand:
    """Return the power of a steady current over the declared voltage band.

    Parameters
    ----------
    current_a : Decimal or int
        On each phase [A].
    phases : int
        1 or 3; voltages are line to neutral.

    Raises
    ------
    Rejected
        If the current is negative or beyond 1000 A, or phases are not 1 or 3.
    """
    current = checked("current_a", current_a, 0, CURRENT_MAX_A, "A")
    refuse(of_phases("phases", phases))
    lowest, declared, highest = (current * phases * volts for volts in (LOWEST_V, DECLARED_V, HIGHEST_V))
    step = DECLARED_VOLTAGE.step(
        "Power over the voltage band",
        {"current": f"{plain(current)} A", "phases": str(phases)},
        "power = current x voltage x phases, at 216.2, 230 and 253 V",
        f"{plain(lowest)} to {plain(highest)} W, {plain(declared)} W at 230 V",
    )
    return PowerBand(lowest, declared, highest, Working((step,)))


def three_phase_power_w(current_a: Number) -> Decimal:
    """Return the power of a balanced three-phase current reckoned from 400 V line to line [W]."""
    return Decimal(3).sqrt() * THREE_PHASE_V * checked("current_a", current_a, 0, CURRENT_MAX_A, "A")


@dataclass(frozen=True, slots=True)
class LoadCurrent:
    """The current that a load takes [A]."""

    current_a: Decimal
    working: Working


def load_current(power_w: Number, voltage_v: Number = DECLARED_V) -> LoadCurrent:
    """Return the current of a single-phase load [A] from its power [W]; raises ``Rejected`` out of range."""
    power = checked("power_w", power_w, 0, POWER_MAX_W, "W")
    volts = checked("voltage_v", voltage_v, 1, VOLTAGE_MAX_V, "V")
    current = power / volts
    step = POWER.step(
        "Current of a load",
        {"power": f"{plain(power)} W", "voltage": f"{plain(volts)} V"},
        "current = power / voltage",
        f"{plain(current)} A",
    )
    return LoadCurrent(current, Working((step,)))


def supply_kva(current_a: Number) -> Decimal:
    """Return the apparent power of a single-phase supply current at the declared voltage [kVA].

    >>> supply_kva(80)
    Decimal('18.4')
    """
    return checked("current_a", current_a, 0, CURRENT_MAX_A, "A") * DECLARED_V / THOUSAND
