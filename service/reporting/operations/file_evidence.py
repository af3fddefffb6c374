"""The parts of a safety file that hold evidence: visits, inspections, checks, supervised charges, signs, tests."""

from __future__ import annotations

from typing import Any

from sqlalchemy import select

from service.infrastructure.files import StoredFile
from service.reporting.domain.safety_file import Part, readable, table, words
from service.reporting.operations.file_context import FileContext
from service.safety.domain.signs import SIGNS
from service.safety.models import (
    Check,
    ExtensionLead,
    Inspection,
    InspectionLink,
    LeadTest,
    LinkedVisit,
    Observation,
    SignReport,
    SupervisedCharge,
    Visit,
    VisitStep,
)

STATED = "What an electrician says of competence is recorded as stated; nobody here verified it."


def visits_part(file: FileContext) -> Part:
    """Return each visit step by step, and the links that were made for them."""
    visits = {row.id: row for row in file.rows(Visit, Visit.asked_at)}
    steps = file.session.scalars(
        select(VisitStep)
        .where(VisitStep.visit_id.in_(list(visits)), VisitStep.happened_at <= file.at)
        .order_by(VisitStep.happened_at, VisitStep.id)
    ).all()
    numbers = {visit_id: number for number, visit_id in enumerate(visits, start=1)}
    asked = [
        (numbers[row.id], ", ".join(map(file.label, row.outlet_ids)), row.reason or "none given",
         file.when(row.asked_at), file.who(row.asked_by))
        for row in visits.values()
    ]
    moved = [
        (numbers[row.visit_id], readable(row.state), file.when(row.happened_at),
         "an electrician's link" if row.link_id else file.who(row.account_id), row.note or "none")
        for row in steps
    ]
    links = file.session.execute(
        select(
            LinkedVisit.visit_id, InspectionLink, LinkedVisit.spent_at, LinkedVisit.opens_on, LinkedVisit.corrects_id
        )
        .join(
            InspectionLink,
            (InspectionLink.scheme_id == LinkedVisit.scheme_id) & (InspectionLink.id == LinkedVisit.link_id),
        )
        .where(LinkedVisit.household_id == file.household_id, InspectionLink.made_at <= file.at)
        .order_by(InspectionLink.made_at, InspectionLink.id)
    ).all()
    sent = [
        (numbers.get(visit_id, "not known"), "a correction" if corrects else "a result", link.sent_to,
         file.when(link.made_at), file.who(link.made_by), opens_on, file.when(link.expires_at),
         file.when(file.by_then(link.revoked_at), missing="no"), file.when(file.by_then(spent_at), missing="no"))
        for visit_id, link, spent_at, opens_on, corrects in links
    ]
    return Part("visits", "Visits of electricians", (STATED,), (), (
        table("Visits asked for", ("Visit", "Outlets", "Reason", "Asked", "By"), asked, empty="None was asked for."),
        table("Steps of the visits", ("Visit", "State", "When", "By", "Note"), moved, empty="No step is recorded."),
        table("Links sent", ("Visit", "For", "To", "Made", "By", "Opens", "Expires", "Revoked", "Spent"), sent,
              empty="No link was sent."),
    ))


