"""A 13 A plug, socket and fuse: what they are tested for, and what the fuse does not see.

The fuse carries 20.8 A for half an hour, so neither a lasting overload nor a hot joint blows it.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from typing import Final

from service.common.working import Working
from service.households.domain.equipment import SOCKET_LIMIT_A, SOCKET_SUSTAINED_LIMIT_A
from service.safety.domain.arithmetic.answers import Answer, answer_of, worst_answer
from service.safety.domain.arithmetic.quantities import (
    CURRENT_MAX_A,
    Number,
    checked,
    plain,
    positive,
    row_of,
    with_unit,
)
from service.safety.domain.arithmetic.rules import (
    FUSE_1362,
    FUSE_1362_TIMES,
    SOCKET_CLIMATE,
    SOCKET_FOR_HOURS,
    TWIN_SOCKET,
)

FUSE_RATING_MAX_A: Final = SOCKET_LIMIT_A
CARRIES_FACTOR: Final = Decimal("1.6")  # BS 1362: carried for 30 min
BLOWS_FACTOR: Final = Decimal("1.9")  # BS 1362: blows within 30 min
TWIN_TEST_A: Final = (Decimal(14), Decimal(6))  # BS 1363: one outlet of a twin, and the other
CLIMATE_LOW_C, CLIMATE_HIGH_C, CLIMATE_MEAN_C = -5, 40, 25  # BS 1363 service conditions
_MELTING_S: Final = {Decimal(30): (Decimal(1), Decimal(400)), Decimal(50): (Decimal("0.1"), Decimal(20))}


class FuseBehaviour(StrEnum):
    """What a fuse does within half an hour."""

    HOLDS = "holds"
    MAY_BLOW = "may_blow"
    BLOWS = "blows"


@dataclass(frozen=True, slots=True)
class FuseVerdict:
    """What a BS 1362 fuse does, and the two currents between which it may do either [A]."""

    behaviour: FuseBehaviour
    carries_a: Decimal
    blows_a: Decimal
    working: Working


@dataclass(frozen=True, slots=True)
class SocketVerdict:
    """Whether a socket keeps within what it is made for, and the working."""

    answer: Answer
    working: Working


@dataclass(frozen=True, slots=True)
class MeltingTime:
    """Shortest and longest time in which a 13 A fuse melts [s]."""

    shortest_s: Decimal
    longest_s: Decimal
    working: Working


def fuse_behaviour(current_a: Number, rating_a: Number = SOCKET_LIMIT_A) -> FuseVerdict:
    """Return what a plug fuse does within 30 minutes at a steady current; raises ``Rejected`` above 13 A rating."""
    current = checked("current_a", current_a, 0, CURRENT_MAX_A, "A")
    rating = positive("rating_a", rating_a, FUSE_RATING_MAX_A, "A")
    carries, blows = CARRIES_FACTOR * rating, BLOWS_FACTOR * rating
    behaviour = FuseBehaviour.MAY_BLOW
    if current <= carries:
        behaviour = FuseBehaviour.HOLDS
    elif current >= blows:
        behaviour = FuseBehaviour.BLOWS
    step = FUSE_1362.step(
        "Plug fuse",
        {"current": f"{plain(current)} A", "fuse": f"{plain(rating)} A"},
        f"carries {plain(carries)} A for 30 min, blows within 30 min at {plain(blows)} A",
        behaviour.value.replace("_", " "),
    )
    return FuseVerdict(behaviour, carries, blows, Working((step,)))


def melting_time(current_a: Number) -> MeltingTime:
    """Return how long a 13 A fuse takes at 30 or 50 A [s]; other currents were not read and are refused."""
    shortest, longest = row_of("current_a", current_a, _MELTING_S, "the currents read")
    result = f"{plain(shortest)} to {plain(longest)} s"
    step = FUSE_1362_TIMES.step("Melting time", {"current": f"{plain(current_a)} A"}, "the row of the current", result)
    return MeltingTime(shortest, longest, Working((step,)))


def twin_verdict(one_a: Number, other_a: Number) -> SocketVerdict:
    """Return whether two loads on a twin socket stay within its test, 14 A + 6 A and not twice 13 [A]."""
    pair = [checked(name, value, 0, CURRENT_MAX_A, "A") for name, value in (("one_a", one_a), ("other_a", other_a))]
    larger, smaller = max(pair), min(pair)
    answer = answer_of(larger <= TWIN_TEST_A[0] and smaller <= TWIN_TEST_A[1])
    inputs = {"one": f"{plain(pair[0])} A", "other": f"{plain(pair[1])} A"}
    step = TWIN_SOCKET.step("Twin socket", inputs, "tested at 14 A + 6 A, 20 A in all", answer.value)
    return SocketVerdict(answer, Working((step,)))


def climate_verdict(hottest_c: Number | None, mean_24h_c: Number | None, *, in_sun: bool | None) -> SocketVerdict:
    """Return whether a socket stands within its service conditions: -5 to +40 C, mean of 24 h up to 25 C, no sun.

    What is not known (None) is never a pass. Raises ``Rejected`` beyond -50 to 100 C.
    """
    answers = [
        _within("hottest_c", hottest_c, CLIMATE_LOW_C, CLIMATE_HIGH_C),
        _within("mean_24h_c", mean_24h_c, -50, CLIMATE_MEAN_C),
        Answer.NOT_KNOWN if in_sun is None else answer_of(not in_sun),
    ]
    answer = worst_answer(answers)
    step = SOCKET_CLIMATE.step(
        "Service conditions of a socket",
        {
            "temperature": with_unit(hottest_c, "C"),
            "mean of 24 h": with_unit(mean_24h_c, "C"),
            "in the sun": "not known" if in_sun is None else ("yes" if in_sun else "no"),
        },
        "-5 to +40 C, mean of 24 h at most 25 C, no direct sun or other source of heat",
        answer.value.replace("_", " "),
    )
    return SocketVerdict(answer, Working((step,)))


def for_hours_verdict(current_a: Number) -> SocketVerdict:
    """Return whether an ordinary 13 A socket may carry a current for hours: at most about 10 A."""
    current = checked("current_a", current_a, 0, CURRENT_MAX_A, "A")
    answer = answer_of(current <= SOCKET_SUSTAINED_LIMIT_A)
    inputs = {"current": f"{plain(current)} A"}
    step = SOCKET_FOR_HOURS.step("13 A socket for hours", inputs, "at most 10 A", answer.value)
    return SocketVerdict(answer, Working((step,)))


def _within(field: str, value: Number | None, low: int, high: int) -> Answer:
    return Answer.NOT_KNOWN if value is None else answer_of(low <= checked(field, value, -50, 100, "C") <= high)
