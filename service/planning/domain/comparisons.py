"""What other ways of charging would have cost in the same week: on arrival, in the cheapest hours only, not at all."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import Final

from service.common.money import round_half_up
from service.planning.domain.car_programmes import CarProgramme, CarSolution
from service.planning.domain.household_week import HouseholdWeek
from service.planning.domain.openings import relative_noons
from service.planning.domain.path_kernel import NP_PER_UP, Window, cheapest_path
from service.planning.domain.plans import Comparison

CHEAP_HALF_HOURS: Final = 10
"""Five cheap hours a night: common practice, no source."""


def cheapest_hours_only(week: HouseholdWeek, solution: CarSolution) -> Comparison:
    """Return the week of a car that charges in the five cheapest hours of each night and at no other time."""
    programme = _programme(week, solution)
    windows = [window for group in solution.path.windows for window in group]
    path = programme.path(_cheapest_of_each_night(windows, week))
    solved = cheapest_path(week.prices.tables, path.lower_wh, path.upper_wh, path.windows)
    slots, energies = solved.used_slot.tolist(), solved.used_wh.tolist()
    is_priced = all(week.prices.known[slot] for slot in slots)
    cost_np = sum(week.prices.price_up[slot] * energy for slot, energy in zip(slots, energies, strict=True))
    return Comparison(
        energy_wh=sum(energies),
        cost_up=round_half_up(cost_np, NP_PER_UP) if is_priced else None,
        short_wh=int(solved.unmet_wh.sum()),
    )


def short_without_charging(week: HouseholdWeek, solution: CarSolution) -> int:
    """Return what the journeys of the week lack where the car is not charged at home at all, at the wall [Wh]."""
    programme = _programme(week, solution)
    return sum(programme.least_unmet(programme.path(())))


def _programme(week: HouseholdWeek, solution: CarSolution) -> CarProgramme:
    return CarProgramme.of(week, next(car for car in week.vehicles if car.vehicle_id == solution.vehicle.vehicle_id))


def _cheapest_of_each_night(windows: Sequence[Window], week: HouseholdWeek) -> list[Window]:
    """Return the cheapest half-hours of each noon to noon among some windows, as windows."""
    edges = [0, *relative_noons(week), week.prices.count]
    cap_of = {slot: cap for first, end, cap in windows for slot in range(first, end)}
    kept: list[int] = []
    for first, end in pairwise(edges):
        at_home = [slot for slot in range(first, end) if slot in cap_of]
        kept += sorted(at_home, key=lambda slot: (week.prices.price_up[slot], slot))[:CHEAP_HALF_HOURS]
    return _joined(sorted(kept), cap_of)


def _joined(slots: Sequence[int], cap_of: Mapping[int, int]) -> list[Window]:
    """Return half-hours that follow each other at one cap as one window."""
    found: list[Window] = []
    for slot in slots:
        if found and found[-1][1] == slot and found[-1][2] == cap_of[slot]:
            found[-1] = (found[-1][0], slot + 1, found[-1][2])
        else:
            found.append((slot, slot + 1, cap_of[slot]))
    return found
