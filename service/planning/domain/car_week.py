"""One car of a home, ready for the solver: which outlets feed it at what current, its charge, its journeys."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import ROUND_CEILING, Decimal
from math import gcd
from typing import Final
from zoneinfo import ZoneInfo

from service.common.slots import SLOT_S, local_of, slot_index
from service.common.units import WH_PER_KWH
from service.common.working import Step
from service.households.domain.equipment import OutletControl, OutletKind
from service.households.domain.homes import CarInputs, OutletInputs
from service.households.domain.trips import TripTimes, expand_legs
from service.planning.domain.charging import UsableCurrent, default_efficiency, usable_current
from service.planning.domain.household_week import Control, OutletOption, Trip, VehicleWeek
from service.planning.domain.need import careful_miles
from service.planning.domain.price_book import LocalWeek
from service.planning.domain.segments import NEED_STEP_WH
from service.planning.domain.state_of_charge import (
    READING_LASTS_SLOTS,
    ChargeBasis,
    ChargeEstimate,
    ChargeReading,
    carry_forward,
)
from service.safety.domain.clearance import Clearance, OutletClearance
from service.safety.domain.home_pairs import car_pair, lead_at
from service.safety.domain.lead_clearance import LeadClearance
from service.safety.domain.pair import PairVerdict
from service.safety.domain.sign_reports import has_own_cable

DAYS_BEYOND: Final = 3
"""Journeys are looked up this far past the week, so that its last night knows what the morning needs."""
USABLE: Final = frozenset({Clearance.FIT_TO_USE, Clearance.USE_WITH_LIMITS})
START_DELAY_S: Final = 600
"""A charging point may wait up to ten minutes at random before it starts, where nobody recorded another time.

The default of the smart charge point regulations of Great Britain (SI 2021/1467, schedule 1): from memory.
"""


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
class Feed:
    """A car at one outlet; ``lead`` is None where it charges without one, ``current`` where it may not charge there.

    ``pair`` says whether it draws more than the outlet may carry; None where outlet or lead allow no charging anyway.
    """

    outlet: OutletInputs | None
    clearance: OutletClearance | None
    lead: LeadClearance | None
    pair: PairVerdict | None
    current: UsableCurrent | None
    option: OutletOption


@dataclass(frozen=True)
class CarWeek:
    """A car as the plan shows it, beside what the solver sees: at its usual outlet, and at ``others`` it could use."""

    car: CarInputs
    usual: Feed
    others: tuple[Feed, ...]
    estimate: ChargeEstimate
    reading: StoredReading | None
    solved: VehicleWeek
    trips: tuple[TripTimes, ...]

    @property
    def outlet(self) -> OutletInputs | None:
        """Return the usual outlet."""
        return self.usual.outlet

    @property
    def clearance(self) -> OutletClearance | None:
        """Return what evidence says of the usual outlet."""
        return self.usual.clearance

    @property
    def lead(self) -> LeadClearance | None:
        """Return what evidence says of the lead used there."""
        return self.usual.lead

    @property
    def pair(self) -> PairVerdict | None:
        """Return whether the car draws too much there."""
        return self.usual.pair

    @property
    def limit_a(self) -> Decimal | None:
        """Return the current it may draw there, None where it may not charge."""
        return self.usual.current.limit_a if self.usual.current else None


@dataclass(frozen=True)
class CarSetting:
    """What a car's week is made from besides the car itself."""

    outlets: Mapping[str, OutletInputs]
    cleared: Mapping[str, OutletClearance]
    cleared_leads: Mapping[str, LeadClearance]
    quantile_permille: int
    local: LocalWeek
    zone: ZoneInfo


