"""An independent oracle: a one-vehicle week as a linear programme, solved by HiGHS in two phases.

Written from the rules, not from ``segments``: half-hour by half-hour, with fractions, and every
"what later departures force" as a plain maximum over pairs. First the least total shortfall, then
the least cost at that shortfall. Half-hours count as consecutive ones, so corners are whole numbers.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import datetime, timedelta
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import linprog

from service.common.slots import slot_start
from service.planning.domain.household_week import Trip, VehicleWeek, WeekPrices

HALF_HOUR = timedelta(minutes=30)
TIGHT = {"primal_feasibility_tolerance": 1e-10, "dual_feasibility_tolerance": 1e-10}


@dataclass(frozen=True)
class WeekProgramme:
    """Usable half-hours (relative), and for each deadline which of them count and between which bounds."""

    slots: list[int]
    counts: NDArray[np.bool_]  # shape (deadlines, slots)
    lower_wh: list[int]
    upper_wh: list[int]
    cap_wh: int


@dataclass(frozen=True)
class Optimum:
    """Least shortfall [Wh], least cost at it [p], and that cost from whole Wh [1e-9 p] if the corner was whole."""

    unmet_wh: int
    cost_p: float
    cost_np: int | None


def week_programme(vehicle: VehicleWeek, prices: WeekPrices) -> WeekProgramme:
    """Return the week of one vehicle that shares its outlet with nobody."""
    starts_at = slot_start(prices.first_slot)
    ends_at = slot_start(prices.end_slot)
    trips = sorted(vehicle.trips, key=lambda trip: (trip.leaves_at, trip.returns_at, trip.key))
    ahead = [trip for trip in trips if starts_at <= trip.leaves_at < ends_at]
    beyond = next((trip for trip in trips if trip.leaves_at >= ends_at), None)

    def is_usable(first_at: datetime) -> bool:
        away = (trip for trip in trips if trip.leaves_at < ends_at)
        at_home = all(first_at + HALF_HOUR <= trip.leaves_at or trip.returns_at <= first_at for trip in away)
        return at_home and first_at < slot_start(vehicle.usable_until_slot) and vehicle.outlet_id is not None

    slots = [slot for slot in range(prices.count) if is_usable(starts_at + slot * HALF_HOUR)]
    deadlines = [*(trip.leaves_at for trip in ahead), ends_at]
    counts = np.array(
        [[starts_at + (slot + 1) * HALF_HOUR <= deadline for slot in slots] for deadline in deadlines], dtype=bool
    ).reshape(len(deadlines), len(slots))
    lower, full, everyday = _levels(vehicle, ahead)
    if beyond is not None:
        deliverable, at = 0, ends_at
        while at + HALF_HOUR <= beyond.leaves_at:
            deliverable += vehicle.cap_wh if is_usable(at) else 0
            at += HALF_HOUR
        need = sum(_used(trip, vehicle) for trip in ahead) + _used(beyond, vehicle) + _reserve(vehicle)
        lower[-1] = min(full[-1], max(lower[-1], _up(need - vehicle.start_charge_wh, vehicle) - deliverable))
    lower = [bound // 100 * 100 for bound in lower]  # the rule: nobody pays for what is less than 100 Wh
    within = counts.sum(axis=1) * vehicle.cap_wh
    upper = []
    for position in range(len(deadlines)):
        forced = max(int(lower[later] - (within[later] - within[position])) for later in range(position, len(lower)))
        upper.append(max(min(full[position], max(everyday[position], forced)), 0, *lower[: position + 1]))
    return WeekProgramme(slots, counts, [max(bound, 0) for bound in lower], upper, vehicle.cap_wh)


def optimum(programme: WeekProgramme, price_up: NDArray[np.int64]) -> Optimum:
    """Return the two-phase optimum; prices in micro-pence per kWh, one for each half-hour of the horizon."""
    deadlines, slots = programme.counts.shape
    short = np.tril(np.ones((deadlines, deadlines)))  # what is short by a deadline is there for later ones
    rows = np.hstack([programme.counts.astype(float), short])
    limits = np.concatenate([np.array(programme.upper_wh), -np.array(programme.lower_wh)]).astype(float)
    bounds = [(0, programme.cap_wh)] * slots + [(0, None)] * deadlines
    amount = np.concatenate([np.zeros(slots), np.ones(deadlines)])
    first = linprog(amount, A_ub=np.vstack([rows, -rows]), b_ub=limits, bounds=bounds, method="highs", options=TIGHT)
    assert first.status == 0, first.message
    unmet = round(first.fun)
    assert abs(first.fun - unmet) < 1e-4, "the least shortfall of whole bounds is a whole number"
    if not slots:
        return Optimum(unmet, 0.0, 0)
    per_wh = np.concatenate([price_up[programme.slots] / 1e6, np.zeros(deadlines)])  # [1e-3 p/Wh]: near 1
    second = linprog(
        per_wh, A_ub=np.vstack([rows, -rows]), b_ub=limits, A_eq=amount[np.newaxis], b_eq=[float(unmet)],
        bounds=bounds, method="highs", options=TIGHT,
    )  # fmt: skip
    assert second.status == 0, second.message
    energy = np.rint(second.x[:slots]).astype(np.int64)
    is_whole = bool(np.abs(energy - second.x[:slots]).max() < 1e-5)
    whole = sum(int(price_up[slot]) * int(wh) for slot, wh in zip(programme.slots, energy, strict=True))
    return Optimum(unmet, second.fun / 1000, whole if is_whole else None)


def _levels(vehicle: VehicleWeek, ahead: list[Trip]) -> tuple[list[int], list[int], list[int]]:
    """Return, for each deadline, energy at the wall for the need, for a full battery, and for the everyday ceiling."""
    lower, full, everyday = [], [], []
    ceiling = math.floor(Fraction(vehicle.battery_wh * vehicle.ceiling_permille, 1000))
    for position in range(len(ahead) + 1):
        gone = sum(_used(trip, vehicle) for trip in ahead[:position]) - vehicle.start_charge_wh
        own = _used(ahead[position], vehicle) if position < len(ahead) else 0
        full.append(_down(gone + vehicle.battery_wh, vehicle))
        everyday.append(_down(gone + ceiling, vehicle))
        lower.append(min(_up(gone + own + _reserve(vehicle), vehicle), full[-1]))
    return lower, full, everyday


def _reserve(vehicle: VehicleWeek) -> int:
    return math.ceil(Fraction(vehicle.battery_wh * vehicle.reserve_permille, 1000))


def _used(trip: Trip, vehicle: VehicleWeek) -> int:
    """Return the battery energy of a trip that a full battery can give above the reserve."""
    return min(trip.energy_wh, vehicle.battery_wh - _reserve(vehicle))


def _up(battery_wh: int, vehicle: VehicleWeek) -> int:
    return math.ceil(Fraction(battery_wh * 1000, vehicle.efficiency_permille))


def _down(battery_wh: int, vehicle: VehicleWeek) -> int:
    return math.floor(Fraction(battery_wh * 1000, vehicle.efficiency_permille))
