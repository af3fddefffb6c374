"""What evidence says of an outlet at an instant: may a car charge from it, at what current, until when.

Each rule says how much it allows at most, and the worst of them is the answer, so no rule can make another milder.
Nothing recorded, or nothing still in date, is "not known" and never a pass. A finding that stops use stops it
whichever inspection it stands in; a reported sign stops it until its own evidence lifts it. A rule that is not
confirmed in the edition in force never clears by itself: only an accepted inspection does.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo

from service.common.working import Step, Working
from service.households.domain.equipment import SOCKET_SUSTAINED_LIMIT_A, OutletKind, YesNo
from service.households.domain.homes import OutletInputs
from service.safety.domain.circuit_limit import circuit_limit
from service.safety.domain.counting import known_of, newest_counting, recorded_as, shortcomings
from service.safety.domain.evidence import InspectionRecord
from service.safety.domain.extension_use import extension_parts
from service.safety.domain.findings import answers_for, code_part, failure_part
from service.safety.domain.freshness import outlet_check_part, supervised_part
from service.safety.domain.home_evidence import Evidence
from service.safety.domain.inspection_answers import InspectionAnswers
from service.safety.domain.levels import Clearance as Clearance
from service.safety.domain.levels import worst_of as worst_of
from service.safety.domain.needs import Need as Need
from service.safety.domain.overrides import EXTENSION_SOURCE, extended_due_on, stricter_parts
from service.safety.domain.sign_reports import open_on_outlet
from service.safety.domain.sign_words import sign_evidence, sign_missing, sign_step
from service.safety.domain.verdicts import Part, put_together

DATE_SOURCE = "common practice: the report's own next inspection date governs, if it is the sooner"
COUNTS_SOURCE = (
    "rule of this service: an inspection counts if it names outlet and circuit as tested without limitation, knows "
    "of the charging, carries its document and is accepted"
)
ANSWERS_SOURCE = (
    "each item as the electrician recorded it; limits by rules read in pages before BS 7671:2018+A4:2026 and not "
    "confirmed there: they stop, and never clear by themselves"
)
SOCKET_SOURCE = "common practice of the trade, no clause: about 10 A for hours on an ordinary 13 A socket"
SIGN_NEXT_STEP = (
    "Do not charge here and do not reset anything. Have an electrician inspect this outlet and record the result; "
    "until then charge elsewhere."
)
INSPECT_STEP = "Book an electrician to inspect this outlet, and charge elsewhere until the result is recorded."
_WAITING_STEPS = (
    (Need.INSPECTION, INSPECT_STEP),
    (Need.READINGS, "The certificate is in. The electrician still has to send the readings; charge elsewhere until "
     "then."),
    (Need.DOCUMENT, "Ask the electrician for the certificate itself, and charge elsewhere until it is recorded."),
    (Need.ACCEPTANCE, "The electrician's result is in. Somebody of the scheme still has to compare it with the "
     "certificate; charge elsewhere until then."),
)  # fmt: skip
ANSWERS_STEP = "Ask the electrician to record what is missing, and charge elsewhere until it is in."
REASON_STEP = "Ask the electrician to write why this socket may be used as it is, or to change it; charge elsewhere."
FIT, LIMITS, NOT_KNOWN = Clearance.FIT_TO_USE, Clearance.USE_WITH_LIMITS, Clearance.NOT_KNOWN


@dataclass(frozen=True, slots=True)
class OutletClearance:
    """The clearance of one outlet at an instant.

    ``limit_a`` [A per phase] and ``valid_until`` (UTC, exclusive) are None unless charging is allowed.
    """

    outlet_id: str
    clearance: Clearance
    limit_a: int | None
    valid_until: datetime | None
    evidence: str
    missing: tuple[str, ...]
    next_step: str
    working: Working
    needs: tuple[Need, ...] = ()

    @property
    def awaits_supervised_charge(self) -> bool:
        """Tell whether all that is missing is the supervised first charge, which may then be done."""
        return self.clearance is NOT_KNOWN and set(self.needs) in (
            {Need.SUPERVISED_CHARGE}, {Need.SUPERVISED_CHARGE, Need.CHECK},
        )  # fmt: skip


def outlet_clearance(outlet: OutletInputs, evidence: Evidence, *, at: datetime, zone: ZoneInfo) -> OutletClearance:
    """Return the clearance of an outlet at an instant, past ones included.

    Parameters
    ----------
    outlet : OutletInputs
        The outlet asked about.
    evidence : Evidence
        Of the whole home; what speaks of other outlets alone is passed over, what was not known then too.
    at : datetime
        Aware instant.
    zone : ZoneInfo
        In which dates of inspections and checks are read.

    Notes
    -----
    The worst of these, with the least current and the earliest end:

    1. a sign that stands, acts on the outlet and is not lifted: as bad as its row says;
    2. an open C1, C2 or FI of any inspection that reaches the outlet: do not use;
    3. a recorded answer that fails: do not use;
    4. a safety officer's stricter decision;
    5. an extension lead in use: do not use, or with limits where the inspection in date names that very one;
    6. no inspection that counts and is in date: not known; C3 alone does not stop use;
    7. an answer that is not recorded: not known; a 13 A socket without the EV mark, an RCD that is shared or a ring:
       use with limits with the electrician's written reason, else not known;
    8. a 13 A socket without its supervised first charge, and no clear check in its interval: not known.
    """
    day = at.astimezone(zone).date()
    parts = tuple(_parts(outlet, evidence, at, day, zone))
    whole = put_together(parts, zone)
    return OutletClearance(
        outlet.id, whole.clearance, whole.limit_a, whole.valid_until, whole.evidence, whole.missing, whole.next_step,
        whole.working, whole.needs,
    )


def inspection_in_force(
    outlet: OutletInputs, evidence: Evidence, *, at: datetime, zone: ZoneInfo
) -> InspectionRecord | None:
    """Return the newest inspection that counts for an outlet, where it is in date; a due date put off reckoned."""
    day = at.astimezone(zone).date()
    record = newest_counting(outlet, known_of(outlet, evidence.inspections, at=at, day=day), at=at)
    if record is None:
        return None
    due_on, _ = extended_due_on(record.next_due_on, evidence.overrides, outlet.id, at=at, zone=zone)
    return record if day < due_on else None


def _parts(outlet: OutletInputs, evidence: Evidence, at: datetime, day: date, zone: ZoneInfo) -> Iterator[Part]:
    known = known_of(outlet, evidence.inspections, at=at, day=day)
    yield from _sign_parts(outlet, evidence, at, zone)
    for part in (
        code_part(outlet, evidence.inspections, at=at, day=day), failure_part(outlet, known, at=at, day=day),
    ):  # fmt: skip
        if part is not None:
            yield part
    yield from stricter_parts(evidence.overrides, "outlet", outlet.id, at=at, zone=zone)
    counting = newest_counting(outlet, known, at=at)
    if counting is None:
        inspected = _without_inspection(outlet, known, at, day)
    else:
        inspected = _inspection_part(outlet, counting, evidence, at, day, zone)
    if evidence.extensions:
        in_force = inspection_in_force(outlet, evidence, at=at, zone=zone)
        yield from extension_parts(outlet, evidence.extensions, in_force, at=at)
    yield inspected
    if counting is None or inspected.clearance is NOT_KNOWN:
        return
    yield from _answer_parts(outlet, counting)
    supervised = supervised_part(outlet, evidence, at=at, zone=zone)
    if supervised is not None:
        yield supervised
    yield outlet_check_part(outlet, evidence, at=at, zone=zone)
    yield from _current_parts(outlet, evidence)


def _sign_parts(outlet: OutletInputs, evidence: Evidence, at: datetime, zone: ZoneInfo) -> Iterator[Part]:
    standing = open_on_outlet(outlet, evidence.signs, evidence.inspections, at=at, zone=zone)
    if standing:
        clearance = worst_of(report.row.effect for report in standing)
        yield Part(
            clearance,
            (sign_step(standing, clearance, "outlet", zone),),
            sign_evidence(standing, zone),
            sign_missing(standing, "outlet"),
            (Need.STOP_LIFTED,),
            SIGN_NEXT_STEP,
        )


def _without_inspection(
    outlet: OutletInputs, known: Sequence[InspectionRecord], at: datetime, day: date
) -> Part:
    inputs = {"on": str(day), "inspections": "none"}
    evidence = "no inspection of this outlet is recorded"
    missing: tuple[str, ...] = ("an inspection that names this outlet",)
    needs: tuple[Need, ...] = (Need.INSPECTION,)
    if known:
        # The newest that an electrician recorded is the one to put right; a claim only where there is nothing else.
        record = next((each for each in reversed(known) if not each.is_claim), known[-1])
        short = shortcomings(record, outlet, at=at)
        needs, missing = tuple(dict.fromkeys(need for need, _ in short)), tuple(words for _, words in short)
        evidence = f"{recorded_as(record)}; it does not count"
        inputs = {"on": str(day), "inspection": record.id, "inspected_on": str(record.inspected_on)}
        inputs |= {f"missing {place}": words for place, words in enumerate(missing, start=1)}
    rule = "without an inspection that counts the answer is not known, and no plan uses the outlet"
    step = Step("Inspection of the outlet", inputs, rule, COUNTS_SOURCE, "not known")
    next_step = next(words for need, words in _WAITING_STEPS if need in needs)
    return Part(NOT_KNOWN, (step,), evidence, missing, needs, next_step)


def _inspection_part(
    outlet: OutletInputs, record: InspectionRecord, evidence: Evidence, at: datetime, day: date, zone: ZoneInfo
) -> Part:
    due_on, extension = extended_due_on(record.next_due_on, evidence.overrides, outlet.id, at=at, zone=zone)
    inputs = {"inspected_on": str(record.inspected_on), "next_due_on": str(record.next_due_on), "on": str(day)}
    source, words = f"{COUNTS_SOURCE}; {DATE_SOURCE}", recorded_as(record)
    if extension is not None:
        inputs |= {"put off to": str(due_on), "because": extension.reason, "override": extension.id}
        source, words = f"{source}; {EXTENSION_SOURCE}", f"{words}; its due date was put off to {due_on}"
    is_held = day < due_on
    step = Step(
        "Inspection of the outlet",
        inputs,
        "the newest inspection that counts holds until the midnight that starts its next due date",
        source,
        f"holds until {due_on}" if is_held else "not known",
    )
    if is_held:
        return Part(FIT, (step,), words, next_step=f"Book the next inspection before {due_on}.", until_on=due_on)
    missing = f"an inspection after the one that was due again on {due_on}"
    evidence_words = f"{words}; it was due again on {due_on}"
    return Part(NOT_KNOWN, (step,), evidence_words, (missing,), (Need.INSPECTION,), INSPECT_STEP)


def _answer_parts(outlet: OutletInputs, record: InspectionRecord) -> Iterator[Part]:
    answers, kind = answers_for(outlet, record), OutletKind(outlet.kind)
    missing = answers.missing(kind)
    inputs = {"missing": "; ".join(missing) or "none"}
    rule = "each item that this kind of outlet needs is recorded"
    step = Step("The electrician's answers", inputs, rule, ANSWERS_SOURCE, "not known" if missing else "recorded")
    if missing:
        words = tuple(f"recorded by the electrician: {each}" for each in missing)
        yield Part(NOT_KNOWN, (step,), "", words, (Need.ANSWERS,), ANSWERS_STEP)
    else:
        yield Part(FIT, (step,))
    departures = _departures(answers, kind)
    reason = record.limit_reason.strip()
    if departures:
        rule = "at best use with limits, and only with the electrician's written reason"
        inputs = {"found": "; ".join(departures), "his reason": reason or "none"}
        result = "use with limits" if reason else "not known"
        step = Step("Departures of the outlet", inputs, rule, ANSWERS_SOURCE, result)
        if reason:
            yield Part(LIMITS, (step,), f"{'; '.join(departures)}; the electrician's reason: {reason}")
        else:
            missing = (f"the electrician's written reason, because of this: {'; '.join(departures)}",)
            yield Part(NOT_KNOWN, (step,), "", missing, (Need.REASON,), REASON_STEP)
    if record.limit_a is not None:
        inputs = {"limit": f"{record.limit_a} A", "his reason": reason or "none"}
        rule = "no more than the electrician allows"
        step = Step("Current the electrician allows", inputs, rule, "his inspection", f"{record.limit_a} A")
        yield Part(LIMITS, (step,), f"at most {record.limit_a} A, as the electrician wrote", limit_a=record.limit_a)


def _departures(answers: InspectionAnswers, kind: OutletKind) -> tuple[str, ...]:
    found = (
        (kind is OutletKind.SOCKET_13A and answers.ev_mark is YesNo.NO, 'the socket does not carry the mark "EV"'),
        (answers.own_rcd is YesNo.NO, "its RCD is shared"),
        (answers.is_ring is YesNo.YES, "it is on a ring"),
    )
    return tuple(words for holds, words in found if holds)


def _current_parts(outlet: OutletInputs, evidence: Evidence) -> Iterator[Part]:
    limits = {"limit_a": outlet.limit_a}
    source, rule = "the outlet's limit as recorded", "the outlet's own limit"
    if outlet.kind == OutletKind.SOCKET_13A:
        limits["socket_sustained_limit_a"] = SOCKET_SUSTAINED_LIMIT_A
        source, rule = SOCKET_SOURCE, "the lesser of the two"
    limit_a = min(limits.values())
    inputs = {name: str(value) for name, value in limits.items()}
    yield Part(FIT, (Step("Current for hours", inputs, rule, source, f"{limit_a} A"),), limit_a=limit_a)
    circuit = circuit_limit(evidence.runs.get(outlet.circuit_id or "", ()))
    if circuit is not None:
        yield Part(FIT, (circuit.step,), limit_a=circuit.limit_a)
