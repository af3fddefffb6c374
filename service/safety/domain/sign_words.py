"""What open signs put into an answer: evidence, what is missing, and one step of the working."""

from __future__ import annotations

from collections.abc import Sequence
from zoneinfo import ZoneInfo

from service.common.working import Step
from service.safety.domain.levels import Clearance
from service.safety.domain.sign_reports import SignReport
from service.safety.domain.signs import TABLE_EDITION, lift_words

SHOWN_SIGNS_MAX = 3
"""Own choice: the newest few are named, the rest counted; the list of reports has them all."""


def sign_evidence(signs: Sequence[SignReport], zone: ZoneInfo) -> str:
    """Return the signs as evidence, the newest first: when each was reported and what it is."""
    newest = sorted(signs, key=lambda report: (report.reported_at, report.id), reverse=True)
    named = [f"{report.row.words}, reported on {_day(report, zone)}" for report in newest[:SHOWN_SIGNS_MAX]]
    more = len(newest) - len(named)
    return "; ".join([*named, *([f"and {more} more"] if more else [])])


def sign_missing(signs: Sequence[SignReport], item: str) -> tuple[str, ...]:
    """Return what would lift the signs from an item ("outlet" or "lead"), each thing once."""
    found = dict.fromkeys(words for report in signs for kind, words in lift_words(report.row) if kind == item)
    return tuple(found)


def sign_step(signs: Sequence[SignReport], clearance: Clearance, item: str, zone: ZoneInfo) -> Step:
    """Return the step of the working that the signs add; its inputs carry the edition of the table."""
    inputs = {f"{report.sign}, report {report.id}": f"reported on {_day(report, zone)}" for report in signs}
    sources = dict.fromkeys(f"{report.row.source} ({report.row.mark.value})" for report in signs)
    return Step(
        "Signs reported",
        {**inputs, "table of signs": TABLE_EDITION},
        f"a sign that acts on this {item} holds until this {item}'s own later evidence lifts it",
        "; ".join(sources),
        clearance.value.replace("_", " "),
    )


def _day(report: SignReport, zone: ZoneInfo) -> str:
    return str(report.reported_at.astimezone(zone).date())
