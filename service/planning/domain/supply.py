"""A home's cars held to what the supply and each circuit can give in every half-hour.

Plans made apart are kept where they fit. Cars that take any half-hours on outlets of their own are otherwise planned
together, exactly (``supply_flow``). Where one of them is set to one run a night, or goes from outlet to outlet, cars
give way in turn until all fit: safe, and by how much it may be dearer is said.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from service.planning.domain.car_programmes import CarProgramme, CarSolution
from service.planning.domain.household_week import HouseholdWeek
from service.planning.domain.path_kernel import NP_PER_UP, Int64s, Window
from service.planning.domain.plans import Cause
from service.planning.domain.supply_flow import SupplyCar, share_supply


@dataclass(frozen=True)
class Fitted:
    """The cars' weeks within the supply; ``gap_up`` as ``HouseholdPlan`` has it."""

    cars: Sequence[CarSolution]
    gap_up: int | None


def within_supply(week: HouseholdWeek, cars: Sequence[CarSolution]) -> Fitted:
    """Return the cars' weeks, changed where together they would ask too much of the supply or a circuit."""
    limits = _Limits.of(week)
    if limits is None or limits.first_too_much(cars) is None:
        return Fitted(cars, 0)
    if all(_is_free(car) for car in cars):
        return Fitted(_together(week, cars, limits), 0)
    fitted = _give_way(week, list(cars), limits)
    unmet = sum(sum(car.unmet_wh) for car in fitted) - sum(sum(car.unmet_wh) for car in cars)
    dearer_np = _cost_np(week, fitted) - _cost_np(week, cars)
    return Fitted(fitted, None if unmet else max(0, -(-dearer_np // NP_PER_UP)))


@dataclass(frozen=True)
class _Limits:
    """What may be drawn in each half-hour: by all cars, and by those on each circuit."""

    headroom_wh: Int64s
    circuits_wh: dict[str, int]
    circuit_of: dict[str | None, str]

    @classmethod
    def of(cls, week: HouseholdWeek) -> _Limits | None:
        """Return the limits of a home; None where it has none that could bind."""
        if week.headroom_wh is None and not week.circuits_wh:
            return None
        options = [option for vehicle in week.vehicles for option in vehicle.options]
        headroom = np.full(week.prices.count, 2**40) if week.headroom_wh is None else np.array(week.headroom_wh)
        circuit_of = {option.outlet_id: option.circuit_id for option in options if option.circuit_id is not None}
        return cls(headroom.astype(np.int64), dict(week.circuits_wh), circuit_of)

    def first_too_much(self, cars: Sequence[CarSolution]) -> tuple[int, CarSolution] | None:
        """Return the first half-hour in which too much is asked, and the last of the cars that ask for it."""
        drawn: dict[int, list[tuple[CarSolution, int, str | None]]] = {}
        for car in cars:
            for slot, energy, outlet_id in zip(car.slots, car.energies_wh, car.outlet_ids, strict=True):
                drawn.setdefault(slot, []).append((car, energy, self.circuit_of.get(outlet_id)))
        for slot in sorted(drawn):
            if sum(energy for _, energy, _ in drawn[slot]) > self.headroom_wh[slot]:
                return slot, max((car for car, _, _ in drawn[slot]), key=_rank)
            for circuit, most_wh in self.circuits_wh.items():
                users = [(car, energy) for car, energy, own in drawn[slot] if own == circuit]
                if sum(energy for _, energy in users) > most_wh:
                    return slot, max((car for car, _ in users), key=_rank)
        return None


def _rank(car: CarSolution) -> tuple[bool, int]:
    """Return who gives way last: a car before an important journey, then the lower ordinal."""
    return not any(trip.is_important for trip in car.vehicle.trips), car.vehicle.ordinal


def _is_free(car: CarSolution) -> bool:
    return car.path.nights is None and car.path.start_loss_wh == 0 and len(car.open_outlet_ids()) < 2


def _outlet_of(car: CarSolution) -> str | None:
    """Return the one outlet of a car that goes to no other."""
    return next(iter(car.open_outlet_ids()), car.vehicle.outlet_id)


def _together(week: HouseholdWeek, cars: Sequence[CarSolution], limits: _Limits) -> list[CarSolution]:
    """Return the weeks of cars that take any half-hours, planned as one."""
    names = sorted(limits.circuits_wh)
    supply_cars = []
    for car in cars:
        circuit = limits.circuit_of.get(_outlet_of(car))
        supply_cars.append(
            SupplyCar(
                ordinal=car.vehicle.ordinal,
                lower_wh=car.path.lower_wh,
                upper_wh=car.path.upper_wh,
                windows=car.path.windows,
                circuit=names.index(circuit) if circuit in limits.circuits_wh else None,
                is_important=[each.trip is not None and each.trip.is_important for each in car.path.segments],
            )
        )
    circuits = [np.full(week.prices.count, limits.circuits_wh[name]) for name in names]
    plan = share_supply(week.prices.tables, supply_cars, limits.headroom_wh, circuits)
    fitted = []
    for car, draws in zip(cars, plan.cars, strict=True):
        outlet_id = _outlet_of(car)
        changed = replace(
            car,
            slots=list(draws.used_slot),
            energies_wh=list(draws.used_wh),
            outlet_ids=[outlet_id] * len(draws.used_slot),
            unmet_wh=list(draws.unmet_wh),
            most_wh=_most_wh(car, draws.unmet_wh),
        )
        fitted.append(_with_cause(changed, car.unmet_wh))
    return fitted


def _most_wh(car: CarSolution, unmet_wh: Sequence[int]) -> list[int]:
    """Return the upper bounds in terms of what is really charged, as ``path_kernel`` tightens them."""
    most, lacking = [], 0
    for upper, lower, short in zip(car.path.upper_wh, car.path.lower_wh, unmet_wh, strict=True):
        lacking += short
        most.append(max(0, upper, lower) - lacking)
    for position in range(len(most) - 2, -1, -1):
        most[position] = min(most[position], most[position + 1])
    return most


def _give_way(week: HouseholdWeek, cars: list[CarSolution], limits: _Limits) -> list[CarSolution]:
    """Return weeks that fit: whoever comes last where too much is asked leaves that half-hour to the others."""
    barred: dict[str, set[int]] = {}
    unmet_before_wh = {car.vehicle.vehicle_id: car.unmet_wh for car in cars}
    while (found := limits.first_too_much(cars)) is not None:
        slot, car = found
        mine = barred.setdefault(car.vehicle.vehicle_id, set())
        mine.add(slot)
        position = cars.index(car)
        fitted = _without_slots(week, car, mine)
        cars[position] = _with_cause(fitted, unmet_before_wh[car.vehicle.vehicle_id])
    return cars


def _without_slots(week: HouseholdWeek, car: CarSolution, barred: set[int]) -> CarSolution:
    programme = CarProgramme.of(week, next(each for each in week.vehicles if each.vehicle_id == car.vehicle.vehicle_id))
    windows = [part for group in car.path.windows for window in group for part in _cut(window, sorted(barred))]
    return programme.solution(programme.path(windows), car.outlet_of)


def _cut(window: Window, barred: Sequence[int]) -> list[Window]:
    first, end, cap = window
    parts = []
    for slot in barred:
        if first <= slot < end:
            parts.append((first, slot, cap))
            first = slot + 1
    return [part for part in [*parts, (first, end, cap)] if part[0] < part[1]]


def _with_cause(car: CarSolution, unmet_before_wh: Sequence[int]) -> CarSolution:
    """Return a car with the supply named as the first limit that could be lifted."""
    if not any(car.unmet_wh):
        return car
    lifted = tuple(each for each in car.without if each[0] is not Cause.SUPPLY_SHARED)
    return replace(car, without=((Cause.SUPPLY_SHARED, list(unmet_before_wh)), *lifted))


def _cost_np(week: HouseholdWeek, cars: Sequence[CarSolution]) -> int:
    price_up = week.prices.price_up
    return sum(
        price_up[slot] * energy for car in cars for slot, energy in zip(car.slots, car.energies_wh, strict=True)
    )
