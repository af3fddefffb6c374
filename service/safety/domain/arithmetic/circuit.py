"""A circuit from the origin to an outlet: every run with the device that protects it; the weakest run governs.

A device protects its own run and those after it until the next one. A run whose cable or device is not known
leaves the circuit not known, unless another run fails anyway.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from service.common.errors import Fault, Rejected
from service.common.working import Working
from service.safety.domain.arithmetic.answers import Answer, worst_answer
from service.safety.domain.arithmetic.cable import CableRun, Device, cable_capacity, coordination
from service.safety.domain.arithmetic.quantities import CURRENT_MAX_A, Number, checked, plain, with_unit
from service.safety.domain.arithmetic.ring import RingPlace, ring_verdict
from service.safety.domain.arithmetic.rules import COORDINATION, WEAKEST_RUN


@dataclass(frozen=True)
class ProtectedRun:
    """One run and what protects it.

    ``device`` is the one at its head; None: there is none, or nobody knows, and the one before holds.
    ``other_load_a`` is what the run carries besides the car [A]; None is not known. On a ring, ``place`` says
    where the car's outlet sits; None takes the worst place.
    """

    label: str
    cable: CableRun | None
    other_load_a: Decimal | None
    device: Device | None = None
    is_ring: bool = False
    place: RingPlace | None = None


@dataclass(frozen=True)
class RunAnswer:
    """The answer for one run; ``spare_a`` is what its cable has left above the load [A], None if not known."""

    label: str
    answer: Answer
    failed: tuple[str, ...]
    spare_a: Decimal | None


@dataclass(frozen=True)
class CircuitVerdict:
    """The circuit's answer, that of each run, and the run that governs ("" where no capacity is known)."""

    answer: Answer
    governed_by: str
    runs: tuple[RunAnswer, ...]
    working: Working


def circuit_verdict(drawn_a: Number, runs: Sequence[ProtectedRun]) -> CircuitVerdict:
    """Return whether every run from the origin on may carry the car's current for hours [A].

    Raises ``Rejected`` for a current out of range and for a circuit without a run.
    """
    drawn = checked("drawn_a", drawn_a, 0, CURRENT_MAX_A, "A")
    if not runs:
        raise Rejected(Fault("runs", 0, "must hold at least one run"))
    answers: list[RunAnswer] = []
    working = Working()
    device: Device | None = None
    for run in runs:
        device = run.device or device
        answer, steps = _run_answer(drawn, run, device)
        answers.append(answer)
        working = working.plus(*steps.steps)
    known = [(answer.spare_a, answer.label) for answer in answers if answer.spare_a is not None]
    governed_by = min(known, key=lambda entry: entry[0])[1] if known else ""
    numbered = enumerate(answers, start=1)
    answer_of_all = worst_answer(answer.answer for answer in answers)
    step = WEAKEST_RUN.step(
        "Circuit",
        {f"{at} {one.label}": f"{_words(one.answer)}, spare {with_unit(one.spare_a, 'A')}" for at, one in numbered},
        "every run must pass; the run with the least to spare governs",
        f"{_words(answer_of_all)}" + (f", governed by: {governed_by}" if governed_by else ""),
    )
    return CircuitVerdict(answer_of_all, governed_by, tuple(answers), working.plus(step))


def _run_answer(drawn: Decimal, run: ProtectedRun, device: Device | None) -> tuple[RunAnswer, Working]:
    if run.cable is None:
        step = COORDINATION.step(f"Run: {run.label}", {"cable": "not known"}, "a cable must be known", "not known")
        return RunAnswer(run.label, Answer.NOT_KNOWN, (), None), Working((step,))
    if run.is_ring:
        ring = ring_verdict(drawn, run.other_load_a, run.cable, device, run.place)
        spare = None if run.other_load_a is None else cable_capacity(run.cable).capacity_a - ring.leg_a
        return RunAnswer(run.label, ring.answer, ring.failed, spare), ring.working
    load = drawn + checked("other_load_a", run.other_load_a or 0, 0, CURRENT_MAX_A, "A")
    capacity = cable_capacity(run.cable)
    result = coordination(load, device, capacity)
    answer = result.answer
    if run.other_load_a is None and answer is Answer.PASSES:
        answer = Answer.NOT_KNOWN
    carried = COORDINATION.step(
        f"Load of the run: {run.label}",
        {"car": f"{plain(drawn)} A", "other load": with_unit(run.other_load_a, "A")},
        "the car's current and what the run carries besides",
        f"Ib = {plain(load)} A" + (" or more" if run.other_load_a is None else ""),
    )
    working = Working((carried, *result.working.steps))
    spare = None if run.other_load_a is None else capacity.capacity_a - load
    return RunAnswer(run.label, answer, result.failed, spare), working


def _words(answer: Answer) -> str:
    return answer.value.replace("_", " ")
