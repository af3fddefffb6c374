"""Carry a state of charge forward from the last reading to the instant of planning.

Charging from the plans in force is added, trips are taken off when they start.  Without a
reading, or with one too old to mean anything, the car is taken to stand at its reserve: a
plan that assumes too little charges too early, one that assumes too much strands somebody.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from service.common.slots import SLOT_S
from service.common.units import SECONDS_PER_HOUR

READING_LASTS_SLOTS = 14 * 48
"""Own choice: two weeks of carried-forward estimate; common practice, no source."""


class ChargeBasis(StrEnum):
    """What a state of charge rests on."""

    READ = "read"
    ESTIMATED = "estimated"
    NOT_KNOWN = "not_known"


@dataclass(frozen=True)
class ChargeReading:
    """The battery's content [Wh] in a half-hour: as somebody read it, or as a plan began with it.

    A reading falls somewhere into its half-hour; a plan's start (``is_plan_start``) is its beginning, and
    trips that had begun by then are already taken off.
    """

    charge_wh: int
    slot: int
    is_plan_start: bool = False

    @property
    def charged_from_slot(self) -> int:
        """Return the first half-hour whose charging counts on top: nobody knows how much of a reading's own did."""
        return self.slot if self.is_plan_start else self.slot + 1


@dataclass(frozen=True)
class ChargeEstimate:
    """The battery's content at an instant [Wh] and what that rests on."""

    charge_wh: int
    basis: ChargeBasis


DOUBT_AT_READING_PERCENT = 1
DOUBT_A_DAY_PERCENT = 1
DOUBT_MOST_PERCENT = 15
"""Own choices: a display shows whole per cents, and each day of driving and charging adds about as much."""


def charge_doubt_percent(read_slot: int | None, as_of_slot: int) -> int | None:
    """Return by how much an estimated charge may be off either way [points of charge]; None without a reading."""
    if read_slot is None:
        return None
    days = max(0, as_of_slot - read_slot) // 48
    return min(DOUBT_MOST_PERCENT, DOUBT_AT_READING_PERCENT + DOUBT_A_DAY_PERCENT * days)


def carry_forward(
    reading: ChargeReading | None,
    *,
    as_of_slot: int,
    used_wh: Iterable[tuple[int, int]],
    charged_wh: Iterable[tuple[int, int]],
    battery_wh: int,
    reserve_wh: int,
    standby_w: int = 0,
) -> ChargeEstimate:
    """Return the battery's content at the start of ``as_of_slot``.

    Parameters
    ----------
    used_wh
        (half-hour a trip starts in, battery energy it takes [Wh]).
    charged_wh
        (half-hour, energy into the battery [Wh]) of the plans in force.
    standby_w
        What the car takes from its battery while it stands; taken for all the time since the reading.

    Notes
    -----
    The content is kept between empty and full at every step, so an over-long trip does not
    leave a debt that later charging would first have to pay.
    """
    if reading is None or as_of_slot - reading.slot > READING_LASTS_SLOTS:
        return ChargeEstimate(reserve_wh, ChargeBasis.NOT_KNOWN)
    changes = [(slot, -energy_wh) for slot, energy_wh in used_wh if reading.slot <= slot < as_of_slot]
    changes += [(slot, energy_wh) for slot, energy_wh in charged_wh if reading.charged_from_slot <= slot < as_of_slot]
    standing = -(-standby_w * max(0, as_of_slot - reading.slot) * SLOT_S // SECONDS_PER_HOUR)
    if standing:
        changes.append((as_of_slot, -standing))
    charge_wh = reading.charge_wh
    for _slot, change_wh in sorted(changes):
        charge_wh = min(battery_wh, max(0, charge_wh + change_wh))
    return ChargeEstimate(charge_wh, ChargeBasis.ESTIMATED if changes else ChargeBasis.READ)
