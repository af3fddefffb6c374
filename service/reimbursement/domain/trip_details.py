"""A business trip as it is entered, checked as it is put together."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from service.common.errors import Fault, Rejected
from service.households.domain.ranges import in_range, of_decimals, refuse, text_within

MILES_MAX = 1500
"""Own bound: more than a car does in one day."""
PLACE_LENGTH_MAX, REASON_LENGTH_MAX = 120, 200


@dataclass(frozen=True)
class TripDetails:
    """One trip: on which local day, from where to where, why, and how far [miles, one decimal]."""

    on_date: date
    origin: str
    destination: str
    reason: str
    miles: Decimal

    def __post_init__(self) -> None:
        refuse(
            text_within("origin", self.origin, PLACE_LENGTH_MAX, is_required=True),
            text_within("destination", self.destination, PLACE_LENGTH_MAX, is_required=True),
            text_within("reason", self.reason, REASON_LENGTH_MAX, is_required=True),
            _miles_faults(self.miles),
        )


def check_driven(trip: TripDetails, *, today: date) -> None:
    """Refuse a trip that lies ahead of the home's local day; raises ``Rejected``."""
    if trip.on_date > today:
        raise Rejected(Fault("on_date", trip.on_date.isoformat(), "must not lie ahead"))


def _miles_faults(miles: Decimal) -> Iterator[Fault]:
    yield from in_range("miles", miles, 0, MILES_MAX, "miles")
    yield from of_decimals("miles", miles, 1)
    if miles.is_finite() and not miles:
        yield Fault("miles", str(miles), "must be more than 0")
