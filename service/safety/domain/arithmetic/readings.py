"""Limits of what an electrician reads: disconnection time, RCD rating and time, insulation, Ze.

A reading outside its limit is a result that fails, not an input that is refused; only what no meter can read is.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from typing import Final

from service.common.working import Working
from service.households.domain.equipment import Earthing
from service.safety.domain.arithmetic.answers import Answer, answer_of
from service.safety.domain.arithmetic.earth_loop import ReadingVerdict
from service.safety.domain.arithmetic.quantities import Number, checked, plain, positive, row_of
from service.safety.domain.arithmetic.rules import (
    DISCONNECTION,
    INSULATION_TEST,
    RCD_FIVE_TIMES,
    RCD_RATING,
    RCD_TEST,
    TYPICAL_ZE,
)

RCD_MAX_MS: Final = 300  # at IDn
RCD_FIVE_TIMES_MAX_MS: Final = 40  # at 5 IDn
RCD_RATING_MAX_MA: Final = 30  # for sockets up to 32 A
SOCKET_RATING_MAX_A: Final = 32
INSULATION_MIN_MOHM: Final = 1  # at 500 V d.c.
TIME_MAX_MS = 10_000  # own bound on a trip time
MOHM_MAX = 1_000_000  # own bound; meters stop earlier


class CircuitClass(StrEnum):
    """Final circuits feed what uses the current, up to 63 A with sockets or 32 A fixed; others distribute."""

    FINAL = "final"
    DISTRIBUTION = "distribution"


_DISCONNECTION_S: Final = {
    (False, CircuitClass.FINAL): Decimal("0.4"),
    (True, CircuitClass.FINAL): Decimal("0.2"),
    (False, CircuitClass.DISTRIBUTION): Decimal(5),
    (True, CircuitClass.DISTRIBUTION): Decimal(1),
}
_TYPICAL_ZE_OHM: Final = {
    Earthing.TN_C_S: Decimal("0.35"),
    Earthing.TN_S: Decimal("0.8"),
    Earthing.TT: Decimal(21),
}


@dataclass(frozen=True, slots=True)
class TableFigure:
    """A figure of a table with its working; None where the question has no answer, because something is not known."""

    value: Decimal | None
    working: Working


def disconnection_time(earthing: Earthing, circuit: CircuitClass) -> TableFigure:
    """Return the longest disconnection time at 230 V a.c. [s]; None if the earthing is not known."""
    known = earthing is not Earthing.NOT_KNOWN
    value = _DISCONNECTION_S[earthing is Earthing.TT, circuit] if known else None
    inputs = {"earthing": earthing.value, "circuit": circuit.value}
    result = "not known" if value is None else f"{plain(value)} s"
    step = DISCONNECTION.step("Disconnection time", inputs, "final: TN 0.4, TT 0.2 s; distribution: 5, 1 s", result)
    return TableFigure(value, Working((step,)))


def typical_ze(earthing: Earthing) -> TableFigure:
    """Return the external loop impedance usually declared [ohm]; never a reading. None if the earthing is not known."""
    value = _TYPICAL_ZE_OHM.get(earthing)
    result = "not known" if value is None else f"{plain(value)} ohm"
    inputs = {"earthing": earthing.value}
    step = TYPICAL_ZE.step("Typical Ze", inputs, "PME 0.35, TN-S 0.8, TT 21 ohm; a reading replaces it", result)
    return TableFigure(value, Working((step,)))


def rcd_time_verdict(trip_ms: Number | None, *, multiple: int = 1) -> ReadingVerdict:
    """Return whether an RCD trips in time at 1 or 5 times IDn [ms]; None is "did not trip" and fails.

    Raises ``Rejected`` for another multiple or a time out of range.
    """
    is_five = row_of("multiple", multiple, {Decimal(1): False, Decimal(5): True}, "the test currents")
    limit, rule = (RCD_FIVE_TIMES_MAX_MS, RCD_FIVE_TIMES) if is_five else (RCD_MAX_MS, RCD_TEST)
    answer = Answer.FAILS
    if trip_ms is not None:
        answer = answer_of(positive("trip_ms", trip_ms, TIME_MAX_MS, "ms") <= limit)
    inputs = {"time": "did not trip" if trip_ms is None else f"{plain(trip_ms)} ms", "test at": f"{multiple} x IDn"}
    step = rule.step("RCD trip time", inputs, f"at most {limit} ms", answer.value)
    return ReadingVerdict(answer, Working((step,)))


def rcd_rating_verdict(idn_ma: Number | None, socket_rating_a: Number) -> ReadingVerdict:
    """Return whether an RCD's rating protects a socket up to 32 A: at most 30 mA; None is not known.

    Raises ``Rejected`` for a rating not above 0, and for sockets above 32 A, to which the rule does not speak.
    """
    rating = positive("socket_rating_a", socket_rating_a, SOCKET_RATING_MAX_A, "A")
    answer = Answer.NOT_KNOWN
    if idn_ma is not None:
        answer = answer_of(positive("idn_ma", idn_ma, 1000, "mA") <= RCD_RATING_MAX_MA)
    inputs = {"IDn": "not known" if idn_ma is None else f"{plain(idn_ma)} mA", "socket": f"{plain(rating)} A"}
    step = RCD_RATING.step("RCD rating", inputs, "at most 30 mA for sockets up to 32 A", answer.value)
    return ReadingVerdict(answer, Working((step,)))


def insulation_verdict(reading_mohm: Number) -> ReadingVerdict:
    """Return whether an insulation resistance read at 500 V d.c. is at least 1 Mohm [Mohm]."""
    reading = checked("reading_mohm", reading_mohm, 0, MOHM_MAX, "Mohm")
    answer = answer_of(reading >= INSULATION_MIN_MOHM)
    inputs = {"reading": f"{plain(reading)} Mohm"}
    step = INSULATION_TEST.step("Insulation resistance", inputs, "at least 1 Mohm", answer.value)
    return ReadingVerdict(answer, Working((step,)))
