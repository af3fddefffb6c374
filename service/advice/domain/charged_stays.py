"""What the same charging would have cost in the cheapest half-hours of the same time plugged in.

A car is taken to be plugged in from a record's start until it next leaves by its routine and journeys, for a day at
most, and to its record's end at least; records of one car within such a time are one stay.  No half-hour may take more
than the car drew at most in that stay, so another outlet or lead is never assumed.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

from service.advice.domain.charged_prices import PaidPrices
from service.common.slots import SLOT_S, slot_start
from service.households.domain.charging_records import Charged, slots_of

LONGEST_STAY: Final = timedelta(days=1)
"""Own choice: longer than that nobody knows that the car stood plugged in."""


@dataclass(frozen=True)
class Stay:
    """A time plugged in at home [starts_at, ends_at): what was drawn by half-hour, and what each could take."""

    vehicle_id: str
    starts_at: datetime
    ends_at: datetime
    drawn_wh: Mapping[int, int]
    cap_wh: Mapping[int, int]

    @property
    def energy_wh(self) -> int:
        """Return all that was drawn."""
        return sum(self.drawn_wh.values())


@dataclass(frozen=True, slots=True)
class StayCost:
    """What a stay cost and what its energy would have cost at the cheapest [1e-9 p]; None where a price is missing."""

    paid_np: int | None
    cheapest_np: int | None


def stays_of(records: Iterable[Charged], leaves: Mapping[str, Sequence[datetime]]) -> list[Stay]:
    """Return the stays of charging at home, by start.

    Parameters
    ----------
    records
        Of any cars, at home.
    leaves : mapping
        By car, when it leaves, in order.
    """
    found: list[Stay] = []
    of_car: dict[str, list[Charged]] = {}
    for record in sorted(records, key=lambda each: (each.starts_at, each.id)):
        of_car.setdefault(record.vehicle_id, []).append(record)
    for vehicle_id, own in of_car.items():
        group, ends_at = own[:1], _unplugged_at(own[0], leaves.get(vehicle_id, ()))
        for record in own[1:]:
            until = _unplugged_at(record, leaves.get(vehicle_id, ()))
            if record.starts_at < ends_at:
                group, ends_at = [*group, record], max(ends_at, until)
            else:
                found.append(_stay(vehicle_id, group, ends_at))
                group, ends_at = [record], until
        found.append(_stay(vehicle_id, group, ends_at))
    return sorted(found, key=lambda stay: (stay.starts_at, stay.vehicle_id))


def _unplugged_at(record: Charged, leaves: Sequence[datetime]) -> datetime:
    """Return until when the car is taken to stand plugged in."""
    until = record.starts_at + LONGEST_STAY
    next_leaves_at = next((at for at in leaves if at >= record.ends_at), until)
    return max(record.ends_at, min(next_leaves_at, until))


def _stay(vehicle_id: str, records: Sequence[Charged], ends_at: datetime) -> Stay:
    starts_at = records[0].starts_at
    drawn: dict[int, int] = {}
    for record in records:
        for slot, wh in record.by_slot():
            drawn[slot] = drawn.get(slot, 0) + wh
    full_wh = max(map(_full_half_hour_wh, records))
    cap = {
        slot: max(drawn.get(slot, 0), full_wh * _seconds_inside(slot, starts_at, ends_at) // SLOT_S)
        for slot in slots_of(starts_at, ends_at)
    }
    return Stay(vehicle_id, starts_at, ends_at, drawn, cap)


def _full_half_hour_wh(record: Charged) -> int:
    """Return the most that a whole half-hour took, rounded up where the record was spread over its time."""
    if record.half_hours:
        return max(wh for _, wh in record.half_hours)
    seconds = max(1, int((record.ends_at - record.starts_at).total_seconds()))
    return -(-record.energy_wh * SLOT_S // seconds)


def _seconds_inside(slot: int, starts_at: datetime, ends_at: datetime) -> int:
    inside = min(slot_start(slot + 1), ends_at) - max(slot_start(slot), starts_at)
    return int(inside.total_seconds())


def stay_cost(stay: Stay, prices: PaidPrices) -> StayCost:
    """Return what a stay cost and the least that its energy could have cost within it.

    Half-hours without a price are never filled. What was drawn is itself a way to fill the stay, so the least is never
    more than was paid where all that was drawn has a price.
    """
    paid = [(prices.price(slot), wh) for slot, wh in stay.drawn_wh.items() if wh]
    if any(price is None for price, _ in paid):
        return StayCost(None, None)
    paid_np = sum((price or 0) * wh for price, wh in paid)
    left_wh, cheapest_np = stay.energy_wh, 0
    known = [(price, slot) for slot in stay.cap_wh if (price := prices.price(slot)) is not None]
    for price, slot in sorted(known):
        taken_wh = min(left_wh, stay.cap_wh[slot])
        cheapest_np += price * taken_wh
        left_wh -= taken_wh
    return StayCost(paid_np, cheapest_np)