def inspections_part(file: FileContext) -> Part:
    """Return each inspection with who asked, received, recorded, accepted, and its answers and observations."""
    rows = file.rows(Inspection, Inspection.recorded_at)
    numbers = {row.id: number for number, row in enumerate(rows, start=1)}
    details, course, answers = [], [], []
    for row in rows:
        number = numbers[row.id]
        stated = f", registration as stated: {row.registration}" if row.registration else ""
        details.append((
            number, file.label(row.outlet_id), f"recorded as inspected on {words(row.inspected_on)} by "
            f"{row.electrician}{stated}", row.next_due_on, f"{readable(row.certificate_kind)} {row.certificate_number}",
            _document(file, row.file_id), readable(row.was_tested), row.limitation or "none", readable(row.knew_use),
            _limit(row), "yes" if row.is_partial else "no",
        ))
        superseded = file.by_then(row.superseded_at)
        course.append((
            number, readable(row.source), file.who(row.asked_by), row.received_by or "not known",
            f"{file.when(row.recorded_at)}, {'an electrician’s link' if row.link_id else file.who(row.recorded_by)}",
            _accepted(file, row), _refused(file, row),
            f"no. {numbers[row.supersedes_id]}" if row.supersedes_id in numbers else "none",
            file.when(superseded, missing="no"),
        ))
        answers += [(number, readable(name), words(value)) for name, value in sorted((row.answers or {}).items())]
    return Part(
        "inspections", "Inspections",
        ("Each is recorded as inspected by the person named, never certified by this service. A typed or imported one "
         "is a claim: it sets a date and never clears.", STATED),
        (),
        (
            table("Inspections as recorded", ("No.", "Outlet", "Inspected", "Next due", "Certificate", "Document",
                  "This outlet tested", "Limitation", "Knew of charging", "His limit", "Readings to come"), details,
                  empty="No inspection had been recorded."),
            table("Who asked, received, recorded and decided", ("No.", "Came by", "Asked", "Received", "Recorded",
                  "Accepted", "Refused", "Supersedes", "Superseded"), course),
            table("Answers of each inspection", ("No.", "Item", "Answer"), answers, empty="No answers were recorded."),
            _observations(file, numbers),
        ),
    )


def _observations(file: FileContext, numbers: dict[str, int]) -> Any:
    found = file.session.scalars(
        select(Observation).where(Observation.inspection_id.in_(list(numbers)))
    ).all()
    rows = []
    for row in sorted(found, key=lambda row: (numbers[row.inspection_id], row.position)):
        # A closing recorded later was not known then; one recorded with the inspection carries no instant.
        is_closed = row.closed_on is not None and (row.closed_at is None or row.closed_at <= file.at)
        rows.append((numbers[row.inspection_id], row.code, row.note or "none", row.reach,
                     f"closed on {words(row.closed_on)}" if is_closed else "open"))
    return table("Observations", ("No.", "Code", "Note", "Reaches", "State"), rows, empty="None was recorded.")


def checks_part(file: FileContext) -> Part:
    """Return the members' checks and the supervised charges."""
    checks = [
        (file.when(row.made_at), file.who(row.made_by), file.label(row.outlet_id), file.label(row.lead_id) or "no lead",
         "; ".join(f"{readable(question)}: {readable(answer)}" for question, answer in row.answers) or "none",
         "no sign" if row.is_clear else "not clear", row.note or "none")
        for row in file.rows(Check, Check.made_at)
    ]
    charges = []
    for row in file.rows(SupervisedCharge, SupervisedCharge.started_at):
        ended = file.by_then(row.ended_at)
        charges.append((
            file.when(row.started_at), file.who(row.started_by), file.label(row.outlet_id),
            file.label(row.lead_id) or "no lead", f"{row.current_a} A",
            _felt(file, row.first_felt_at, row.first_answer),
            _felt(file, row.later_felt_at, row.later_answer), file.when(ended, missing="not ended"),
            "no sign so far" if not ended else "clear" if row.is_clear else "not clear",
        ))
    return Part("checks", "Checks and supervised charges", (), (), (
        table("Checks", ("When", "By", "Outlet", "Lead", "Answers", "Result", "Note"), checks,
              empty="No check had been made."),
        table("Supervised charges", ("Started", "By", "Outlet", "Lead", "Current", "First touch", "Later touch",
              "Ended", "Result"), charges, empty="No supervised charge had been started."),
    ))


