"""From what is stored of a home to the week the planner solves, and what shows that nothing changed.

Two fingerprints: the terms (all that is asked of the planner, without the instant of asking)
and the inputs (the terms as solved from one half-hour on).  Equal terms need no new plan.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import ROUND_CEILING, Decimal
from typing import Any
from zoneinfo import ZoneInfo

from service.common.slots import local_of, slot_index, slot_start
from service.common.units import WH_PER_KWH
from service.common.working import Step
from service.households.domain.homes import CarInputs, HomeInputs, OutletInputs
from service.households.domain.trips import TripTimes, expand_legs
from service.planning.domain.charging import default_efficiency, usable_current
from service.planning.domain.fingerprint import fingerprint
from service.planning.domain.household_week import HouseholdWeek, Trip, VehicleWeek
from service.planning.domain.path_kernel import SOLVER_VERSION
from service.planning.domain.price_book import HomePrices, LocalWeek
from service.planning.domain.state_of_charge import (
    READING_LASTS_SLOTS,
    ChargeBasis,
    ChargeEstimate,
    ChargeReading,
    carry_forward,
)
from service.safety.domain.clearance import Clearance, OutletClearance
from service.safety.domain.lead_clearance import LeadClearance
from service.safety.domain.pair import PairVerdict, pair_verdict
from service.safety.domain.sign_reports import has_own_cable

DAYS_BEYOND = 3
"""Journeys are looked up this far past the week, so that its last night knows what the morning needs."""

USABLE = frozenset({Clearance.FIT_TO_USE, Clearance.USE_WITH_LIMITS})


@dataclass(frozen=True)
class StoredReading:
    """A state of charge as somebody entered it: exact, so that a correction is told from what it corrects."""

    percent: int
    read_at: datetime

    @property
    def slot(self) -> int:
        """Return the half-hour it was read in."""
        return slot_index(self.read_at)


@dataclass(frozen=True)
class PlannedBefore:
    """What the plan in force says of one vehicle: its charge at the plan's start, and its blocks."""

    first_slot: int
    start_wh: int
    basis: ChargeBasis
    reading: StoredReading | None
    efficiency_permille: int
    blocks: tuple[tuple[int, tuple[int, ...]], ...]

    def charged_wh(self) -> list[tuple[int, int]]:
        """Return (half-hour, energy into the battery [Wh])."""
        return [
            (first + step, wall_wh * self.efficiency_permille // 1000)
            for first, energies in self.blocks
            for step, wall_wh in enumerate(energies)
        ]


@dataclass(frozen=True)
class CarWeek:
    """A car as the plan shows it, beside what the solver sees; ``lead`` is None where it charges without one.

    ``pair`` says whether it draws more than its outlet may carry; None where outlet or lead allow no charging anyway.
    """

    car: CarInputs
    outlet: OutletInputs | None
    clearance: OutletClearance | None
    lead: LeadClearance | None
    pair: PairVerdict | None
    limit_a: Decimal | None
    estimate: ChargeEstimate
    reading: StoredReading | None
    solved: VehicleWeek
    trips: tuple[TripTimes, ...]


@dataclass(frozen=True)
class HomeWeek:
    """One home, ready to plan."""

    home: HomeInputs
    prices: HomePrices
    local: LocalWeek
    cars: tuple[CarWeek, ...]
    week: HouseholdWeek
    terms_fingerprint: str

    def input_fingerprint(self) -> str:
        """Return what would give this very plan again."""
        named = f"{self.home.id}/{self.terms_fingerprint}/{fingerprint(self.week)}"
        return hashlib.sha256(named.encode()).hexdigest()


def home_week(
    home: HomeInputs,
    prices: HomePrices,
    clearances: Sequence[OutletClearance],
    before: Mapping[str, PlannedBefore],
    *,
    as_of_slot: int,
    zone: ZoneInfo,
    leads: Sequence[LeadClearance] = (),
) -> HomeWeek:
    """Return the week of one home from a half-hour on.

    ``before`` holds, by vehicle, what the plan in force says; ``clearances`` and ``leads`` are what evidence
    says of outlets and leads at that half-hour.
    """
    local = LocalWeek.at(as_of_slot, zone)
    outlets = {outlet.id: outlet for outlet in home.outlets}
    cleared = {clearance.outlet_id: clearance for clearance in clearances}
    cleared_leads = {lead.lead_id: lead for lead in leads}
    cars = tuple(
        _car_week(car, outlets.get(car.outlet_id or ""), cleared, cleared_leads, before.get(car.id), local, zone)
        for car in sorted(home.cars, key=lambda car: car.ordinal)
    )
    week = HouseholdWeek(prices.week, tuple(car.solved for car in cars))
    return HomeWeek(home, prices, local, cars, week, _terms(home, prices, local, cars))


def _car_week(
    car: CarInputs,
    outlet: OutletInputs | None,
    cleared: Mapping[str, OutletClearance],
    cleared_leads: Mapping[str, LeadClearance],
    before: PlannedBefore | None,
    local: LocalWeek,
    zone: ZoneInfo,
) -> CarWeek:
    clearance = cleared.get(outlet.id) if outlet else None
    lead = None if car.lead is None or (outlet and has_own_cable(outlet)) else cleared_leads.get(car.lead.id)
    pair = _pair(car, outlet, clearance, lead)
    current = _current(car, outlet, clearance, lead, pair)
    reading = _reading(car, local.first_slot)
    since = [local.day_slot, *([before.first_slot] if before else []), *([reading.slot] if reading else [])]
    earliest = max(min(since), local.first_slot - READING_LASTS_SLOTS)
    trips = _trips(car, earliest, local, zone)
    efficiency = default_efficiency(_power_w(current), local.first_day)
    solver_trips = tuple(
        Trip(trip.key, trip.leaves_at, trip.returns_at, battery_wh(trip.miles, car.miles_per_kwh), trip.is_important)
        for trip in trips
    )
    estimate = _estimate(car, before, reading, solver_trips, local.first_slot)
    steps = (
        *((current.step,) if current else ()),
        *(lead.working.steps if lead and not lead.clearance.allows_charging else ()),
        *(_pair_steps(pair) if pair else ()),
        Step(
            "Efficiency",
            {"from": efficiency.from_on.isoformat()},
            "battery energy over wall energy, dated default",
            efficiency.source,
            f"{efficiency.permille / 1000:g}",
        ),
        _estimate_step(car, estimate),
    )
    solved = VehicleWeek(
        vehicle_id=car.id,
        ordinal=car.ordinal,
        outlet_id=outlet.id if outlet else None,
        battery_wh=car.battery_wh,
        efficiency_permille=efficiency.permille,
        cap_wh=current.cap_wh if current else 0,
        usable_until_slot=_usable_until(clearance, lead, local),
        ceiling_permille=car.ceiling_percent * 10,
        reserve_permille=car.reserve_percent * 10,
        start_charge_wh=estimate.charge_wh,
        trips=tuple(trip for trip in solver_trips if slot_index(trip.returns_at) >= local.first_slot),
        steps=steps,
    )
    limit_a = current.limit_a if current else None
    return CarWeek(car, outlet, clearance, lead, pair, limit_a, estimate, reading, solved, trips)


def battery_wh(miles: Decimal, miles_per_kwh: Decimal) -> int:
    """Return the battery energy that a distance takes, rounded up [Wh]."""
    return int((miles * WH_PER_KWH / miles_per_kwh).to_integral_value(ROUND_CEILING))


def _pair(
    car: CarInputs, outlet: OutletInputs | None, clearance: OutletClearance | None, lead: LeadClearance | None
) -> PairVerdict | None:
    """Return whether the car draws too much for its outlet, where outlet and lead allow charging."""
    if outlet is None or clearance is None or clearance.limit_a is None:
        return None
    if has_own_cable(outlet):
        return pair_verdict(outlet, None, car.onboard_limit_a, clearance.limit_a)
    if car.lead is None or (lead is not None and not lead.clearance.allows_charging):
        return None
    return pair_verdict(outlet, car.lead, car.onboard_limit_a, clearance.limit_a)


def _pair_steps(pair: PairVerdict) -> tuple[Step, ...]:
    return () if pair.allows_charging and not pair.words else pair.working.steps


def _current(
    car: CarInputs,
    outlet: OutletInputs | None,
    clearance: OutletClearance | None,
    lead: LeadClearance | None,
    pair: PairVerdict | None,
) -> Any:
    """Return the usable current; None where a part on the way is missing, not known, stopped or draws too much."""
    if outlet is None or (lead is not None and not lead.clearance.allows_charging):
        return None
    if pair is not None and not pair.allows_charging:
        return None
    limits: dict[str, Decimal | int | None] = {"outlet": outlet.limit_a}
    if not has_own_cable(outlet):
        limits["lead as set"] = car.lead.set_a if car.lead else None
    limits["car"] = car.onboard_limit_a
    if clearance is not None and clearance.limit_a is not None:
        limits["clearance"] = clearance.limit_a
    if pair is not None and pair.limit_a is not None and pair.set_to_a is not None:
        limits["setting in the photo"] = pair.limit_a
    return usable_current(
        limits, {"outlet": outlet.phases, "car": car.onboard_phases}, source="recorded limits of this home's equipment"
    )


def _reading(car: CarInputs, as_of_slot: int) -> StoredReading | None:
    """Return the car's reading unless there is none, or it is too old to mean anything."""
    if car.charge_percent is None or car.charge_read_at is None:
        return None
    reading = StoredReading(car.charge_percent, car.charge_read_at)
    return reading if as_of_slot - reading.slot <= READING_LASTS_SLOTS else None


def _power_w(current: Any) -> Decimal:
    # Without a known current the default of the slowest path applies; nothing is planned on it anyway.
    return current.limit_a * current.phases * 230 if current else Decimal(2300)


def _usable_until(clearance: OutletClearance | None, lead: LeadClearance | None, local: LocalWeek) -> int:
    if clearance is None or clearance.clearance not in USABLE:
        return local.first_slot
    # Past the week only so far as the planner looks: evidence for next year is no different from next month's.
    last = local.end_slot + 48 * DAYS_BEYOND
    ends = [each.valid_until for each in (clearance, lead) if each is not None and each.valid_until is not None]
    return max(local.first_slot, min([last, *map(slot_index, ends)]))


def _trips(car: CarInputs, earliest_slot: int, local: LocalWeek, zone: ZoneInfo) -> tuple[TripTimes, ...]:
    first_day = local_of(earliest_slot, zone).date()
    last_day = local.first_day + timedelta(days=7 + DAYS_BEYOND)
    return tuple(
        expand_legs(car.routine, car.journeys, zone=zone, first_day=first_day, day_count=(last_day - first_day).days)
    )


def _estimate(
    car: CarInputs, before: PlannedBefore | None, reading: StoredReading | None, trips: Sequence[Trip], as_of_slot: int
) -> ChargeEstimate:
    """Carry the charge forward from the newest of the reading and the plan in force."""
    start = ChargeReading(car.battery_wh * reading.percent // 100, reading.slot) if reading else None
    if reading and before and before.reading == reading and before.first_slot > reading.slot:
        # The plan in force already stands on this very reading: go on from where that plan started.
        start = ChargeReading(min(before.start_wh, car.battery_wh), before.first_slot, is_plan_start=True)
    found = carry_forward(
        start,
        as_of_slot=as_of_slot,
        used_wh=[_used(trip, start) for trip in trips],
        charged_wh=before.charged_wh() if before else (),
        battery_wh=car.battery_wh,
        reserve_wh=-(-car.battery_wh * car.reserve_percent // 100),
    )
    is_untouched = found.basis is ChargeBasis.READ and start is not None and start.is_plan_start
    return ChargeEstimate(found.charge_wh, before.basis) if is_untouched and before else found


def _used(trip: Trip, start: ChargeReading | None) -> tuple[int, int]:
    """Return (half-hour, battery energy) of a trip; of one under way at a reading, what is left of it."""
    leaves, returns = slot_index(trip.leaves_at), slot_index(trip.returns_at)
    if start is None or start.is_plan_start or not leaves < start.slot < returns:
        return leaves, trip.energy_wh
    return start.slot, -(-trip.energy_wh * (returns - start.slot) // (returns - leaves))


def _estimate_step(car: CarInputs, estimate: ChargeEstimate) -> Step:
    rules = {
        ChargeBasis.READ: "as last read",
        ChargeBasis.ESTIMATED: "last reading, plus planned charging, less journeys since",
        ChargeBasis.NOT_KNOWN: "not known: taken to stand at the reserve until a reading is entered",
    }
    read = "none" if car.charge_percent is None else f"{car.charge_percent} %"
    return Step(
        "Charge at the start",
        {"last reading": read},
        rules[estimate.basis],
        "rule of this planner",
        f"{estimate.charge_wh * 100 / car.battery_wh:.0f} % ({estimate.basis.value.replace('_', ' ')})",
    )


def _terms(home: HomeInputs, prices: HomePrices, local: LocalWeek, cars: Sequence[CarWeek]) -> str:
    terms = [
        SOLVER_VERSION,
        home.zone,
        local.day_slot,
        prices.day_digest,
        prices.tariff_name,
        list(prices.missing),
        [_car_terms(car, local) for car in cars],
    ]
    return hashlib.sha256(json.dumps(terms, separators=(",", ":")).encode()).hexdigest()


def _car_terms(week: CarWeek, local: LocalWeek) -> list[object]:
    solved, car = week.solved, week.car
    until = solved.usable_until_slot if week.clearance and week.clearance.clearance in USABLE else 0
    return [
        car.id,
        car.label,
        solved.ordinal,
        solved.outlet_id,
        week.outlet.label if week.outlet else None,
        solved.battery_wh,
        solved.efficiency_permille,
        solved.cap_wh,
        str(week.limit_a),
        until,
        week.lead.clearance.value if week.lead else None,
        week.pair.words if week.pair else None,
        solved.ceiling_permille,
        solved.reserve_permille,
        str(car.miles_per_kwh),
        car.charge_percent,
        car.charge_read_at.isoformat() if car.charge_read_at else None,
        [
            [
                trip.key,
                slot_index(trip.leaves_at),
                trip.leaves_at.minute,
                trip.returns_at.isoformat(),
                str(trip.miles),
                trip.is_important,
            ]
            for trip in week.trips
            if trip.returns_at > slot_start(local.day_slot)
        ],
    ]
