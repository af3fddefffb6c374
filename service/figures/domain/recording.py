"""A figure as the operator records it, held to the unit, the keys and the bounds of its name."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Final

from service.common.errors import Fault, Rejected
from service.figures.domain.book import Figure, Standing
from service.figures.domain.kinds import KINDS, FigureKind

DECIMALS_MAX: Final = 6
SOURCE_LENGTHS: Final = (3, 400)
FIRST_DAY: Final = date(2000, 1, 1)
"""Own bound: an earlier day is a slip of the century."""
LAST_DAY: Final = date(2100, 1, 1)

_CONTROL: Final = re.compile(r"[\x00-\x1f\x7f-\x9f\u2028\u2029\ud800-\udfff]")


@dataclass(frozen=True, slots=True)
class RecordedFigure(Figure):
    """A figure that somebody records; raises ``Rejected`` with everything that is wrong with it."""

    def __post_init__(self) -> None:
        faults = tuple(_faults(self))
        if faults:
            raise Rejected(*faults)


def _faults(figure: Figure) -> Iterator[Fault]:
    kind = KINDS.get(figure.name)
    if kind is None:
        yield Fault("name", figure.name, "must be one of " + ", ".join(KINDS))
    else:
        yield from _kind_faults(figure, kind)
    if figure.standing not in tuple(Standing):
        yield Fault("standing", figure.standing, "must be one of " + ", ".join(Standing))
    least, most = SOURCE_LENGTHS
    if not least <= len(figure.source.strip()) <= most or _CONTROL.search(figure.source):
        yield Fault("source", figure.source, f"must say in one line of {least} to {most} characters where it is from")
    yield from _day_faults(figure)


def _kind_faults(figure: Figure, kind: FigureKind) -> Iterator[Fault]:
    if figure.key not in kind.keys:
        listed = ", ".join(kind.keys)
        yield Fault("key", figure.key, f"must be one of {listed}" if listed else "must be empty")
    if figure.unit != kind.unit:
        yield Fault("unit", figure.unit, f"must be {kind.unit!r}")
    if not figure.value.is_finite() or not kind.least <= figure.value <= kind.most:
        yield Fault("value", str(figure.value), f"must lie between {kind.least} and {kind.most} {kind.unit}")
    elif figure.value != round(figure.value, DECIMALS_MAX):
        yield Fault("value", str(figure.value), f"must have at most {DECIMALS_MAX} decimals")


def _day_faults(figure: Figure) -> Iterator[Fault]:
    for field, day in (("from_on", figure.from_on), ("until_on", figure.until_on)):
        if day is not None and not FIRST_DAY <= day <= LAST_DAY:
            yield Fault(field, day.isoformat(), f"must lie between {FIRST_DAY} and {LAST_DAY}")
    if figure.until_on is not None and figure.until_on <= figure.from_on:
        yield Fault("until_on", figure.until_on.isoformat(), "must lie after the day the figure holds from")
