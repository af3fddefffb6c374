"""Random one-vehicle weeks for proofs: dynamic and negative prices, clock changes, needs that cannot be met.

Trips touch, overlap, follow each other within a day, straddle both ends of the horizon and work
nights; evidence ends before, within and after the week. Everything follows from the generator given.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

from service.common.slots import instant_at, local_minutes, local_walls, slot_start
from service.planning.domain.charging import slot_cap_wh
from service.planning.domain.household_week import (
    HouseholdWeek,
    Trip,
    VehicleWeek,
    WeekPrices,
    horizon_slots,
    week_prices,
)

LONDON = ZoneInfo("Europe/London")
ADELAIDE = ZoneInfo("Australia/Adelaide")  # half an hour off whole hours, and summer in January

# Local days on which a horizon may begin: an ordinary week, and weeks that hold a clock change.
FIRST_DAYS = (
    (date(2026, 6, 10), LONDON),
    (date(2026, 3, 25), LONDON),
    (date(2026, 10, 22), LONDON),
    (date(2027, 1, 4), ADELAIDE),
    (date(2026, 4, 2), ADELAIDE),
    (date(2026, 10, 1), ADELAIDE),
)


@dataclass(frozen=True)
class RandomWeek:
    """A household's week; ``clock_change_slots`` is +2 where the clock goes forward in it, -2 where it goes back."""

    week: HouseholdWeek
    clock_change_slots: int


def random_week(rng: np.random.Generator, *, vehicles: int = 1) -> RandomWeek:
    """Return a household on one tariff; with several vehicles some share an outlet."""
    day, zone = FIRST_DAYS[rng.integers(len(FIRST_DAYS))]
    from_midnight = 0 if rng.random() < 0.6 else int(rng.integers(1, 24 * 60))
    slots = horizon_slots(instant_at(day, from_midnight, zone), zone)
    price_up = random_prices(rng, slots, zone)
    known = np.ones(len(slots), dtype=bool)
    if rng.random() < 0.2:
        known[int(rng.integers(0, len(slots))) :] = False
    prices = week_prices(slots.start, price_up, known)
    week = HouseholdWeek(prices, tuple(random_vehicle(rng, prices, ordinal) for ordinal in range(vehicles)))
    walls = local_walls(slots.start, len(slots), zone)
    return RandomWeek(week, int(walls[-1] - walls[0]) - (len(slots) - 1))


def random_prices(rng: np.random.Generator, slots: range, zone: ZoneInfo) -> NDArray[np.int64]:
    """Return prices in micro-pence per kWh: flat, two bands, or half-hourly, from coarse to fine, also below zero."""
    count = len(slots)
    kind = rng.integers(5)
    if kind == 0:
        return np.full(count, 24_130_000)
    if kind == 1:
        minutes = local_minutes(slots.start, count, zone)
        return np.where((minutes >= 30) & (minutes < 330), 8_110_000, 29_870_000)
    if kind == 2:  # whole pence, so many half-hours cost the same
        return rng.integers(-2, 12, count) * 1_000_000
    centre, spread = (21.0, 6.0) if kind == 3 else (9.0, 14.0)
    decimals = 2 if rng.random() < 0.7 else 6
    return np.rint(np.round(rng.normal(centre, spread, count), decimals) * 1e6).astype(np.int64)


def random_vehicle(rng: np.random.Generator, prices: WeekPrices, ordinal: int) -> VehicleWeek:
    """Return a vehicle with its trips, outlet and evidence."""
    battery = int(rng.integers(15_000, 100_001))
    amps, phases = int(rng.choice([6, 8, 10, 13, 16, 32])), int(rng.choice([1, 1, 1, 3]))
    outlook = rng.random()
    if outlook < 0.75:
        usable_until = prices.end_slot + int(rng.integers(0, 400))
    else:
        usable_until = prices.first_slot + int(rng.integers(-10, prices.count))
    has_outlet = rng.random() > 0.04
    reserve = int(rng.integers(0, 301))
    return VehicleWeek(
        vehicle_id=f"vehicle-{ordinal}",
        ordinal=ordinal,
        outlet_id=f"outlet-{ordinal // 2}" if has_outlet else None,
        battery_wh=battery,
        efficiency_permille=int(rng.choice([840, 900, 1000, int(rng.integers(700, 1001))])),
        cap_wh=slot_cap_wh(amps, phases) if has_outlet else 0,
        usable_until_slot=usable_until,
        ceiling_permille=int(rng.choice([1000, 800, int(rng.integers(300, 1001))])),
        reserve_permille=reserve,
        start_charge_wh=int(rng.integers(0, battery + 1)),
        trips=tuple(random_trips(rng, prices, battery)),
    )


def random_trips(rng: np.random.Generator, prices: WeekPrices, battery_wh: int) -> list[Trip]:
    """Return trips in no order: a routine by day or night, and some that come as they will."""
    starts_at = slot_start(prices.first_slot)
    trips = []
    hardship = float(rng.choice([0.15, 0.3, 0.6, 1.1]))

    def add(leaves_min: int, away_min: int) -> None:
        leaves_at = starts_at + timedelta(minutes=leaves_min)
        energy = int(rng.integers(0, int(battery_wh * hardship) + 1))
        trips.append(Trip(f"trip-{len(trips)}", leaves_at, leaves_at + timedelta(minutes=away_min), energy))

    style = rng.integers(4)
    if style < 2:
        leaves = 7 * 60 if style == 0 else 21 * 60 + 30  # night shift: back the next morning
        for day in range(-1, 10):
            if rng.random() < 0.8:
                add(day * 1440 + leaves + int(rng.integers(-90, 91)), int(rng.integers(60, 700)))
    if style != 0:
        for _ in range(int(rng.integers(0, 9))):
            add(int(rng.integers(-2000, 9 * 1440)), int(rng.choice([0, 5, 30, 240, 1500])))
    if trips and rng.random() < 0.3:  # one that leaves the moment another returns
        last = trips[int(rng.integers(len(trips)))]
        add(int((last.returns_at - starts_at).total_seconds()) // 60, 90)
    return [trips[position] for position in rng.permutation(len(trips))]
