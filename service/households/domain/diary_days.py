"""The diary: miles driven on single days, as kept by the member or read in."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from service.common.errors import Fault, Rejected
from service.households.domain.ranges import in_range, of_decimals, refuse

DAY_MILES_MAX = 1500
"""Own bound: more than a car does in one day."""
DAYS_MAX = 400
"""Own bound on the days of one entry."""


@dataclass(frozen=True)
class DiaryEntry:
    """The miles of one local day; a day not driven has 0."""

    on: date
    miles: Decimal

    def __post_init__(self) -> None:
        refuse(in_range("miles", self.miles, 0, DAY_MILES_MAX, "miles"), of_decimals("miles", self.miles, 1))


def check_days(entries: Sequence[DiaryEntry], *, today: date) -> None:
    """Refuse days that are not over or stand twice, or too many at once; raises ``Rejected``."""
    if not 1 <= len(entries) <= DAYS_MAX:
        raise Rejected(Fault("days", len(entries), f"must be 1 to {DAYS_MAX} days"))
    refuse(_day_faults(entries, today))


def _day_faults(entries: Sequence[DiaryEntry], today: date) -> Iterator[Fault]:
    seen: set[date] = set()
    for position, entry in enumerate(entries):
        if entry.on > today:
            yield Fault(f"days.{position}.on", entry.on.isoformat(), "must not lie ahead")
        if entry.on in seen:
            yield Fault(f"days.{position}.on", entry.on.isoformat(), "is entered twice")
        seen.add(entry.on)
