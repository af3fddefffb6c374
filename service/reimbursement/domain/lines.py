"""What a claim is made of: lines with their parts, what stands in the way, and how all of it is frozen as JSON."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from typing import Any

from service.common.working import Step


class LineKind(StrEnum):
    """What a line of a claim is."""

    MILEAGE_ALLOWANCE = "mileage_allowance"  # own car
    ADVISORY_RATE = "advisory_rate"  # company car
    ACTUAL_COST = "actual_cost"  # company car, electricity at home as metered
    ADJUSTMENT = "adjustment"  # miles of the tax year that belong under the other rate
    CAP = "cap"  # what goes beyond the scheme's monthly cap
    REVERSAL = "reversal"  # of a line of the claim that this one corrects


OWN_CAR = frozenset({LineKind.MILEAGE_ALLOWANCE.value, LineKind.ADJUSTMENT.value})


@dataclass(frozen=True)
class Trip:
    """A business trip as it is reckoned."""

    id: str
    vehicle_id: str
    vehicle_label: str
    on_date: date
    origin: str
    destination: str
    reason: str
    miles: Decimal


@dataclass(frozen=True)
class Blocker:
    """Why a claim cannot be sent as it is: which trip, what is missing, and what to do about it."""

    trip_id: str | None
    on_date: date | None
    what: str
    rule: str

    def to_json(self) -> dict[str, Any]:
        """Return it as JSON holds it."""
        on = self.on_date.isoformat() if self.on_date else None
        return {"trip_id": self.trip_id, "on_date": on, "what": self.what, "rule": self.rule}


@dataclass(frozen=True)
class Part:
    """Miles at one rate [pence per mile]; ``is_first`` where they count towards the threshold of the tax year."""

    miles: Fraction
    rate_pence: Fraction
    is_first: bool = False

    @property
    def exact_pence(self) -> Fraction:
        """Return the exact amount."""
        return self.miles * self.rate_pence

    def to_json(self) -> dict[str, Any]:
        """Return it as JSON holds it."""
        return {
            "miles": plain(self.miles),
            "rate_pence": plain(self.rate_pence),
            "pence_exact": plain(self.exact_pence),
            "is_first": self.is_first,
        }


@dataclass(frozen=True)
class Line:
    """One line: ``exact_pence`` is what its parts come to, ``pence`` what it adds to the rounded total."""

    kind: LineKind
    trip: Trip | None
    miles: Decimal
    parts: tuple[Part, ...]
    exact_pence: Fraction
    pence: int
    text: str
    working: tuple[Step, ...]
    tax_year_from_on: date | None = None

    def to_json(self) -> dict[str, Any]:
        """Return it as a claim freezes it."""
        trip, year = self.trip, self.tax_year_from_on
        return {
            "kind": self.kind.value,
            "trip_id": trip.id if trip else None,
            "vehicle_id": trip.vehicle_id if trip else None,
            "vehicle_label": trip.vehicle_label if trip else "",
            "on_date": trip.on_date.isoformat() if trip else None,
            "reason": trip.reason if trip else "",
            "origin": trip.origin if trip else "",
            "destination": trip.destination if trip else "",
            "miles": plain(Fraction(self.miles)),
            "parts": [part.to_json() for part in self.parts],
            "pence_exact": plain(self.exact_pence),
            "pence": self.pence,
            "text": self.text,
            "working": [step.to_json() for step in self.working],
            "tax_year_from_on": year.isoformat() if year else None,
        }


def reversal(line: Mapping[str, Any]) -> dict[str, Any]:
    """Return the line that takes a frozen line back: the same trip, its miles and money with the other sign."""
    was = LineKind(line["kind"]).value.replace("_", " ")
    return {
        **line,
        "kind": LineKind.REVERSAL.value,
        "miles": _negated(line["miles"]),
        "parts": [],
        "pence_exact": _negated(line["pence_exact"]),
        "pence": -line["pence"],
        "text": f"takes back: {line['text'] or was}",
        "working": [],
    }


def plain(value: Fraction) -> str:
    """Return a number as plain decimals: all of them where they end within six, else rounded to six for reading.

    >>> plain(Fraction(21, 2)), plain(Fraction(1, 3)), plain(Fraction(-5))
    ('10.5', '0.333333', '-5')
    """
    millionths = round(value * 1_000_000)
    whole, rest = divmod(abs(millionths), 1_000_000)
    decimals = f".{rest:06d}".rstrip("0").rstrip(".")
    return f"{'-' if millionths < 0 else ''}{whole}{decimals}"


def _negated(text: str) -> str:
    return plain(-Fraction(text))
