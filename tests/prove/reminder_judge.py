"""Compare what was stored and what arrived with what the oracle says; every difference is a sentence."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date, datetime, timedelta

from tests.factories.smtp_log import Letter
from tests.prove.reminder_oracle import OVERDUE, REMIND, RISE, Expected, Line

_ITEM = re.compile(
    r"^(Item \d+[ab])\n- Due \w+ (\d+ \w+ \d{4}): (?:(today)|in (\d+) days?|overdue by (\d+) days?)\.", re.MULTILINE
)
_NEW_HOMES = re.compile(r"^New in this message, by the home's reference:\n((?:- .*\n|  .*\n)+)", re.MULTILINE)
_REFERENCE = re.compile(r"^- (H-\d+):", re.MULTILINE)
MAIL_KINDS = {"recheck_due": REMIND, "recheck_overdue": RISE, "safety_overdue": OVERDUE}
RING = "safety_ring"
READ_WITHIN = timedelta(hours=24)
Arrived = Mapping[str, Sequence[tuple[datetime, Letter]]]
"""Message-ID -> each time it arrived, with the simulated instant."""
Row = tuple[object, ...]


def stored_faults(asked: Expected, rows: Iterable[Row]) -> Iterator[str]:
    """Compare the stored rows; the database's own key keeps each from standing twice."""
    stored = {(str(kind), str(item), _day(due_on), int(str(step)), str(who)) for kind, item, due_on, step, who in rows}
    yield from (f"never told: {key}" for key in asked.told_at.keys() - stored)
    yield from (f"told without reason: {key}" for key in stored - asked.told_at.keys())


def letter_faults(asked: Expected, arrived: Arrived, kinds: Mapping[str, str]) -> Iterator[str]:
    """Compare the letters: each to whom, at the instant, and with the items or homes that it must list, once."""
    wanted = {REMIND: asked.reminders, OVERDUE: asked.notices, RISE: asked.risen}
    seen: set[tuple[str, str, datetime]] = set()
    for message_id, times in arrived.items():
        at, letter = times[0]
        if any(again != letter for _, again in times):
            yield f"{message_id} was not the same letter each time"
        if kinds.get(message_id) == RING:
            continue  # judged by the notices that it rose from
        kind = MAIL_KINDS.get(kinds.get(message_id, ""), "")
        if not kind or (letter.to, at) not in wanted[kind]:
            yield f"a letter that nobody expected: {kind} {letter.to} at {at}: {letter.subject}"
            continue
        if (kind, letter.to, at) in seen:
            yield f"a second letter: {kind} {letter.to} at {at}"
        seen.add((kind, letter.to, at))
        said = homes_of(letter.text) if kind == RISE else lines_of(letter.text)
        if said != wanted[kind][letter.to, at]:
            yield f"a letter says something else than it must: {kind} {letter.to} at {at}"
    for kind, letters in wanted.items():
        yield from (f"a letter is missing: {kind} {to} at {at}" for to, at in letters if (kind, to, at) not in seen)


def notice_faults(
    asked: Expected, ticks: Sequence[datetime], notices: Iterable[tuple[str, datetime, datetime | None]]
) -> Iterator[str]:
    """Compare the notices of what is long overdue: each noted once, and risen a day later, unread as they all are."""
    risen = {}
    for email, told_at, raised_at in notices:
        if (email, told_at) in risen:
            yield f"a notice stands twice: {email} {told_at}"
        risen[email, told_at] = raised_at
    yield from (f"a notice is missing: {key}" for key in asked.notices.keys() - risen.keys())
    yield from (f"a notice that nobody expected: {key}" for key in risen.keys() - asked.notices.keys())
    for (email, told_at), raised_at in risen.items():
        due = next((tick for tick in ticks if tick >= told_at + READ_WITHIN), None)
        if raised_at != due:
            yield f"a notice to {email} of {told_at} rose at {raised_at}, expected at {due}"


def lines_of(text: str) -> frozenset[Line]:
    """Return what a letter says of each item."""
    return frozenset(
        (label, datetime.strptime(day, "%d %B %Y").date(), 0 if today else int(ahead or f"-{overdue}"))  # noqa: DTZ007
        for label, day, today, ahead, overdue in _ITEM.findall(text)
    )


def homes_of(text: str) -> frozenset[str]:
    """Return the references of the homes that are new in an administrator's letter."""
    return frozenset(_REFERENCE.findall("".join(_NEW_HOMES.findall(text))))


def _day(value: object) -> date:
    return value if isinstance(value, date) else date.fromisoformat(str(value))