def car_week(car: CarInputs, setting: CarSetting, before: PlannedBefore | None) -> CarWeek:
    """Return the week of one car; ``before`` is what the plan in force says of it."""
    local, zone = setting.local, setting.zone
    usual = _feed(car, setting.outlets.get(car.outlet_id or ""), setting)
    others = tuple(
        _feed(car, setting.outlets[outlet_id], setting)
        for outlet_id in car.other_outlet_ids
        if outlet_id in setting.outlets and outlet_id != car.outlet_id
    )
    reading = _reading(car, local.first_slot)
    since = [local.day_slot, *([before.first_slot] if before else []), *([reading.slot] if reading else [])]
    earliest = max(min(since), local.first_slot - READING_LASTS_SLOTS)
    trips = _trips(car, earliest, local, zone)
    # One plan for all its outlets: what is needed at the wall follows the one that loses most.
    powers = [_power_w(feed.current) for feed in (usual, *others) if feed.current is not None]
    efficiency = default_efficiency(min(powers, default=_power_w(None)), local.first_day)
    solver_trips = tuple(_solver_trips(car, trips, setting))
    estimate = _estimate(car, before, reading, solver_trips, local.first_slot)
    steps = (
        *((usual.current.step,) if usual.current else ()),
        *(usual.lead.working.steps if usual.lead and not usual.lead.clearance.allows_charging else ()),
        *(_pair_steps(usual.pair) if usual.pair else ()),
        Step(
            "Efficiency",
            {"from": efficiency.from_on.isoformat()},
            "battery energy over wall energy, dated default",
            efficiency.source,
            f"{efficiency.permille / 1000:g}",
        ),
        _estimate_step(car, estimate),
        *((_standby_step(car),) if car.standby_w else ()),
    )
    option = usual.option
    solved = VehicleWeek(
        vehicle_id=car.id,
        ordinal=car.ordinal,
        outlet_id=option.outlet_id,
        battery_wh=car.battery_wh,
        efficiency_permille=efficiency.permille,
        cap_wh=option.cap_wh,
        usable_until_slot=option.usable_until_slot,
        ceiling_permille=car.ceiling_percent * 10,
        reserve_permille=car.reserve_percent * 10,
        start_charge_wh=estimate.charge_wh,
        trips=tuple(trip for trip in solver_trips if slot_index(trip.returns_at) >= local.first_slot),
        steps=steps,
        control=option.control,
        start_loss_wh=option.start_loss_wh,
        circuit_id=option.circuit_id,
        others=tuple(feed.option for feed in others),
        standby_w=car.standby_w,
        taper_permille=None if car.taper_from_percent is None else car.taper_from_percent * 10,
    )
    return CarWeek(car, usual, others, estimate, reading, solved, trips)


def _feed(car: CarInputs, outlet: OutletInputs | None, setting: CarSetting) -> Feed:
    clearance = setting.cleared.get(outlet.id) if outlet else None
    used = lead_at(car, outlet) if outlet is not None else car.lead
    lead = setting.cleared_leads.get(used.id) if used else None
    pair = car_pair(car, outlet, clearance, lead)
    current = _current(car, outlet, clearance, lead, pair)
    cap_wh = current.cap_wh if current else 0
    option = OutletOption(
        outlet_id=outlet.id if outlet else None,
        cap_wh=cap_wh,
        usable_until_slot=_usable_until(clearance, lead, setting.local),
        control=_control(outlet),
        start_loss_wh=_start_loss_wh(cap_wh, _start_delay_s(outlet)),
        circuit_id=outlet.circuit_id if outlet else None,
    )
    return Feed(outlet, clearance, lead, pair, current, option)


def _control(outlet: OutletInputs | None) -> Control:
    """Return how times are set: a socket has nothing that could follow a list of half-hours unless somebody says so."""
    if outlet is None or outlet.control == OutletControl.SCHEDULE:
        return Control.FREE
    is_socket = outlet.kind == OutletKind.SOCKET_13A
    return Control.ONE_RUN if is_socket or outlet.control == OutletControl.TIMER else Control.FREE


