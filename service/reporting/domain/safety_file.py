"""The safety file of one home as values: parts with facts and tables of text, for screen, print and PDF alike.

Every word that is read stands here or is put here by ``operations``; the page, the print sheet and the PDF
only set it. A file is made of what was known at its instant, and holds nothing of when it was made: the same
instant gives the same file.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any, Final
from zoneinfo import ZoneInfo

MOST_ROWS: Final = 300
"""Rows of one table; further ones are counted, and the newest are those that stay. Own bound."""

NOT_KNOWN: Final = "not known"
_NAME: Final = re.compile(r"[a-z0-9]+(_[a-z0-9]+)+")  # a word of a closed list, as it is stored

IS_NOT: Final = (
    "This file sets out what people recorded in this service and what the service's rules made of it. It is not an "
    "inspection, a test, a certificate or advice by an electrician. Nobody here verified an electrician's competence: "
    "it is recorded as stated. A record says that somebody recorded it, not that it is true."
)
LIMITS: Final = (
    "Each record counts from the instant it was recorded, accepted, withdrawn or superseded, so a file as at a past "
    "instant leaves out what came in later.",
    "Details of the home, its supply, circuits, outlets and leads keep no history of their values. They stand here as "
    "they are recorded now; an edit made after the file's instant is named with its fields and its time, and clearance "
    "as at the instant was derived with the details as they are now.",
    "Dates of rechecks are derived here from the evidence known at the instant, not read from the list of rechecks, "
    "which is brought up to date as evidence comes in.",
    "Names of people are those their accounts carry now. A person whose data was erased appears as an id.",
    "Clearance is derived by the rules and editions named in its working as the service holds them now; each change of "
    "clearance and each answer shown keeps the words it had at the time.",
    "Photos and documents are named by what they hold (a hash); they are kept beside this file, not inside it.",
)

_WRITTEN_DAY: Final = re.compile(r"(?<![\w-])\d{4}-\d{2}-\d{2}(?![\w-])")
_UNITS: Final = {
    "a": "A", "ma": "mA", "ms": "ms", "s": "s", "m": "m", "mm2": "mm²", "v": "V", "w": "W", "ohm": "Ω", "mohm": "MΩ",
    "c": "°C", "percent": "%", "pence": "p",
}


@dataclass(frozen=True)
class Table:
    """Rows of text under heads; ``total`` counts those held back too."""

    title: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    total: int
    empty: str = "Nothing is recorded."

    @property
    def held_back(self) -> int:
        """How many rows are counted and not listed."""
        return self.total - len(self.rows)


@dataclass(frozen=True)
class Part:
    """One part of the file under its heading."""

    name: str
    title: str
    notes: tuple[str, ...] = ()
    facts: tuple[tuple[str, str], ...] = ()
    tables: tuple[Table, ...] = ()


@dataclass(frozen=True)
class SafetyFile:
    """All that is known of one home's safety at an instant."""

    household_id: str
    reference: str
    title: str
    at: datetime
    as_at: str
    zone: str
    is_not: str
    parts: tuple[Part, ...]
    limits: tuple[str, ...]


def table(title: str, heads: Sequence[str], rows: Iterable[Sequence[object]], *, empty: str = "") -> Table:
    """Return a table of rows that stand in time order, the newest ``MOST_ROWS`` of them."""
    every = [tuple(words(cell) for cell in row) for row in rows]
    return Table(title, tuple(heads), tuple(every[-MOST_ROWS:]), len(every), empty or "Nothing is recorded.")


def words(value: object) -> str:
    """Return a stored value as a person reads it; nothing stored is "not known", never a pass."""
    if value is None or value == "":
        return NOT_KNOWN
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, date) and not isinstance(value, datetime):
        return f"{value.day} {value:%b %Y}"
    if isinstance(value, datetime):
        raise TypeError("an instant is written in its home's zone: use stamp()")
    if isinstance(value, dict) and set(value) == {"value", "not_tested_because"}:
        reason = value["not_tested_because"]
        return f"not tested, because {reason}" if reason else words(value["value"])
    if isinstance(value, dict):
        return "; ".join(f"{named(name)}: {words(of)}" for name, of in value.items()) or "none"
    if isinstance(value, list | tuple):
        return ", ".join(words(of) for of in value) or "none"
    text = str(value)
    return readable(text) if _NAME.fullmatch(text) else _WRITTEN_DAY.sub(_day_in_words, text)


def _day_in_words(found: re.Match[str]) -> str:
    try:
        return words(date.fromisoformat(found[0]))
    except ValueError:  # not a day, whatever it looks like
        return found[0]


def readable(name: object) -> str:
    """Return a stored name ("use_with_limits") in words.

    >>> readable("use_with_limits")
    'use with limits'
    """
    return str(name).replace("_", " ") if name else NOT_KNOWN


def named(name: str) -> str:
    """Return the name of an input in words, its unit in brackets.

    >>> named("limit_a"), named("inspected_on")
    ('limit [A]', 'inspected on')
    """
    stem, _, unit = name.rpartition("_")
    return f"{readable(stem)} [{_UNITS[unit]}]" if stem and unit in _UNITS else readable(name)


def stamp(instant: datetime | None, zone: ZoneInfo, *, missing: str = "") -> str:
    """Return an instant on the home's clock, to the second, with the clock's name; "" (or other words) for none."""
    if instant is None:
        return missing
    local = instant.astimezone(zone)
    return f"{local.day} {local:%b %Y %H:%M:%S %Z}"


def steps_text(steps: Iterable[dict[str, Any]]) -> str:
    """Return a kept working in one run of text, step by step."""
    return " | ".join(
        f"{step['what']}: {step['result']} ("
        + "; ".join([*(f"{named(name)} {value}" for name, value in step["inputs"].items()), f"rule: {step['rule']}"])
        + f"; source: {step['source']})"
        for step in steps
    )
