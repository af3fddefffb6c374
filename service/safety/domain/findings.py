"""What stops an outlet for what inspections found: open codes, and recorded answers that fail."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date, datetime

from service.common.working import Step
from service.households.domain.equipment import Place
from service.households.domain.homes import OutletInputs
from service.safety.domain.counting import lifts_stops, recorded_as
from service.safety.domain.evidence import CodedObservation, InspectionRecord, ObservationReach
from service.safety.domain.inspection_answers import Failure, InspectionAnswers
from service.safety.domain.levels import Clearance
from service.safety.domain.needs import Need
from service.safety.domain.verdicts import Part

CODES_SOURCE = "BS 7671 Appendix 6 classification codes; that an open C1, C2 or FI stops charging: common practice"
FAILURE_SOURCE = "that a failed reading stops charging: common practice"
CODES_STEP = "Do not charge here. Have an electrician put the finding right and record the date it was closed."
FAILURE_STEP = (
    "Do not charge here. Have an electrician put it right and record a new inspection; until then charge elsewhere."
)
DO_NOT_USE = Clearance.DO_NOT_USE


def answers_for(outlet: OutletInputs, record: InspectionRecord) -> InspectionAnswers:
    """Return an inspection's answers; a car that the member says stands outdoors does so, whatever was recorded."""
    answers = record.answers
    if outlet.car_place == Place.OUTDOORS and answers.car_place is not Place.OUTDOORS:
        return replace(answers, car_place=Place.OUTDOORS)
    return answers


def code_part(
    outlet: OutletInputs, inspections: Sequence[InspectionRecord], *, at: datetime, day: date
) -> Part | None:
    """Return what open C1, C2 and FI make of an outlet, typed claims and other outlets' findings included."""
    found = [
        (record, finding)
        for record in inspections
        if record.observations and record.is_known_at(at, day)
        for finding in record.stops_at(at, day)
        if _acts_on(record, finding, outlet)
    ]
    if not found:
        return None
    codes = ", ".join(sorted({finding.code.value for _, finding in found}))
    inputs = {f"inspection {record.id}": _named(finding) for record, finding in found}
    step = Step(
        "Findings of inspections",
        {"open_codes": codes, "on": str(day), **inputs},
        "an open C1, C2 or FI stops what it reaches, outlet, circuit or home, until it is recorded as closed",
        CODES_SOURCE,
        "do not use",
    )
    evidence = f"{codes} open; {recorded_as(found[-1][0])}"
    missing = (f"record that the work on {codes} is done",)
    return Part(DO_NOT_USE, (step,), evidence, missing, (Need.STOP_LIFTED,), CODES_STEP)


def _named(finding: CodedObservation) -> str:
    return f"{finding.code.value}, reaches the {finding.reach.value}"


def _acts_on(record: InspectionRecord, finding: CodedObservation, outlet: OutletInputs) -> bool:
    if record.outlet_id == outlet.id or finding.reach is ObservationReach.HOME:
        return True
    # An outlet whose circuit nobody recorded may be on this one.
    may_share = record.circuit_id is None or outlet.circuit_id is None or record.circuit_id == outlet.circuit_id
    return finding.reach is ObservationReach.CIRCUIT and may_share


def failure_part(
    outlet: OutletInputs, known: Sequence[InspectionRecord], *, at: datetime, day: date
) -> Part | None:
    """Return what failed answers make of an outlet; an inspection of a later day that counts takes their place."""
    found = list(_standing_failures(outlet, known, at, day))
    if not found:
        return None
    words = tuple(dict.fromkeys(failure.words for _, failure in found))
    steps = tuple(step for _, failure in found for step in failure.working.steps)
    last = Step(
        "Readings and findings that fail",
        {failure.field: failure.words for _, failure in found},
        "any of them stops use until an inspection of a later day that counts finds none",
        FAILURE_SOURCE,
        "do not use",
    )
    evidence = f"{'; '.join(words)}; {recorded_as(found[-1][0])}"
    missing = ("an inspection of a later day in which nothing fails: " + "; ".join(words),)
    return Part(DO_NOT_USE, (*steps, last), evidence, missing, (Need.STOP_LIFTED,), FAILURE_STEP)


def _standing_failures(
    outlet: OutletInputs, known: Sequence[InspectionRecord], at: datetime, day: date
) -> Iterator[tuple[InspectionRecord, Failure]]:
    for record in known:
        failures = answers_for(outlet, record).failures()
        if failures and not any(
            other.inspected_on > record.inspected_on and lifts_stops(other, outlet, at=at, day=day) for other in known
        ):
            for failure in failures:
                yield record, failure
