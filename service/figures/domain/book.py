"""A book of dated figures: the one that holds on a day, with where it comes from, or that it is not known."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum

from service.common.errors import Fault, Rejected
from service.common.working import Step


class Standing(StrEnum):
    """How sure a figure is."""

    PUBLISHED = "published"  # the publisher's own page was read, or one that quotes it
    TWO_SOURCES = "two_sources"  # two pages or more that do not quote each other agree
    FROM_MEMORY = "from_memory"
    ASSUMED = "assumed"  # own choice, common practice without a source
    OPERATOR = "operator"  # recorded by whoever runs the service


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure: ``value`` in ``unit`` from ``from_on`` to before ``until_on`` (None: until the next of its name)."""

    name: str
    key: str
    from_on: date
    until_on: date | None
    value: Decimal
    unit: str
    standing: str
    source: str

    @property
    def where_from(self) -> str:
        """Return the source as a working shows it, with how sure it is."""
        return f"{self.source} ({self.standing.replace('_', ' ')})"

    def step(self, what: str) -> Step:
        """Return the step of a working that says which figure was used."""
        return Step(
            what=what,
            inputs={},
            rule=f"the figure in force from {self.from_on.isoformat()}",
            source=self.where_from,
            result=f"{self.value.normalize():f} {self.unit}",
        )


class FigureNotKnown(Rejected):
    """No figure of that name holds on that day: somebody must say it, nobody guesses it."""

    def __init__(self, name: str, key: str, on: date) -> None:
        self.name, self.key, self.on = name, key, on
        words = name.replace("_", " ") + (f" ({key.replace('_', ' ')})" if key else "")
        super().__init__(
            Fault(name, on.isoformat(), f"no {words} is known for {on.isoformat()}: the operator must record it first")
        )


class FigureBook:
    """All figures, by name and key; of two from the same day the one that was given later holds."""

    def __init__(self, figures: Iterable[Figure]) -> None:
        rows: dict[tuple[str, str], dict[date, Figure]] = {}
        for figure in figures:
            rows.setdefault((figure.name, figure.key), {})[figure.from_on] = figure
        self._rows = {name: sorted(days.values(), key=lambda each: each.from_on) for name, days in rows.items()}

    def at(self, name: str, on: date, key: str = "") -> Figure:
        """Return the figure in force on a day; raises ``FigureNotKnown``."""
        found = self.find(name, on, key)
        if found is None:
            raise FigureNotKnown(name, key, on)
        return found

    def find(self, name: str, on: date, key: str = "") -> Figure | None:
        """Return the figure in force on a day, or None."""
        rows = self._rows.get((name, key), [])
        latest = next((row for row in reversed(rows) if row.from_on <= on), None)
        return None if latest is None or (latest.until_on is not None and on >= latest.until_on) else latest

    def before(self, figure: Figure) -> Figure | None:
        """Return the figure of the same name and key that ended where this one begins, or None."""
        return next((row for row in reversed(self.rows(figure.name, figure.key)) if row.from_on < figure.from_on), None)

    def rows(self, name: str, key: str = "") -> tuple[Figure, ...]:
        """Return all figures of a name and key, oldest first."""
        return tuple(self._rows.get((name, key), ()))

    def keys(self, name: str) -> tuple[str, ...]:
        """Return the keys that a name has, in order."""
        return tuple(sorted(key for each, key in self._rows if each == name))

    def all(self) -> tuple[Figure, ...]:
        """Return every figure, by name, key and day."""
        return tuple(row for _, rows in sorted(self._rows.items()) for row in rows)
