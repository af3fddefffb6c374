"""The checks that values of a home share: a number in a range, a text of some length, a known word.

Each yields the faults it finds, so that a constructor can name all of them at once.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from decimal import Decimal
from enum import StrEnum
from typing import Any, TypeVar

from service.common.errors import Fault, Rejected

LABEL_LENGTH_MAX = 80
PHASES = (1, 3)

Built = TypeVar("Built")


def refuse(*checks: Iterable[Fault]) -> None:
    """Raise ``Rejected`` with every fault that the checks yield, if there is one."""
    faults = tuple(fault for check in checks for fault in check)
    if faults:
        raise Rejected(*faults)


def in_range(field: str, value: int | Decimal, low: int, high: int, unit: str) -> Iterator[Fault]:
    """Yield a fault unless low <= value <= high."""
    is_number = value.is_finite() if isinstance(value, Decimal) else True
    if not is_number or not low <= value <= high:
        yield Fault(field, str(value), f"must lie between {low} and {high} {unit}".rstrip())


def of_decimals(field: str, value: Decimal, decimals: int) -> Iterator[Fault]:
    """Yield a fault if the value has more decimals than are kept."""
    if value.is_finite() and value != round(value, decimals):
        yield Fault(field, str(value), f"must have at most {decimals} decimal{'s' if decimals > 1 else ''}")


def of_phases(field: str, value: int) -> Iterator[Fault]:
    """Yield a fault unless the value is one phase or three."""
    if value not in PHASES:
        yield Fault(field, value, "must be 1 or 3")


def text_within(field: str, text: str | None, longest: int, *, is_required: bool = False) -> Iterator[Fault]:
    """Yield a fault if a text is too long or, where it is required, blank; None passes unless required."""
    size = len(text.strip()) if text is not None else 0
    if is_required and not size:
        yield Fault(field, text, "must not be empty")
    elif text is not None and len(text) > longest:
        yield Fault(field, text, f"must have at most {longest} characters")


def known_word(field: str, word: str, words: type[StrEnum]) -> Iterator[Fault]:
    """Yield a fault unless the word is one of the list's."""
    if word not in [member.value for member in words]:
        yield Fault(field, word, "must be one of: " + ", ".join(member.value for member in words))


def build_each(field: str, values: Iterable[Mapping[str, Any]], build: Callable[..., Built]) -> tuple[Built, ...]:
    """Build a value from each mapping; faults of all of them are named under ``field.<position>``.

    Raises ``Rejected`` if any of them breaks a rule.
    """
    found: list[Built] = []
    faults: list[Fault] = []
    for position, value in enumerate(values):
        try:
            found.append(build(**value))
        except Rejected as error:
            faults.extend(fault.under(f"{field}.{position}") for fault in error.faults)
    refuse(faults)
    return tuple(found)
