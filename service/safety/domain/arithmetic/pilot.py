"""The control pilot: duty cycle to current and back, with its gaps, and the states by voltage.

The relation jumps at 85 %: 51.0 A there, 52.5 A just above, and no duty in between. Below 6 A there is
nothing to signal: a lower request means pause, not slower.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from typing import Final

from service.common.working import Working
from service.safety.domain.arithmetic.quantities import Number, checked, plain, with_unit
from service.safety.domain.arithmetic.rules import PILOT_DUTY, PILOT_STATES

LEAST_A: Final = Decimal(6)
GREATEST_A: Final = Decimal(80)
JUMP_FROM_A: Final = Decimal(51)  # at 85 %
JUMP_TO_A: Final = Decimal("52.5")  # just above 85 %
JUMP_AT_PERCENT: Final = Decimal(85)
LEVEL_TOLERANCE_V: Final = 1  # on a measured level


class PilotMeaning(StrEnum):
    """What a duty cycle says."""

    NO_CHARGING = "no_charging"
    DIGITAL = "digital"
    CURRENT = "current"


@dataclass(frozen=True, slots=True)
class PilotReading:
    """What a duty cycle means; ``current_a`` [A per phase] is None unless it states a current."""

    meaning: PilotMeaning
    current_a: Decimal | None
    working: Working


@dataclass(frozen=True, slots=True)
class PilotSetting:
    """How a current is signalled.

    ``duty_percent`` and ``signalled_a`` are None for a pause. ``signalled_a`` is what a car reads from the
    duty, never more than was asked for.
    """

    duty_percent: Decimal | None
    signalled_a: Decimal | None
    working: Working

    @property
    def is_pause(self) -> bool:
        """A request below 6 A cannot be signalled as a current."""
        return self.duty_percent is None


def pilot_current(duty_percent: Number) -> PilotReading:
    """Return what a duty cycle [%] means; raises ``Rejected`` outside 0 to 100.

    >>> pilot_current(16).current_a
    Decimal('9.6')
    """
    duty = checked("duty_percent", duty_percent, 0, 100, "%")
    meaning, current, rule = _read(duty)
    step = PILOT_DUTY.step(
        "Current that the pilot offers",
        {"duty": f"{plain(duty)} %"},
        rule,
        meaning.value.replace("_", " ") if current is None else f"{plain(current)} A",
    )
    return PilotReading(meaning, current, Working((step,)))


def pilot_duty(current_a: Number) -> PilotSetting:
    """Return the duty cycle that signals a current [A per phase].

    Between 51 and 52.5 A no duty exists, and the 51 A of 85 % is signalled. Raises ``Rejected`` for a negative
    current and above 80 A.
    """
    current = checked("current_a", current_a, 0, GREATEST_A, "A")
    duty: Decimal | None
    if current < LEAST_A:
        duty, signalled, rule = None, None, "below 6 A there is no duty: pause"
    elif current <= JUMP_FROM_A:
        duty, signalled, rule = current / Decimal("0.6"), current, "up to 51 A: duty = I / 0.6"
    elif current <= JUMP_TO_A:
        duty, signalled, rule = JUMP_AT_PERCENT, JUMP_FROM_A, "no duty between 51 and 52.5 A: 85 % is 51 A"
    else:
        duty, signalled, rule = current / Decimal("2.5") + 64, current, "above 52.5 A: duty = I / 2.5 + 64"
    result = "pause" if duty is None else f"{plain(duty)} %, read as {with_unit(signalled, 'A')}"
    step = PILOT_DUTY.step("Duty for a current", {"current": f"{plain(current)} A"}, rule, result)
    return PilotSetting(duty, signalled, Working((step,)))


def _read(duty: Decimal) -> tuple[PilotMeaning, Decimal | None, str]:
    if duty < 3 or 7 < duty < 8 or duty > 97:
        return PilotMeaning.NO_CHARGING, None, "below 3, between 7 and 8 and above 97 % there is no charging"
    if duty <= 7:
        return PilotMeaning.DIGITAL, None, "3 to 7 %: digital communication, no current stated"
    if duty < 10:
        return PilotMeaning.CURRENT, LEAST_A, "8 to 10 %: 6 A"
    if duty <= JUMP_AT_PERCENT:
        return PilotMeaning.CURRENT, duty * Decimal("0.6"), "10 to 85 %: I = 0.6 x duty"
    if duty <= 96:
        return PilotMeaning.CURRENT, (duty - 64) * Decimal("2.5"), "above 85 to 96 %: I = 2.5 x (duty - 64)"
    return PilotMeaning.CURRENT, GREATEST_A, "above 96 to 97 %: 80 A"


class PilotState(StrEnum):
    """The states of the pilot line."""

    NO_CAR = "A"
    CONNECTED = "B"
    READY = "C"
    READY_VENTILATION = "D"
    FAULT = "E"
    NOT_AVAILABLE = "F"


_LEVELS: Final = (
    (12, PilotState.NO_CAR),
    (9, PilotState.CONNECTED),
    (6, PilotState.READY),
    (3, PilotState.READY_VENTILATION),
    (0, PilotState.FAULT),
    (-12, PilotState.NOT_AVAILABLE),
)


@dataclass(frozen=True, slots=True)
class PilotLevel:
    """The state that a pilot voltage shows; None between the bands: not known."""

    state: PilotState | None
    working: Working


def pilot_state(level_v: Number) -> PilotLevel:
    """Return the state that the pilot's level [V] shows; raises ``Rejected`` beyond +/-15 V."""
    level = checked("level_v", level_v, -15, 15, "V")
    state = next((state for volts, state in _LEVELS if abs(level - volts) <= LEVEL_TOLERANCE_V), None)
    step = PILOT_STATES.step(
        "State of the pilot",
        {"level": f"{plain(level)} V"},
        "+12 A, +9 B, +6 C, +3 D, 0 E, -12 V F, each +/-1 V",
        state.value if state else "not known",
    )
    return PilotLevel(state, Working((step,)))
