"""The parts of a safety file that hold answers: clearance with its working, its changes, what was shown and told."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import select

from service.accounts.models import AuditEntry
from service.infrastructure.mail.queue import Mail
from service.reminders.models import Reminder, SafetyNotice
from service.reporting.domain.safety_file import Part, Table, readable, steps_text, table, words
from service.reporting.operations.file_context import FileContext
from service.safety.domain.arithmetic.editions import EDITIONS
from service.safety.domain.intervals import INTERVALS
from service.safety.domain.signs import REVIEW, TABLE_EDITION
from service.safety.models import ClearanceChange, Inspection, Override, Recheck, SchemeRule, ShownAnswer
from service.safety.operations import HomeClearance


@dataclass(frozen=True)
class Answer:
    """What evidence says of one outlet or lead."""

    kind: str
    item_id: str
    label: str
    found: Any


def answers_of(file: FileContext, clearance: HomeClearance) -> list[Answer]:
    """Return the answers of what had been recorded by the instant, outlets first."""
    return [
        *(Answer("outlet", one.outlet_id, file.label(one.outlet_id), one) for one in clearance.outlets),
        *(Answer("lead", one.lead_id, file.label(one.lead_id), one) for one in clearance.leads),
    ]


def clearance_part(file: FileContext, answers: list[Answer]) -> Part:
    """Return clearance at the instant with its full working."""
    rows, steps = [], []
    for one in answers:
        found = one.found
        ends = getattr(found, "valid_until", None)
        rows.append((
            f"{one.kind}: {one.label}", readable(found.clearance.value),
            f"{found.limit_a} A" if found.limit_a is not None else "none",
            file.when(ends, missing="no end" if found.clearance.allows_charging else "not in force"),
            found.evidence, "; ".join(found.missing) or "nothing", found.next_step,
        ))
        steps += [
            (one.label, step.what, file.named(words(dict(step.inputs))), step.rule, step.source,
             file.named(step.result))
            for step in found.working.steps
        ]
    return Part("clearance", "Clearance at this instant", (), (), (
        table("Answers", ("Item", "Clearance", "Current", "Until", "Evidence", "Missing", "Next step"), rows,
              empty="The home had no outlet and no lead."),
        table("Working", ("Item", "Step", "From", "Rule", "Source", "Result"), steps, empty="There is none."),
    ))


def rules_part(file: FileContext) -> Part:
    """Return which rules, tables and editions the answers rest on."""
    editions = [
        (edition.standard, edition.name, edition.from_on, edition.until_on or "in force", edition.source)
        for edition in EDITIONS
        if edition.from_on <= file.day
    ]
    own = file.session.scalars(
        select(SchemeRule).where(SchemeRule.made_at <= file.at).order_by(SchemeRule.made_at, SchemeRule.id)
    ).all()
    stricter = [
        (readable(row.rule_name), _interval(row), row.from_on, row.reason or "none given", file.when(row.made_at),
         file.who(row.made_by))
        for row in own
    ]
    intervals = [
        (row.name, row.words, row.length, row.from_on, row.cited) for row in INTERVALS if row.from_on <= file.day
    ]
    facts = (("Table of signs", TABLE_EDITION), ("Review of the table of signs", REVIEW))
    return Part("rules", "Rules and editions", (), facts, (
        table("Editions of standards up to this day", ("Standard", "Edition", "From", "Until", "Source"), editions),
        table("Intervals in force on this day", ("Rule", "In words", "Interval", "From", "Source"), intervals),
        table("The scheme's own, stricter rules", ("Rule", "Interval", "From", "Reason", "Made", "By"), stricter,
              empty="None."),
    ))


def _interval(row: SchemeRule) -> str:
    return f"{row.interval_months} months" if row.interval_months else f"{row.interval_days} days"


def rechecks_part(file: FileContext, answers: list[Answer]) -> Part:
    """Return what falls due by the evidence known then, what was set or done by hand, and the overrides."""
    due = [
        (one.label, file.when(one.found.valid_until), "clearance ends then: its working names the rule")
        for one in answers
        if getattr(one.found, "valid_until", None) is not None
    ]
    due += [
        (file.label(row.outlet_id), words(row.next_due_on), f"stated by {row.electrician} in the result of "
         f"{words(row.inspected_on)}" + (", a claim: its document is missing" if row.file_id is None else ""))
        for row in file.rows(Inspection, Inspection.recorded_at)
        if not file.by_then(row.superseded_at)
    ]
    overrides = [
        (file.when(row.made_at), file.who(row.made_by), readable(row.kind), file.label(row.item_id), _override(row),
         row.reason, f"{file.when(row.ended_at)}, {file.who(row.ended_by)}" if file.by_then(row.ended_at) else "no")
        for row in file.rows(Override, Override.made_at)
    ]
    return Part("rechecks", "Rechecks and overrides", (), (), (
        table("Falls due, by the evidence known at this instant", ("Item", "Due", "Set by"), due,
              empty="Nothing falls due: nothing is cleared."),
        table("Dates set and done by hand", ("When", "By", "What", "Due", "Rule"), list(_by_hand(file)), empty="None."),
        table("Overrides of a safety officer", ("Made", "By", "Kind", "Item", "Decision", "Reason", "Ended"), overrides,
              empty="None."),
    ))


def _by_hand(file: FileContext) -> Iterator[tuple[object, ...]]:
    rechecks = {
        row.id: row
        for row in file.session.scalars(select(Recheck).where(Recheck.household_id == file.household_id)).all()
    }
    for entry in file.session.scalars(
        select(AuditEntry)
        .where(
            AuditEntry.subject_kind == "recheck",
            AuditEntry.subject_id.in_(list(rechecks)),
            AuditEntry.happened_at <= file.at,
        )
        .order_by(AuditEntry.happened_at, AuditEntry.id)
    ):
        row = rechecks[entry.subject_id]
        what = f"{readable(entry.action)}: {file.label(row.item_id)}"
        yield file.when(entry.happened_at), file.who(entry.account_id), what, row.due_on, row.rule


def _override(row: Override) -> str:
    if row.kind == "extension":
        return f"due on {words(row.due_on)} moved to {words(row.new_due_on)}"
    return readable(row.clearance) + (f", {row.limit_a} A" if row.limit_a else "")


def changes_part(file: FileContext) -> Part:
    """Return each change of clearance in time order, with the working it had."""
    rows = [
        (file.when(row.changed_at), f"{row.item_kind}: {file.label(row.item_id)}", readable(row.was),
         readable(row.becomes), readable(row.cause_kind), file.named(steps_text(row.working)))
        for row in file.rows(ClearanceChange, ClearanceChange.changed_at)
    ]
    return Part("changes", "Changes of clearance", (), (), (
        table("In the order they happened", ("When", "Item", "Was", "Became", "Cause", "Working then"), rows,
              empty="No record had changed a clearance."),
    ))


def shown_part(file: FileContext) -> Part:
    """Return which safety answers stood on whose screen from when."""
    rows = [
        (file.when(row.shown_at), file.who(row.account_id), f"{row.item_kind}: {file.label(row.item_id)}",
         readable(row.clearance), _shown_limit(file, row.answer), row.answer.get("evidence"),
         "; ".join(row.answer.get("missing") or ()) or "nothing", row.answer.get("next_step"))
        for row in file.rows(ShownAnswer, ShownAnswer.shown_at)
    ]
    note = "A line is added when an answer differs from the last one that the same person saw of the same item."
    return Part("shown", "What was shown to whom", (note,), (), (
        table("Answers on screens", ("From", "To", "Item", "Clearance", "Current and end", "Evidence", "Missing",
              "Next step"), rows, empty="No answer had been shown to anybody."),
    ))


def told_part(file: FileContext) -> Part:
    """Return the safety notices, and the reminders asked for."""
    notices = file.rows(SafetyNotice, SafetyNotice.told_at)
    sent = {
        row.id: row
        for row in file.session.scalars(
            select(Mail).where(Mail.id.in_([notice.mail_id for notice in notices if notice.mail_id]))
        )
    }
    rows = [
        (file.when(row.told_at), file.who(row.account_id), readable(row.kind), row.subject,
         _mail(file, sent.get(row.mail_id or "")), file.when(file.by_then(row.read_at), missing="not read"),
         f"{file.when(row.raised_at)}: {row.raised_why}" if file.by_then(row.raised_at) else "no",
         f"{file.when(row.rung_at)}, {file.who(row.rung_by)}. {row.rung_note}" if file.by_then(row.rung_at) else "no")
        for row in notices
    ]
    return Part("told", "Who was told when", (), (), (
        table("Safety notices", ("Told", "Whom", "Kind", "Subject", "By e-mail", "Read", "Raised", "Rung"), rows,
              empty="Nobody had been told of anything."),
        _reminders(file),
    ))


def _reminders(file: FileContext) -> Table:
    rows = [
        (file.when(row.created_at), file.who(row.recipient), readable(row.kind), row.due_on, row.step)
        for row in file.rows(Reminder, Reminder.created_at)
    ]
    return table("Reminders", ("Asked for", "Whom", "Kind", "Due", "Days before"), rows, empty="None.")


def _mail(file: FileContext, mail: Mail | None) -> str:
    if mail is None:
        return "none kept"
    if file.by_then(mail.bounced_at):
        return f"reported as not arrived, {file.when(mail.bounced_at)}"
    return f"sent {file.when(mail.sent_at)}" if file.by_then(mail.sent_at) else "queued, not sent yet"


def _shown_limit(file: FileContext, answer: dict[str, Any]) -> str:
    amps, ends = answer.get("limit_a"), answer.get("valid_until")
    until = file.when(datetime.fromisoformat(ends)) if ends else "no end stated"
    return (f"{amps} A" if amps is not None else "none") + f", until {until}"