def _start_delay_s(outlet: OutletInputs | None) -> int:
    if outlet is None:
        return 0
    if outlet.start_delay_s is not None:
        return outlet.start_delay_s
    return 0 if outlet.kind == OutletKind.SOCKET_13A else START_DELAY_S


def _start_loss_wh(cap_wh: int, delay_s: int) -> int:
    """Return what the longest delay takes from a run, rounded up to a step that the solver gets through quickly."""
    step = gcd(cap_wh, NEED_STEP_WH) or 1
    return min(cap_wh, -(-cap_wh * delay_s // (SLOT_S * step)) * step)


def _solver_trips(car: CarInputs, trips: Sequence[TripTimes], setting: CarSetting) -> list[Trip]:
    """Return the trips with their energies; the first of a day carries what the diary says such a day may take."""
    found: list[Trip] = []
    of_day: dict[object, Decimal] = {}
    days = [local_of(slot_index(trip.leaves_at), setting.zone).date() for trip in trips]
    for day, trip in zip(days, trips, strict=True):
        of_day[day] = of_day.get(day, Decimal(0)) + trip.miles
    seen: set[object] = set()
    for day, trip in zip(days, trips, strict=True):
        careful_wh = 0
        if day not in seen and trip.key.startswith("routine:"):
            miles = careful_miles(car.diary, day, setting.quantile_permille)
            more = None if miles is None else miles - (of_day[day] - trip.miles)
            careful_wh = battery_wh(max(more, Decimal(0)), car.miles_per_kwh) if more is not None else 0
        seen.add(day)
        energy_wh = battery_wh(trip.miles, car.miles_per_kwh)
        found.append(Trip(trip.key, trip.leaves_at, trip.returns_at, energy_wh, trip.is_important, careful_wh))
    return found


def battery_wh(miles: Decimal, miles_per_kwh: Decimal) -> int:
    """Return the battery energy that a distance takes, rounded up [Wh]."""
    return int((miles * WH_PER_KWH / miles_per_kwh).to_integral_value(ROUND_CEILING))


def _pair_steps(pair: PairVerdict) -> tuple[Step, ...]:
    return () if pair.allows_charging and not pair.words else pair.working.steps


def _current(
    car: CarInputs,
    outlet: OutletInputs | None,
    clearance: OutletClearance | None,
    lead: LeadClearance | None,
    pair: PairVerdict | None,
) -> UsableCurrent | None:
    """Return the usable current; None where a part on the way is missing, not known, stopped or draws too much."""
    if outlet is None or (lead is not None and not lead.clearance.allows_charging):
        return None
    if pair is not None and not pair.allows_charging:
        return None
    limits: dict[str, Decimal | int | None] = {"outlet": outlet.limit_a}
    if not has_own_cable(outlet):
        used = lead_at(car, outlet)
        limits["lead as set"] = used.set_a if used else None
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


def _power_w(current: UsableCurrent | None) -> Decimal:
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
        standby_w=car.standby_w,
    )
    is_untouched = found.basis is ChargeBasis.READ and start is not None and start.is_plan_start
    return ChargeEstimate(found.charge_wh, before.basis) if is_untouched and before else found


def _used(trip: Trip, start: ChargeReading | None) -> tuple[int, int]:
    """Return (half-hour, battery energy) of a trip; of one under way at a reading, what is left of it."""
    leaves, returns = slot_index(trip.leaves_at), slot_index(trip.returns_at)
    if start is None or start.is_plan_start or not leaves < start.slot < returns:
        return leaves, trip.energy_wh
    return start.slot, -(-trip.energy_wh * (returns - start.slot) // (returns - leaves))


def _standby_step(car: CarInputs) -> Step:
    return Step(
        "Standby draw",
        {"on average": f"{car.standby_w} W"},
        "taken from the battery for as long as the car stands; also added to what it needs by each departure",
        "as entered for this car",
        f"{car.standby_w * 24 / WH_PER_KWH:g} kWh a day",
    )


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
