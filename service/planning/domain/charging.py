"""Charging physics: current to power to energy, and the loss between wall and battery.

Efficiency is battery energy over wall energy, in per mille; the energy lost is stated as a share
of wall energy. Rounding never flatters: needs at the wall go up to a whole Wh, room goes down.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Final

from service.common.money import UP_PER_PENNY, round_half_up
from service.common.slots import SLOT_S
from service.common.units import DECLARED_VOLTAGE_V, SECONDS_PER_HOUR, WH_PER_KWH
from service.common.working import Step

PERMILLE: Final = 1000


@dataclass(frozen=True)
class UsableCurrent:
    """The current a car may be planned at: the least of all limits on the way, and which one binds."""

    limit_a: Decimal
    phases: int
    bound_by: str
    step: Step

    @property
    def cap_wh(self) -> int:
        """Return the greatest energy in one half-hour, at the wall [Wh]."""
        return slot_cap_wh(self.limit_a, self.phases)


@dataclass(frozen=True)
class DefaultEfficiency:
    """Battery energy over wall energy to assume for a car that has not been measured."""

    from_on: date
    below_w: int
    permille: int
    source: str


_FOUR_CARS: Final = "four-car test by a motoring club, September 2022, as reported by the press"

# Dated rows, ascending power within a date; the last row of a date has no upper end in practice.
DEFAULT_EFFICIENCIES: Final = (
    DefaultEfficiency(
        date(2022, 9, 1), 3_000, 840, f"{_FOUR_CARS}: 12.7 to 24.2 % lost at a 2.3 kW socket, mean 16.4; rounded"
    ),
    DefaultEfficiency(
        date(2022, 9, 1), 5_000, 870, f"{_FOUR_CARS}: 11.4 % lost at 3.5 kW, 13.9 % at 3.6 kW; mean, rounded"
    ),
    DefaultEfficiency(
        date(2022, 9, 1),
        10_000,
        900,
        f"assumed: lies between 9.2 % lost at 5.5 kW and 8.2 % at 11 kW ({_FOUR_CARS}); no measured 7.4 kW value found",
    ),
    DefaultEfficiency(
        date(2022, 9, 1), 1_000_000, 918, f"{_FOUR_CARS}: 6.3 to 9.7 % lost at an 11 kW charging point, mean 8.2"
    ),
)


def power_w(limit_a: Decimal | int, phases: int = 1, voltage_v: Decimal | int = DECLARED_VOLTAGE_V) -> Decimal:
    """Return the power of a steady current, line to neutral voltage on each phase [W].

    >>> power_w(10), power_w(16, 3)
    (Decimal('2300'), Decimal('11040'))
    """
    return Decimal(limit_a) * phases * Decimal(voltage_v)


def slot_cap_wh(limit_a: Decimal | int, phases: int = 1) -> int:
    """Return the energy that a current delivers in one half-hour at the declared voltage, rounded down [Wh].

    >>> slot_cap_wh(10), slot_cap_wh(32)
    (1150, 3680)
    """
    return int(power_w(limit_a, phases) * SLOT_S // SECONDS_PER_HOUR)


def hours_to_charge(wall_wh: int, power: Decimal | int) -> Decimal:
    """Return how long an energy at the wall takes at a steady power [h]."""
    return Decimal(wall_wh) / Decimal(power)


def usable_current(
    limits_a: Mapping[str, Decimal | int | None], phases: Mapping[str, int | None], *, source: str
) -> UsableCurrent | None:
    """Return the least current and the fewest phases on the way from supply to battery.

    Parameters
    ----------
    limits_a : mapping
        Name of each part on the way ("outlet", "lead as set", "car") to its limit on each phase
        [A]; None where it is not known. At least one. A part that does not exist is left out.
    phases : mapping
        Name of each part that sets a number of phases to that number; None where not known.
    source : str
        Where the limits come from, for the working.

    Returns
    -------
    UsableCurrent or None
        None where any part is not known: a plan never assumes a current that the equipment is
        not known to be set to. Of equal limits the first named one binds.
    """
    known = {name: Decimal(limit) for name, limit in limits_a.items() if limit is not None}
    lines = [count for count in phases.values() if count is not None]
    if len(known) < len(limits_a) or len(lines) < len(phases) or not known:
        return None
    bound_by = min(known, key=lambda name: known[name])
    limit_a, line_count = known[bound_by], min(lines, default=1)
    step = Step(
        what="Current the car may draw",
        inputs={**{name: f"{limit} A" for name, limit in known.items()}, "phases": str(line_count)},
        rule="the least of all limits on the way; power = current x 230 V x phases",
        source=source,
        result=f"{limit_a} A (set by: {bound_by}), {power_w(limit_a, line_count) / WH_PER_KWH:f} kW",
    )
    return UsableCurrent(limit_a, line_count, bound_by, step)


def default_efficiency(power: Decimal | int, on: date) -> DefaultEfficiency:
    """Return the default that stands on a date for a power at the wall [W].

    Raises
    ------
    ValueError
        If the date lies before the first row.
    """
    latest = max((row.from_on for row in DEFAULT_EFFICIENCIES if row.from_on <= on), default=None)
    for row in DEFAULT_EFFICIENCIES:
        if row.from_on == latest and power < row.below_w:
            return row
    raise ValueError(f"no default efficiency for {power} W on {on}")


def efficiency_permille(battery_wh: int, wall_wh: int) -> int:
    """Return measured efficiency: battery energy over wall energy, in per mille, a half up.

    >>> efficiency_permille(105_200, 125_200)  # 16.0 % of the wall energy is lost
    840
    """
    return round_half_up(battery_wh * PERMILLE, wall_wh)


def wall_need_wh(battery_wh: int, permille: int) -> int:
    """Return the least whole energy at the wall that puts at least ``battery_wh`` into the battery [Wh]."""
    return -(-battery_wh * PERMILLE // permille)


def wall_room_wh(battery_wh: int, permille: int) -> int:
    """Return the greatest whole energy at the wall that puts at most ``battery_wh`` into the battery [Wh]."""
    return battery_wh * PERMILLE // permille


def battery_gain_wh(wall_wh: int, permille: int) -> int:
    """Return the whole energy that reaches the battery, rounded down [Wh]."""
    return wall_wh * permille // PERMILLE


def miles_per_wall_kwh(miles_per_battery_kwh: Decimal, permille: int) -> Decimal:
    """Return the miles that one kWh at the wall is good for."""
    return miles_per_battery_kwh * permille / PERMILLE


def miles_per_hour(power: Decimal | int, permille: int, miles_per_battery_kwh: Decimal) -> Decimal:
    """Return the miles that one hour of charging at a power at the wall [W] adds."""
    return Decimal(power) / WH_PER_KWH * miles_per_wall_kwh(miles_per_battery_kwh, permille)


def pence_per_mile(price_up: int, miles_per_kwh: Decimal) -> Decimal:
    """Return the cost of a mile; price [1e-6 p/kWh] and miles count kWh on the same side of the charger [p].

    >>> pence_per_mile(28_000_000, Decimal(4))
    Decimal('7')
    """
    return Decimal(price_up) / UP_PER_PENNY / miles_per_kwh
