"""What households announce."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class HouseholdChanged:
    """Something changed that a plan of the home depends on; plans from an older count are stale."""

    household_id: str
    change_counter: int
