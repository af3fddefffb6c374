"""What to do now, line by line, when a sign is reported, and whom to ring in which nation.

The gravest of several signs decides: after a shock nobody is sent to the plug.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Final

from service.common.calendar import Nation
from service.safety.domain.arithmetic.editions import Mark
from service.safety.domain.signs import FirstSteps, Sign


@dataclass(frozen=True, slots=True)
class EmergencyNumber:
    """Whom to ring about the electricity network in a nation, from a day on."""

    nation: Nation
    number: str
    from_on: date
    source: str
    mark: Mark

    @property
    def is_confirmed(self) -> bool:
        """Tell whether somebody has read the number in a published source."""
        return self.mark is Mark.PUBLISHED


_GREAT_BRITAIN: Final = (Nation.ENGLAND, Nation.WALES, Nation.SCOTLAND)
_FROM: Final = date(2016, 9, 1)  # 105 opened; from memory. No answer is asked for an earlier day

EMERGENCY_NUMBERS: Final = (
    *(EmergencyNumber(nation, "105", _FROM, "from memory", Mark.FROM_MEMORY) for nation in _GREAT_BRITAIN),
    EmergencyNumber(Nation.NORTHERN_IRELAND, "03457 643 643", _FROM, "from memory", Mark.FROM_MEMORY),
)
"""A person has to confirm every number that is marked from memory."""

_GRAVEST_FIRST: Final = (FirstSteps.TOUCH_NOTHING, FirstSteps.STOP_CHARGING, FirstSteps.LEAVE_OFF)
_LINES: Final = {
    FirstSteps.TOUCH_NOTHING: (
        "Touch nothing: not the car, not the lead, not the plug.",
        "Keep other people and animals away from them.",
        "Ring the emergency number of your electricity network: {number}. It is also printed on your electricity bill.",
        "Ring 999 if anyone is hurt or anything burns.",
        "Do not go back to the car, not even to end the charge, until the network's people say that it is safe.",
    ),
    FirstSteps.STOP_CHARGING: (
        "End the charge at the car.",
        "Switch it off at the fuse board, if you can get there safely.",
        "Touch nothing that is hot, scorched, wet or crackling.",
        "Smoke or flames: get everyone out and ring 999.",
        "Cancel the car's charging timer, so that it does not start again tonight.",
        "Do not reset anything to carry on.",
    ),
    FirstSteps.LEAVE_OFF: (
        "End the charge at the car, if it is charging.",
        "Cancel the car's charging timer, so that it does not start again tonight.",
        "Do not use it again until this page says that it may be used.",
    ),
}


def emergency_number(nation: str, *, on: date) -> EmergencyNumber:
    """Return the number that holds in a nation on a day.

    Raises
    ------
    LookupError
        If the table has no number for that nation and day.
    """
    held = [row for row in EMERGENCY_NUMBERS if row.nation == nation and row.from_on <= on]
    if not held:
        raise LookupError(f"no emergency number for {nation} on {on}")
    return max(held, key=lambda row: row.from_on)


def first_steps(signs: Iterable[Sign], *, nation: str, on: date) -> tuple[str, ...]:
    """Return what to do now, in order, for the gravest of the signs; empty without a sign."""
    asked = {sign.first_steps for sign in signs}
    gravest = next((steps for steps in _GRAVEST_FIRST if steps in asked), None)
    if gravest is None:
        return ()
    number = emergency_number(nation, on=on).number
    return tuple(line.format(number=number) for line in _LINES[gravest])
