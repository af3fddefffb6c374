"""What an electrician's recorded answers fail by, and what they leave out, each against the rule that says so."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING, Final

from service.common.working import Step, Working
from service.households.domain.equipment import DeviceKind, Earthing, OutletKind, Place, RcdType, YesNo
from service.safety.domain.arithmetic.answers import Answer, answer_of
from service.safety.domain.arithmetic.earth_loop import (
    RATING_MAX_A,
    RATING_MIN_A,
    Curve,
    LoopLimit,
    cold_zs_verdict,
    earth_electrode_verdict,
    max_zs,
    max_zs_13a_fuse,
)
from service.safety.domain.arithmetic.lost_pen import LostPenVerdict, lost_pen_verdict
from service.safety.domain.arithmetic.quantities import plain
from service.safety.domain.arithmetic.readings import (
    RCD_MAX_MS,
    RCD_RATING_MAX_MA,
    SOCKET_RATING_MAX_A,
    insulation_verdict,
    rcd_rating_verdict,
    rcd_time_verdict,
)

if TYPE_CHECKING:
    from service.safety.domain.inspection_answers import InspectionAnswers, Reading

WORKING_TEMPERATURE: Final = "working_temperature"
"""How ``zs_corrected`` says that Zs was corrected to the conductors' working temperature."""

DISCONNECTION_S: Final = Decimal("0.4")  # final circuit on TN; the stricter of the fuse's two limits
RCD_TYPE_SOURCE: Final = (
    "a wholesaler's guide to RCD selection for charging: type AC is not accepted, at least type A; "
    "read in pages before BS 7671:2018+A4:2026, not confirmed there"
)
FOUND_SOURCE: Final = "the electrician's recorded finding; that it stops charging: common practice, no source"
_CURVES: Final = {DeviceKind.MCB_B: Curve.B, DeviceKind.MCB_C: Curve.C, DeviceKind.MCB_D: Curve.D}


@dataclass(frozen=True)
class Failure:
    """An item that fails: its field, in words a member reads, with the working."""

    field: str
    words: str
    working: Working

    @property
    def limit(self) -> str:
        """The limit that it fails by: the rule, with what that comes to for the circuit where it is worked out."""
        last = self.working.steps[-1]
        worked_out = last.result.partition(": ")[2]
        return f"{last.rule}: {worked_out}" if worked_out else last.rule

    @property
    def source(self) -> str:
        """Where the limit stands, each source once."""
        return "; ".join(dict.fromkeys(step.source for step in self.working.steps))


def failures_of(answers: InspectionAnswers) -> tuple[Failure, ...]:
    """Return each item that fails, a reading outside its limit among them."""
    return tuple(
        failure
        for check in (_rcd_failures, _found_failures, _insulation_failures, _loop_failures, _lost_pen_failures)
        for failure in check(answers)
    )


def missing_of(answers: InspectionAnswers, kind: OutletKind) -> tuple[str, ...]:
    """Return in words what an outlet of a kind needs recorded and is not."""
    needed = (
        (kind is not OutletKind.SOCKET_13A or answers.ev_mark is not YesNo.NOT_KNOWN,
         'whether the socket carries the mark "EV"'),
        (answers.own_rcd is not YesNo.NOT_KNOWN, "whether it has an RCD of its own"),
        (answers.rcd_type is not RcdType.NOT_KNOWN, "the type of its RCD"),
        (answers.rcd_ma is not None, "the rated residual current of its RCD"),
        (answers.rcd_time_ms.is_taken, _untested("the trip time of its RCD", answers.rcd_time_ms)),
        (answers.earthing is not Earthing.NOT_KNOWN, "the earthing of the supply"),
        (answers.car_place is not Place.NOT_KNOWN, "where the car stands while it charges"),
        (_lost_pen(answers).answer is not Answer.NOT_KNOWN,
         "what protects the car if the supply's combined earth and neutral is lost"),
        (answers.is_ring is not YesNo.NOT_KNOWN, "whether the outlet is on a ring"),
        (answers.polarity is not YesNo.NOT_KNOWN, "polarity"),
        (answers.terminals_tight is not YesNo.NOT_KNOWN, "whether the terminals are tight"),
        (answers.insulation_mohm.is_taken, _untested("insulation resistance", answers.insulation_mohm)),
        (answers.zs_ohm.is_taken, _untested("the earth fault loop impedance Zs", answers.zs_ohm)),
        (not answers.zs_ohm.is_taken or _has_loop_limit(answers),
         "the device that protects the circuit, of a kind and rating for which a limit of Zs is known"),
    )  # fmt: skip
    return tuple(words for is_known, words in needed if not is_known)


def _untested(what: str, reading: Reading) -> str:
    return f"{what} (not tested: {reading.not_tested_because})" if reading.not_tested_because else what