def reports_part(file: FileContext) -> Part:
    """Return reported signs and incidents with their withdrawals, tests of leads, and extension leads in use."""
    signs = []
    for row in file.rows(SignReport, SignReport.reported_at):
        sign = SIGNS.get(row.sign)
        withdrawn = file.by_then(row.withdrawn_at)
        acts_on = [*map(file.label, row.outlet_ids), *map(file.label, row.lead_ids)]
        photo = f"; photo {_document(file, row.withdrawal_file_id)}" if row.withdrawal_file_id else ""
        why = f"{file.when(withdrawn)}, {file.who(row.withdrawn_by)}: {row.withdrawal_reason}{photo}"
        signs.append((
            file.when(row.reported_at), file.who(row.reported_by), file.when(row.seen_at),
            sign.words if sign else readable(row.sign), readable(sign.effect.value) if sign else "not known",
            ", ".join(acts_on) or "nothing", row.note or "none", why if withdrawn else "no",
        ))
    tests = [
        (file.label(row.lead_id), readable(row.kind), "passed" if row.is_passed else "failed", file.when(row.done_at),
         f"recorded as done by {row.tested_by}", row.reference or "none", file.when(row.recorded_at),
         file.who(row.recorded_by))
        for row in file.rows(LeadTest, LeadTest.recorded_at)
    ]
    extensions = [
        (row.label, file.label(row.outlet_id), row.mark or "none", _figure(row.size_mm2, "mm²"),
         _figure(row.length_m, "m"), readable(row.is_coiled), readable(row.is_chained),
         readable(row.has_several_sockets), f"{readable(row.place)}, made for outdoors: "
         f"{readable(row.is_outdoor_rated)}", f"{file.when(row.recorded_at)}, {file.who(row.recorded_by)}",
         f"{file.when(row.ended_at)}, {file.who(row.ended_by)}" if file.by_then(row.ended_at) else "in use")
        for row in file.rows(ExtensionLead, ExtensionLead.recorded_at)
    ]
    return Part("reports", "Signs, incidents, tests of leads and extension leads", (), (), (
        table("Reported", ("Reported", "By", "Seen", "Sign", "Effect", "Acts on", "Note", "Withdrawn"), signs,
              empty="Nothing had been reported."),
        table("Tests and replacements of leads", ("Lead", "Kind", "Result", "Done", "By", "Reference", "Recorded",
              "Recorded by"), tests, empty="No test had been recorded."),
        table("Extension leads", ("Name", "Outlet", "Mark", "Size", "Length", "Coiled", "Chained", "Several sockets",
              "Where", "Recorded", "Not used any more"), extensions, empty="None had been recorded in use."),
    ))


def _felt(file: FileContext, at: Any, answer: str | None) -> str:
    known = file.by_then(at)
    return f"{readable(answer)}, {file.when(known)}" if known else "not yet"


def _limit(row: Inspection) -> str:
    if row.limit_a is None:
        return "none"
    return f"{row.limit_a} A" + (f": {row.limit_reason}" if row.limit_reason else "")


def _figure(value: Any, unit: str) -> str:
    return "not known" if value is None else f"{value.normalize():f} {unit}"


def _document(file: FileContext, file_id: str | None) -> str:
    stored = file.session.get(StoredFile, (file.session.scheme_id, file_id)) if file_id else None
    return f"{stored.name or 'document'} ({stored.sha256[:12]})" if stored else "missing"


def _accepted(file: FileContext, row: Inspection) -> str:
    if not file.by_then(row.accepted_at):
        return "no"
    ground = {"listed": "its electrician is on the scheme’s list", "officer": "compared with its document"}
    by = f", {file.who(row.accepted_by)}" if row.accepted_by else ""
    return f"{file.when(row.accepted_at)}{by}: {ground.get(row.acceptance_ground or '', 'ground not known')}"


def _refused(file: FileContext, row: Inspection) -> str:
    if not file.by_then(row.refused_at):
        return "no"
    return f"{file.when(row.refused_at)}, {file.who(row.refused_by)}: {row.refusal_reason}"
