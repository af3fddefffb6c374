"""Builders of charging weeks: one car on a 10 A lead, at home from Monday 5 January 2026, 00:00 in London."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any

import numpy as np

from service.common.slots import slot_index
from service.planning.domain.household_week import HouseholdWeek, Trip, VehicleWeek, WeekPrices, week_prices

MONDAY = datetime(2026, 1, 5, tzinfo=UTC)
FIRST_SLOT = slot_index(MONDAY)
WEEK_SLOTS = 336

CAR = VehicleWeek(
    vehicle_id="car",
    ordinal=0,
    outlet_id="outlet",
    battery_wh=40_000,
    efficiency_permille=1000,
    cap_wh=1150,
    usable_until_slot=FIRST_SLOT + 10_000,
    ceiling_permille=800,
    reserve_permille=100,
    start_charge_wh=20_000,
)


def car(**changes: Any) -> VehicleWeek:
    """Return the car with some values changed."""
    return replace(CAR, **changes)


def at(day: int, clock: str) -> datetime:
    """Return a time of the week; day 0 is the Monday."""
    hour, minute = clock.split(":")
    return MONDAY + timedelta(days=day, hours=int(hour), minutes=int(minute))


def trip(day: int, leaves: str, returns: str, energy_wh: int, *, days_away: int = 0, key: str = "") -> Trip:
    """Return a trip; it ends ``days_away`` days later, on the next day if it returns before it leaves."""
    leaves_at, returns_at = at(day, leaves), at(day + days_away, returns)
    if returns_at < leaves_at:
        returns_at += timedelta(days=1)
    return Trip(key or f"trip {day} {leaves}", leaves_at, returns_at, energy_wh)


def two_band_prices(count: int = WEEK_SLOTS, first_slot: int = FIRST_SLOT, known: int | None = None) -> WeekPrices:
    """Return 10 p from 01:00 to 05:00 and 30 p otherwise; only the first ``known`` half-hours are known."""
    clock = (np.arange(first_slot, first_slot + count)) % 48
    price_up = np.where((clock >= 2) & (clock < 10), 10_000_000, 30_000_000)
    return week_prices(first_slot, price_up, np.arange(count) < (count if known is None else known))


def prices_of(pence: Sequence[float], first_slot: int = FIRST_SLOT) -> WeekPrices:
    """Return a horizon of just these half-hours [p/kWh]."""
    return week_prices(first_slot, [round(price * 1e6) for price in pence], [True] * len(pence))


def week_of(*vehicles: VehicleWeek, prices: WeekPrices | None = None) -> HouseholdWeek:
    """Return a household with these vehicles, on two bands unless prices are given."""
    return HouseholdWeek(prices or two_band_prices(), vehicles)