def _rcd_failures(answers: InspectionAnswers) -> Iterator[Failure]:
    if answers.rcd_type in (RcdType.AC, RcdType.NONE):
        words = "no RCD" if answers.rcd_type is RcdType.NONE else "an RCD of type AC"
        inputs = {"RCD type": answers.rcd_type.value}
        step = Step("Type of RCD", inputs, "an RCD of type A, F or B", RCD_TYPE_SOURCE, Answer.FAILS.value)
        yield Failure("rcd_type", f"{words} protects this outlet", Working((step,)))
    if answers.rcd_ma is not None:
        rating = rcd_rating_verdict(answers.rcd_ma, SOCKET_RATING_MAX_A)
        if rating.answer is Answer.FAILS:
            words = f"its RCD is rated {answers.rcd_ma} mA, more than {RCD_RATING_MAX_MA} mA"
            yield Failure("rcd_ma", words, rating.working)
    if answers.rcd_time_ms.value is not None:
        time = rcd_time_verdict(answers.rcd_time_ms.value)
        if time.answer is Answer.FAILS:
            words = f"its RCD took {plain(answers.rcd_time_ms.value)} ms to trip, more than {RCD_MAX_MS} ms"
            yield Failure("rcd_time_ms", words, time.working)


def _found_failures(answers: InspectionAnswers) -> Iterator[Failure]:
    for field, found, words in (
        ("polarity", answers.polarity, "polarity was found wrong"),
        ("terminals_tight", answers.terminals_tight, "terminals were found loose"),
    ):
        if found is YesNo.NO:
            step = Step(field.replace("_", " ").capitalize(), {"found right": "no"}, "must be right", FOUND_SOURCE,
                        Answer.FAILS.value)  # fmt: skip
            yield Failure(field, words, Working((step,)))


def _insulation_failures(answers: InspectionAnswers) -> Iterator[Failure]:
    if answers.insulation_mohm.value is not None:
        verdict = insulation_verdict(answers.insulation_mohm.value)
        if verdict.answer is Answer.FAILS:
            words = f"insulation resistance of {plain(answers.insulation_mohm.value)} Mohm is too low"
            yield Failure("insulation_mohm", words, verdict.working)


def _loop_failures(answers: InspectionAnswers) -> Iterator[Failure]:
    if answers.earthing is Earthing.TT:
        yield from _electrode_failures(answers)
        return
    limit, reading = _loop_limit(answers), answers.zs_ohm.value
    if limit is None or reading is None:
        return
    if answers.zs_corrected == WORKING_TEMPERATURE:
        answer = answer_of(reading <= limit.printed_ohm)
        step = Step(
            "Zs corrected to working temperature",
            {"reading": f"{plain(reading)} ohm", "max Zs": f"{plain(limit.printed_ohm)} ohm"},
            "reading <= max Zs",
            limit.working.steps[-1].source,
            answer.value,
        )
        most, working = limit.printed_ohm, limit.working.plus(step)
    else:
        verdict = cold_zs_verdict(reading, limit)
        most, answer, working = limit.cold_ohm, verdict.answer, verdict.working
    if answer is Answer.FAILS:
        words = f"an earth fault loop of {plain(reading)} ohm is above its limit of {plain(most)} ohm"
        yield Failure("zs_ohm", words, working)


def _electrode_failures(answers: InspectionAnswers) -> Iterator[Failure]:
    if answers.rcd_ma is None:
        return
    for field in ("ze_ohm", "zs_ohm"):
        reading = getattr(answers, field).value
        if reading:
            verdict = earth_electrode_verdict(reading, min(answers.rcd_ma, 500))
            if verdict.answer is Answer.FAILS:
                words = f"an earth of {plain(reading)} ohm is too high for an RCD of {answers.rcd_ma} mA"
                yield Failure(field, words, verdict.working)


def _lost_pen_failures(answers: InspectionAnswers) -> Iterator[Failure]:
    verdict = _lost_pen(answers)
    if verdict.answer is Answer.FAILS:
        words = "nothing protects a car outdoors if the supply's combined earth and neutral is lost"
        yield Failure("lost_pen", words, verdict.working)


def _lost_pen(answers: InspectionAnswers) -> LostPenVerdict:
    return lost_pen_verdict(answers.earthing, answers.car_place, answers.lost_pen, phases=answers.supply_phases)


def _has_loop_limit(answers: InspectionAnswers) -> bool:
    return answers.earthing is Earthing.TT or _loop_limit(answers) is not None


def _loop_limit(answers: InspectionAnswers) -> LoopLimit | None:
    """Return the greatest Zs of the recorded device; None where the tables have none, so that nothing passes by it."""
    if answers.device_kind is DeviceKind.PLUG_FUSE:
        return max_zs_13a_fuse(DISCONNECTION_S)
    curve = _CURVES.get(answers.device_kind)
    if curve is None or answers.device_a is None or not RATING_MIN_A <= answers.device_a <= RATING_MAX_A:
        return None
    return max_zs(answers.device_a, curve)
