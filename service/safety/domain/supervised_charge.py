"""The supervised first charge: somebody awake at home feels plug and socket after half an hour, and again later.

At most 10 A, by the back of the hand. The first feeling alone says "no sign so far" and clears nothing. An answer
that finds heat is never too early or too late: it is reported as the sign it is, and ends the charge.
The times come from the scheme's own way; they are common practice, no standard.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum
from typing import Final

from service.common.errors import Fault
from service.households.domain.equipment import SOCKET_SUSTAINED_LIMIT_A
from service.households.domain.ranges import refuse

SUPERVISED_MAX_A: Final = SOCKET_SUSTAINED_LIMIT_A
SUPERVISED_MIN_A: Final = 6  # the least current that a pilot signal can offer (IEC 61851-1)
FIRST_AFTER: Final = timedelta(minutes=30)
LATER_AFTER: Final = timedelta(hours=2)
BETWEEN: Final = timedelta(minutes=30)  # own choice: a late first feeling is not followed by the second at once
UNTIL: Final = timedelta(hours=12)


class FeelAnswer(StrEnum):
    """How warm plug and socket feel to the back of a hand."""

    COOL = "cool"
    NOTICEABLE = "noticeable"
    WARM = "warm"
    TOO_HOT = "too_hot"

    @property
    def sign(self) -> str | None:
        """Return the sign that the answer reports: any heat beyond just noticeable is one."""
        return self.value if self in (FeelAnswer.WARM, FeelAnswer.TOO_HOT) else None


class SupervisedState(StrEnum):
    """How a supervised charge stands at an instant."""

    FIRST_TO_COME = "first_to_come"
    LATER_TO_COME = "later_to_come"
    CLEAR = "clear"
    STOPPED = "stopped"
    LAPSED = "lapsed"


STATE_WORDS: Final = {
    SupervisedState.FIRST_TO_COME: "Under way: nothing was felt yet.",
    SupervisedState.LATER_TO_COME: "No sign so far. It counts only once plug and socket were felt again after two "
    "hours or more.",
    SupervisedState.CLEAR: "Clear: felt twice, no more than just noticeably warm.",
    SupervisedState.STOPPED: "Ended without a clear result.",
    SupervisedState.LAPSED: "Not finished within twelve hours: it says nothing. Start another one.",
}


@dataclass(frozen=True, slots=True)
class SupervisedRecord:
    """A supervised charge as evidence; a clear one counts from ``ended_at``. Instants are aware."""

    id: str
    outlet_id: str
    lead_id: str | None
    started_at: datetime
    ended_at: datetime | None
    is_clear: bool


@dataclass(frozen=True, slots=True)
class SupervisedStart:
    """What a supervised charge is to draw [A], and what outlet and lead may carry.

    ``lead_limit_a`` is None where the cable is part of the outlet. Raises ``Rejected`` above any of the limits.
    """

    current_a: int
    outlet_limit_a: int
    lead_limit_a: int | None

    def __post_init__(self) -> None:
        refuse(self._faults())

    def _faults(self) -> Iterator[Fault]:
        if self.current_a < SUPERVISED_MIN_A:
            yield Fault("current_a", self.current_a, f"must be at least {SUPERVISED_MIN_A} A: no car charges below it")
        bounds = (
            (SUPERVISED_MAX_A, f"must be at most {SUPERVISED_MAX_A} A on a supervised first charge"),
            (self.outlet_limit_a, f"the outlet may carry {self.outlet_limit_a} A"),
            (self.lead_limit_a, f"the lead may carry {self.lead_limit_a} A as it is set"),
        )
        for limit_a, rule in bounds:
            if limit_a is not None and self.current_a > limit_a:
                yield Fault("current_a", self.current_a, rule)


@dataclass(frozen=True, slots=True)
class SupervisedCourse:
    """When a supervised charge began, what was felt so far, and when it ended; instants are aware."""

    started_at: datetime
    first_felt_at: datetime | None = None
    later_felt_at: datetime | None = None
    ended_at: datetime | None = None
    is_clear: bool = False

    @property
    def first_from_at(self) -> datetime:
        """From when on the first feeling counts."""
        return self.started_at + FIRST_AFTER

    @property
    def later_from_at(self) -> datetime:
        """From when on the second feeling counts."""
        earliest = self.started_at + LATER_AFTER
        return earliest if self.first_felt_at is None else max(earliest, self.first_felt_at + BETWEEN)

    @property
    def until_at(self) -> datetime:
        """Until when a feeling counts."""
        return self.started_at + UNTIL

    def state_at(self, at: datetime) -> SupervisedState:
        """Return how it stands at an instant."""
        if self.ended_at is not None:
            return SupervisedState.CLEAR if self.is_clear else SupervisedState.STOPPED
        if at > self.until_at:
            return SupervisedState.LAPSED
        return SupervisedState.FIRST_TO_COME if self.first_felt_at is None else SupervisedState.LATER_TO_COME

    def check_feeling(self, answer: FeelAnswer, *, at: datetime) -> None:
        """Refuse an answer without a sign that comes too early or too late; raises ``Rejected``."""
        if answer.sign is not None:
            return
        from_at = self.first_from_at if self.first_felt_at is None else self.later_from_at
        which = "half an hour" if self.first_felt_at is None else "two hours"
        if at < from_at:
            wait = -((at - from_at) // timedelta(minutes=1))
            rule = f"must be felt {which} or more after the start: wait another {wait} min"
            refuse([Fault("answer", answer.value, rule)])
        if at > self.until_at:
            refuse([Fault("answer", answer.value, "must be felt within twelve hours of the start: start another one")])
