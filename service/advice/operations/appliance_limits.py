"""What the checks on appliances read of a home: fuse, the house's load, where and when cars charge, their circuits."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from datetime import datetime
from zoneinfo import ZoneInfo

import numpy as np

from service.advice.domain.appliance_checks import CarCircuit, HomeLimits
from service.advice.domain.appliances import HALF_HOURS_A_DAY
from service.common.errors import Rejected
from service.common.slots import local_walls, walls_of
from service.common.units import DECLARED_VOLTAGE_V
from service.households.domain.equipment import CircuitRunKind, OutletKind
from service.households.domain.homes import CarInputs, HomeInputs
from service.households.operations import CircuitView, list_circuits
from service.infrastructure.db.sessions import SchemeSession
from service.planning.domain.house_load import load_from_profile, load_from_readings
from service.planning.domain.price_book import LocalWeek
from service.planning.operations.gather import load_in_force
from service.planning.operations.runs import next_slot
from service.safety.domain.home_demand import SupplyDoubts
from service.safety.operations import get_demand

SHARED_RUNS = frozenset({CircuitRunKind.RING, CircuitRunKind.SPUR, CircuitRunKind.FUSED_SPUR})
"""A circuit with one of these has sockets on it as well."""


def load_limits(session: SchemeSession, home: HomeInputs, awake: tuple[bool, ...], *, at: datetime) -> HomeLimits:
    """Return what bounds an appliance at each half-hour of the local day, by the plan in force."""
    zone = ZoneInfo(home.zone)
    car_w, car_outlets = _charging(session, home, zone)
    demand = get_demand(session, home.id, SupplyDoubts())
    return HomeLimits(
        fuse_a=home.supply.fuse_a,
        load_w=_house_load_w(home, LocalWeek.at(next_slot(at), zone), zone),
        car_w=car_w,
        car_outlets=car_outlets,
        circuits=_circuits(home, list_circuits(session, home.id)),
        demand_a=demand.at_least_a if demand.demand_a is None else demand.demand_a,
        awake=awake,
    )


def _house_load_w(home: HomeInputs, week: LocalWeek, zone: ZoneInfo) -> tuple[int, ...] | None:
    """Return the highest load of the coming week by half-hour of the day; None where nobody said what the house uses.

    A typical home's yearly use is no knowledge of this one: it is not taken here.
    """
    horizon = range(week.day_slot, week.end_slot)
    try:
        if home.readings:
            load_w = load_from_readings(dict(home.readings), horizon, zone).load_w
        elif home.evening.yearly_kwh is not None:
            load_w = load_from_profile(home.evening.yearly_kwh, horizon, zone).load_w
        else:
            return None
    except Rejected:  # too few whole days read, or a zone that no profile tells of
        return None
    highest = [0] * HALF_HOURS_A_DAY
    places = local_walls(horizon.start, len(horizon), zone) % HALF_HOURS_A_DAY
    for place, watts in zip(places.tolist(), load_w, strict=True):
        highest[place] = max(highest[place], watts)
    return tuple(highest)


def _charging(
    session: SchemeSession, home: HomeInputs, zone: ZoneInfo
) -> tuple[tuple[int, ...], tuple[Mapping[str, int], ...]]:
    """Return the power of all cars on one phase and by outlet, at each half-hour in which any day's plan has them.

    A car counts with all it may draw, at each outlet it could use. Without a plan it could charge at any time.
    """
    in_force = load_in_force(session, [home.id]).get(home.id)
    planned = {str(row["vehicle_id"]): row["blocks"] for row in in_force.schedule} if in_force else {}
    total_w = [0] * HALF_HOURS_A_DAY
    outlets: list[dict[str, int]] = [defaultdict(int) for _ in range(HALF_HOURS_A_DAY)]
    for car in home.cars:
        watts = _most_a(home, car) * DECLARED_VOLTAGE_V
        for place in _places(planned.get(car.id), zone):
            total_w[place] += watts
            for outlet_id in (car.outlet_id, *car.other_outlet_ids):
                if outlet_id is not None:
                    outlets[place][outlet_id] += watts
    return tuple(total_w), tuple(dict(each) for each in outlets)


def _places(blocks: object, zone: ZoneInfo) -> Sequence[int]:
    """Return the half-hours of the day in which some blocks charge; all of them where there is no plan."""
    if not isinstance(blocks, list):
        return range(HALF_HOURS_A_DAY)
    slots = sorted({first + step for first, energies in blocks for step, wh in enumerate(energies) if wh})
    return sorted(set((walls_of(np.array(slots, dtype=np.int64), zone) % HALF_HOURS_A_DAY).tolist()))


def _most_a(home: HomeInputs, car: CarInputs) -> int:
    """Return the most that a car may draw on a phase at any outlet it could use [A]."""
    own = {car.outlet_id, *car.other_outlet_ids}
    limits = [outlet.limit_a for outlet in home.outlets if outlet.id in own]
    return min(car.onboard_limit_a, max(limits)) if limits else car.onboard_limit_a


def _circuits(home: HomeInputs, circuits: Sequence[CircuitView]) -> dict[str, CarCircuit]:
    """Return the circuit of each outlet, as far as it is recorded."""
    by_id = {circuit.id: circuit for circuit in circuits}
    found = {}
    for outlet in home.outlets:
        circuit = by_id.get(outlet.circuit_id or "")
        if circuit is None or not circuit.runs:
            continue
        runs = [run for run in circuit.runs if run.kind != CircuitRunKind.BOARD]
        devices = [run.device_a for run in runs]
        carries_a = None if not devices or None in devices else min(each for each in devices if each is not None)
        is_alone = sum(other.circuit_id == outlet.circuit_id for other in home.outlets) == 1
        is_own = (
            outlet.kind == OutletKind.CHARGING_POINT
            and is_alone
            and not any(run.kind in SHARED_RUNS for run in circuit.runs)
        )
        found[outlet.id] = CarCircuit(carries_a, is_own)
    return found
