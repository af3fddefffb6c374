"""What households announce."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class HouseholdChanged:
    """Something changed that a plan of the home depends on; plans from an older count are stale."""

    household_id: str
    change_counter: int


@dataclass(frozen=True)
class OutletsChanged:
    """What an inspection of some outlets rests on was recorded otherwise; ``change_ids`` are the rows that say so.

    ``was`` holds the circuit and the first day (ISO 8601) that the one outlet had, where its own record was edited.
    """

    household_id: str
    change_ids: Sequence[str]
    was: Mapping[str, str | None]
