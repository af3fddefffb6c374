"""The figures that a place for the outlet rests on, each with how sure it is; none of them was read in a standard."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Final

PRACTICE: Final = "assumed: common practice, no source"
OWN_CHOICE: Final = "assumed: own choice of this tool"


@dataclass(frozen=True, slots=True)
class Assumed:
    """One figure with its unit and where it comes from."""

    name: str
    value: Decimal
    unit: str
    source: str

    @property
    def words(self) -> str:
        """Return the figure as people write it.

        >>> SLACK.words
        '0.3 m'
        """
        return f"{self.value.normalize():f} {self.unit}"


def _figure(name: str, value: str, unit: str, source: str) -> Assumed:
    return Assumed(name, Decimal(value), unit, source)


OUTLET_HEIGHT_LEAST: Final = _figure(
    "least height of the outlet", "0.5", "m", "IEC 60364-7-722 and IEC 61851-1: from memory, to be checked in the book"
)
OUTLET_HEIGHT_MOST: Final = _figure("greatest height of the outlet", "1.5", "m", OUTLET_HEIGHT_LEAST.source)
PORT_HEIGHT: Final = _figure("height of a car's charging port", "0.8", "m", PRACTICE)
PORT_SETBACK: Final = _figure("distance of a port in a wing from that end of the car", "0.8", "m", PRACTICE)
TETHERED_CABLE: Final = _figure("cable of a tethered charging point", "5", "m", PRACTICE)
SLACK: Final = _figure("slack so that nothing pulls on the port", "0.3", "m", OWN_CHOICE)
WALL_HALF: Final = _figure("from the line of a wall to its face", "0.06", "m", OWN_CHOICE)
CLEARANCE: Final = _figure("what the cable keeps off a car or an area it goes round", "0.01", "m", OWN_CHOICE)
DOORSTEP: Final = _figure("depth in front of a door that is kept clear", "0.9", "m", PRACTICE)
GAS_METER: Final = _figure("distance kept from a gas meter", "1", "m", PRACTICE)
TANK: Final = _figure("distance kept from a gas or oil tank", "3", "m", PRACTICE)
ARMS_REACH: Final = _figure(
    "metalwork that can be touched together with the outlet or the car",
    "2.5",
    "m",
    "arm's reach, BS 7671 part 2: from memory, to be checked in the book",
)
UP_AND_DOWN: Final = _figure("what the fixed cable needs besides the way along walls, up and down", "4", "m", PRACTICE)
STEP: Final = _figure("step between the positions tried along a wall", "0.1", "m", OWN_CHOICE)

ALL: Final = tuple(value for value in tuple(globals().values()) if isinstance(value, Assumed))
