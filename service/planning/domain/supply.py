"""A home's cars held to what the supply and each circuit can give in every half-hour.

Whoever charges in a half-hour does so at full current for some of it, and nobody here makes cars take turns within it:
so what counts is the full current of all that charge in it, not the energy they take. Plans made apart are kept where
they fit. Cars that take any half-hours on outlets of their own are otherwise planned together (``supply_flow``), with
the current of as many as may run at once; where that still puts too many into a half-hour, and for cars set to one run
a night, cars give way in turn until all fit. By how much the plan may be dearer than the best is said.
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
    limits = _Limits.of(week, cars)
    if limits is None or not limits.too_much(cars):
        return Fitted(cars, 0)
    # As half-hours may be shared here, no plan that fits can be better than this one.
    bound = _together(week, cars, limits) if all(_is_free(car) for car in cars) else list(cars)
    fitted = _give_way(week, bound, limits, cars)
    unmet = sum(sum(car.unmet_wh) for car in fitted) - sum(sum(car.unmet_wh) for car in bound)
    dearer_np = _cost_np(week, fitted) - _cost_np(week, bound)
    return Fitted(fitted, None if unmet else max(0, -(-dearer_np // NP_PER_UP)))


@dataclass(frozen=True)
class _Limits:
    """What all cars together may draw at full current in each half-hour, and what those on each circuit may.

    ``cap_wh`` is what an outlet gives a car in a full half-hour.
    """

    headroom_wh: Int64s
    circuits_wh: dict[str, int]
    circuit_of: dict[str | None, str]
    cap_wh: dict[tuple[str, str | None], int]

    @classmethod
    def of(cls, week: HouseholdWeek, cars: Sequence[CarSolution]) -> _Limits | None:
        """Return the limits of a home; None where it has none that could bind."""
        if week.headroom_wh is None and not week.circuits_wh:
            return None
        options = [(car.vehicle.vehicle_id, option) for car in cars for option in car.vehicle.options]
        headroom = np.full(week.prices.count, 2**40) if week.headroom_wh is None else np.array(week.headroom_wh)
        circuit_of = {option.outlet_id: option.circuit_id for _, option in options if option.circuit_id is not None}
        cap_wh = {(vehicle_id, option.outlet_id): option.cap_wh for vehicle_id, option in options}
        return cls(headroom.astype(np.int64), dict(week.circuits_wh), circuit_of, cap_wh)

    def too_much(self, cars: Sequence[CarSolution]) -> dict[str, set[int]]:
        """Return the half-hours in which too much is asked, each with the car that comes last in it."""
        present: dict[int, list[tuple[CarSolution, int, str | None]]] = {}
        for car in cars:
            for slot, outlet_id in zip(car.slots, car.outlet_ids, strict=True):
                cap_wh = self.cap_wh[car.vehicle.vehicle_id, outlet_id]
                present.setdefault(slot, []).append((car, cap_wh, self.circuit_of.get(outlet_id)))
        found: dict[str, set[int]] = {}
        for slot, users in present.items():
            limits = [(self.headroom_wh[slot], users)]
            limits += [(most, [user for user in users if user[2] == name]) for name, most in self.circuits_wh.items()]
            for most_wh, of_limit in limits:
                if sum(cap_wh for _, cap_wh, _ in of_limit) > most_wh:
                    last = max((car for car, _, _ in of_limit), key=_rank)
                    found.setdefault(last.vehicle.vehicle_id, set()).add(slot)
        return found

    def at_once(self, cars: Sequence[CarSolution]) -> tuple[Int64s, list[Int64s]]:
        """Return what as many of the cars as may run at once draw, under the supply and under each circuit by name."""
        caps = {car.vehicle.vehicle_id: self.cap_wh.get((car.vehicle.vehicle_id, _outlet_of(car)), 0) for car in cars}
        circuits = []
        for name, most_wh in sorted(self.circuits_wh.items()):
            own = [caps[car.vehicle.vehicle_id] for car in cars if self.circuit_of.get(_outlet_of(car)) == name]
            circuits.append(_largest_sum(own, np.full(len(self.headroom_wh), most_wh)))
        return _largest_sum(list(caps.values()), self.headroom_wh), circuits


def _largest_sum(caps: Sequence[int], most_wh: Int64s) -> Int64s:
    """Return in each half-hour the largest sum of some caps that is not above a limit."""
    sums = {0}
    for cap in caps:
        sums |= {each + cap for each in sums}
    ordered = np.array(sorted(sums), dtype=np.int64)
    return ordered[np.searchsorted(ordered, most_wh, side="right") - 1]


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
    headroom_wh, circuits = limits.at_once(cars)
    supply_cars = []
    for car in cars:
        circuit = limits.circuit_of.get(_outlet_of(car))
        cap_wh = limits.cap_wh.get((car.vehicle.vehicle_id, _outlet_of(car)), 0)
        too_small = np.flatnonzero(limits.headroom_wh < cap_wh).tolist()
        supply_cars.append(
            SupplyCar(
                ordinal=car.vehicle.ordinal,
                lower_wh=car.path.lower_wh,
                upper_wh=car.path.upper_wh,
                windows=[[part for window in group for part in _cut(window, too_small)] for group in car.path.windows],
                circuit=names.index(circuit) if circuit in limits.circuits_wh else None,
                is_important=[each.trip is not None and each.trip.is_important for each in car.path.segments],
            )
        )
    plan = share_supply(week.prices.tables, supply_cars, headroom_wh, circuits)
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


def _give_way(
    week: HouseholdWeek, cars: list[CarSolution], limits: _Limits, apart: Sequence[CarSolution]
) -> list[CarSolution]:
    """Return weeks that fit: whoever comes last where too much is asked leaves that half-hour to the others.

    ``apart`` are the weeks without these limits: what they lack, the supply is no cause of.
    """
    barred: dict[str, set[int]] = {}
    fitted = list(cars)
    while found := limits.too_much(fitted):
        for vehicle_id, slots in found.items():
            position = next(at for at, car in enumerate(fitted) if car.vehicle.vehicle_id == vehicle_id)
            mine = barred.setdefault(vehicle_id, set())
            mine |= slots
            changed = _without_slots(week, apart[position], mine)
            fitted[position] = _with_cause(changed, apart[position].unmet_wh)
    return fitted


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
