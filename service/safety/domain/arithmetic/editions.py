"""How far a rule may be trusted, and in which edition: a small dated table and the rule's own record.

BS 7671:2018+A4:2026 has been the edition in force since 15 October 2026. The rules here were read in pages
written to earlier amendments, so none of its rules is confirmed there yet, and such a rule cannot by itself
make an outlet fit to use. The rules themselves stand in ``rules``.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from typing import Final

from service.common.working import Step


class Mark(StrEnum):
    """Where a figure comes from."""

    PUBLISHED = "P"
    FROM_MEMORY = "M"
    DERIVED = "D"
    COMMON_PRACTICE = "CP"


@dataclass(frozen=True, slots=True)
class Edition:
    """One text of a standard, in force from ``from_on`` until ``until_on`` (exclusive; None: still)."""

    standard: str
    name: str
    from_on: date
    until_on: date | None
    source: str


WIRING: Final = "BS 7671"
SUPPLY_LAW: Final = "ESQCR"

EDITIONS: Final = (
    Edition(SUPPLY_LAW, "ESQCR 2002", date(2003, 1, 31), None, "a page citing the Regulations; start: from memory"),
    Edition(
        WIRING,
        "BS 7671:2018+A2:2022+A3:2024",
        date(2024, 7, 31),  # start from memory; nothing here is decided for an earlier day
        date(2026, 10, 15),
        "withdrawal on 15 October 2026: several pages on amendment 4; start: from memory",
    ),
    Edition(
        WIRING,
        "BS 7671:2018+A4:2026",
        date(2026, 10, 15),
        None,
        "published 15 April 2026, alone in force from 15 October 2026: several pages on amendment 4",
    ),
)


def edition_in_force(standard: str, on: date) -> Edition | None:
    """Return the edition of a standard in force on a day; None where that is not recorded."""
    return next(
        (
            edition
            for edition in EDITIONS
            if edition.standard == standard
            and edition.from_on <= on
            and (edition.until_on is None or on < edition.until_on)
        ),
        None,
    )


@dataclass(frozen=True, slots=True)
class Rule:
    """A rule with figures: its name, mark, the pages it was read in, and the editions these pages state.

    ``standard`` is "" for arithmetic, advice and common practice, which have no edition.
    """

    name: str
    mark: Mark
    source: str
    standard: str = ""
    read_in: str = ""
    confirmed_in: tuple[str, ...] = ()

    def is_confirmed_on(self, on: date) -> bool:
        """Tell whether the rule is confirmed in the edition in force on a day.

        Arithmetic has no edition and always stands. Advice without an edition, and what is from memory or
        common practice, never counts.
        """
        if self.mark is Mark.DERIVED:
            return not self.standard
        edition = edition_in_force(self.standard, on)
        return self.mark is Mark.PUBLISHED and edition is not None and edition.name in self.confirmed_in

    @property
    def cited(self) -> str:
        """Return the rule's source as a working shows it: name, pages, edition read, what is not confirmed."""
        if self.mark is Mark.COMMON_PRACTICE:
            return f"{self.name}: common practice, no source"
        if self.mark is Mark.FROM_MEMORY:
            return f"{self.name}: from memory, to be checked against the book"
        parts = [self.source, self.read_in and f"read in {self.read_in}", self._not_confirmed()]
        return f"{self.name} ({'; '.join(part for part in parts if part)})"

    def step(self, what: str, inputs: Mapping[str, str], rule: str, result: str) -> Step:
        """Return a step of a working under this rule."""
        return Step(what, inputs, rule, self.cited, result)

    def _not_confirmed(self) -> str:
        if not self.standard:
            return ""
        known = [edition for edition in EDITIONS if edition.standard == self.standard]
        if not known:
            return "edition not stated there"
        latest = max(known, key=lambda edition: edition.from_on)
        if latest.name in self.confirmed_in:
            return f"confirmed in {latest.name}"
        return f"not confirmed in {latest.name}, in force from {latest.from_on.isoformat()}"
