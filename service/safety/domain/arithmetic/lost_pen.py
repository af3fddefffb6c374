"""A car outdoors on a PME supply whose combined conductor is lost: the ways that the rule allows.

Options (i) and (ii) were not read in detail; only their 70 V was. Without a recorded answer of the electrician
the question stays open and never passes.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from typing import Final

from service.common.working import Working
from service.households.domain.equipment import Earthing, Place
from service.households.domain.ranges import of_phases, refuse
from service.safety.domain.arithmetic.answers import Answer, answer_of
from service.safety.domain.arithmetic.earth_loop import ReadingVerdict
from service.safety.domain.arithmetic.quantities import Number, checked, plain
from service.safety.domain.arithmetic.rules import LOST_PEN

TOUCH_LIMIT_V: Final = Decimal(70)
WINDOW_LOW_V: Final = Decimal(207)
WINDOW_HIGH_V: Final = Decimal(253)
DISCONNECT_WITHIN_S: Final = Decimal(5)


class LostPenAnswer(StrEnum):
    """What an electrician recorded about a lost combined conductor."""

    BALANCED_THREE_PHASE = "i"
    EARTH_ELECTRODE = "ii"
    CPC_VOLTAGE_DEVICE = "iii"
    SUPPLY_VOLTAGE_DEVICE = "iv"
    OTHER_DEVICE = "v"
    TT_OR_ISOLATED = "tt_or_isolated"
    NONE = "none"
    NOT_RECORDED = "not_recorded"


_PHASES_OF: Final = {LostPenAnswer.BALANCED_THREE_PHASE: 3, LostPenAnswer.SUPPLY_VOLTAGE_DEVICE: 1}


@dataclass(frozen=True, slots=True)
class LostPenVerdict:
    """Whether the question arises and is answered; not known until a practitioner decided."""

    answer: Answer
    working: Working


def lost_pen_verdict(earthing: Earthing, place: Place, recorded: LostPenAnswer, *, phases: int) -> LostPenVerdict:
    """Return whether PME earthing may serve a car at a place.

    ``place`` is where the car stands. Indoors, or on TN-S or TT, the question does not arise; where either is not
    known it may, so it is not known. ``phases`` is the supply's: option (i) needs three, option (iv) one.
    """
    refuse(of_phases("phases", phases))
    may_arise = earthing in (Earthing.TN_C_S, Earthing.NOT_KNOWN) and place is not Place.INDOORS
    if not may_arise:
        answer, why = Answer.PASSES, "does not arise"
    elif recorded is LostPenAnswer.NONE or phases != _PHASES_OF.get(recorded, phases):
        is_certain = earthing is Earthing.TN_C_S and place is Place.OUTDOORS
        answer, why = (Answer.FAILS if is_certain else Answer.NOT_KNOWN), "no way that the rule allows"
    elif recorded is LostPenAnswer.NOT_RECORDED:
        answer, why = Answer.NOT_KNOWN, "a practitioner must decide; not passed by itself"
    else:
        answer, why = Answer.PASSES, f"recorded: ({recorded.value})"
    step = LOST_PEN.step(
        "Lost combined conductor",
        {"earthing": earthing.value, "car stands": place.value, "recorded": recorded.value, "phases": str(phases)},
        "PME earth must not serve a car outdoors unless one of (i) to (v), TT or isolation holds",
        f"{answer.value.replace('_', ' ')}: {why}",
    )
    return LostPenVerdict(answer, Working((step,)))


def earth_rise_verdict(rise_v: Number) -> ReadingVerdict:
    """Return whether a voltage to earth under lost PEN stays within 70 V (options i to iii) [V]."""
    rise = checked("rise_v", rise_v, 0, 500, "V")
    answer = answer_of(rise <= TOUCH_LIMIT_V)
    step = LOST_PEN.step("Voltage to earth", {"rise": f"{plain(rise)} V"}, "at most 70 V", answer.value)
    return ReadingVerdict(answer, Working((step,)))


def must_disconnect(line_neutral_v: Number) -> bool:
    """Return whether a device of option (iv) must disconnect within 5 s: outside 207 to 253 V line to neutral."""
    volts = checked("line_neutral_v", line_neutral_v, 0, 500, "V")
    return not WINDOW_LOW_V <= volts <= WINDOW_HIGH_V


def disconnection_verdict(line_neutral_v: Number, disconnected_after_s: Number | None) -> ReadingVerdict:
    """Return whether an option (iv) device did as it must at a voltage; None: it did not disconnect."""
    must = must_disconnect(line_neutral_v)
    after = None
    if disconnected_after_s is not None:
        after = checked("disconnected_after_s", disconnected_after_s, 0, 3600, "s")
    answer = answer_of(not must or (after is not None and after <= DISCONNECT_WITHIN_S))
    step = LOST_PEN.step(
        "Option (iv) device",
        {
            "line to neutral": f"{plain(line_neutral_v)} V",
            "after": "did not disconnect" if after is None else f"{plain(after)} s",
        },
        "outside 207 to 253 V it disconnects line, neutral and earth within 5 s",
        answer.value,
    )
    return ReadingVerdict(answer, Working((step,)))
