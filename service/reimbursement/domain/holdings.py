"""Whose car it was on a day: an own car, or a company car (which one on salary sacrifice is, too)."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from service.reimbursement.domain.kinds import HeldAs


@dataclass(frozen=True)
class Holding:
    """From a day on a vehicle is held so, until the next holding of the same vehicle begins."""

    vehicle_id: str
    from_on: date
    held_as: HeldAs


def held_on(holdings: Iterable[Holding], vehicle_id: str, on: date) -> HeldAs | None:
    """Return how a vehicle was held on a day; None where nobody has said so: it is not guessed."""
    begun = [each for each in holdings if each.vehicle_id == vehicle_id and each.from_on <= on]
    return max(begun, key=lambda each: each.from_on).held_as if begun else None
