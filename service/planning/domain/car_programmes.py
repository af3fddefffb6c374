"""One vehicle's week, solved: its limits, what it draws where, and what stays unmet with which limit lifted."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from service.planning.domain.household_week import Control, HouseholdWeek, OutletOption, VehicleWeek
from service.planning.domain.openings import openings, relative_noons
from service.planning.domain.path_kernel import PathPlans, Window, cheapest_path, least_unmet, path_batch
from service.planning.domain.plans import Cause
from service.planning.domain.run_kinds import cheapest_batch
from service.planning.domain.segments import Absence, VehiclePath, absences, vehicle_path

_NO_END = 2**60  # later than any slot


@dataclass(frozen=True, slots=True)
class CarSolution:
    """What a vehicle draws: ``slots`` relative to the horizon, ascending, each with its energy and outlet.

    ``unmet_wh`` has one entry for each departure; ``most_wh`` are the upper bounds as tightened. ``outlet_of`` lists
    (slot from which, outlet) in order. ``without`` lists
    limits as they are lifted one by one, with what is unmet then: who reads it finds the cause of a shortfall.
    """

    vehicle: VehicleWeek
    path: VehiclePath
    slots: list[int]
    energies_wh: list[int]
    outlet_ids: list[str | None]
    unmet_wh: list[int]
    most_wh: list[int]
    outlet_of: Sequence[tuple[int, str | None]]
    without: tuple[tuple[Cause, Sequence[int]], ...]

    def open_outlet_ids(self) -> set[str | None]:
        """Return every outlet at which it might charge, used or not."""
        starts = [first for first, _ in self.outlet_of]
        firsts = [first for windows in self.path.windows for first, _, _ in windows]
        return {self.outlet_of[bisect_right(starts, first) - 1][1] for first in firsts}


@dataclass(frozen=True)
class CarProgramme:
    """A vehicle with its absences, ready for any windows."""

    week: HouseholdWeek
    vehicle: VehicleWeek
    away: Sequence[Absence]

    @classmethod
    def of(cls, week: HouseholdWeek, vehicle: VehicleWeek) -> CarProgramme:
        """Return the programme of one vehicle of a household."""
        return cls(week, _careful(vehicle), absences(vehicle, week.prices))

    def path(self, allowed: Sequence[Window], usable_until_slot: int | None = None) -> VehiclePath:
        """Return bounds and windows where charging is allowed in some windows; a later end of evidence if asked."""
        until = max((option.usable_until_slot for option in self.vehicle.options), default=self.week.prices.first_slot)
        return vehicle_path(
            _at_its_best(self.vehicle),
            self.week.prices,
            self.away,
            usable_until_slot=until if usable_until_slot is None else usable_until_slot,
            allowed=allowed,
            noons=relative_noons(self.week),
        )

    def alone(self, option: OutletOption, *, is_endless: bool = False) -> VehiclePath:
        """Return the path on one outlet that it has to itself, if asked as if its evidence never ended."""
        until = _NO_END if is_endless else None
        return self.path(openings(self.week, option, usable_until_slot=until), until)

    def least_unmet(self, path: VehiclePath) -> list[int]:
        """Return the least unmet energy of each departure within a path's windows."""
        return least_unmet(path.lower_wh, path.upper_wh, path.capacities_wh())

    def limits_lifted(self, unmet_wh: Sequence[int]) -> tuple[tuple[Cause, Sequence[int]], ...]:
        """Return what stays unmet on the best of its outlets alone, and there without an end of the evidence."""
        if not any(unmet_wh) or not self.vehicle.options:
            return ()
        best = self.best_option()
        alone = self.alone(best)
        endless = self.alone(best, is_endless=True)
        return (Cause.OUTLET_SHARED, self._unmet_alone(alone)), (Cause.EVIDENCE_ENDS, self._unmet_alone(endless))

    def _unmet_alone(self, path: VehiclePath) -> Sequence[int]:
        """Return what stays unmet on a path as its outlet can be set."""
        unmet: list[int] = cheapest(path, self.week).unmet_wh.tolist()
        return unmet

    def best_option(self) -> OutletOption:
        """Return the outlet that gives most: the greatest cap of those that may be used now, then the longest."""
        first_slot = self.week.prices.first_slot
        return max(
            self.vehicle.options,
            key=lambda option: (option.usable_until_slot > first_slot, option.cap_wh, option.usable_until_slot),
        )

    def solution(self, path: VehiclePath, outlet_of: Sequence[tuple[int, str | None]]) -> CarSolution:
        """Solve a path; ``outlet_of`` lists (slot from which, outlet) in order."""
        solved = cheapest(path, self.week)
        slots: list[int] = solved.used_slot.tolist()
        unmet: list[int] = solved.unmet_wh.tolist()
        starts = [first for first, _ in outlet_of]
        where = [outlet_of[int(np.searchsorted(starts, slot, "right")) - 1][1] for slot in slots]
        return CarSolution(
            self.vehicle, path, slots, solved.used_wh.tolist(), where, unmet, solved.upper_wh.tolist(), outlet_of,
            self.limits_lifted(unmet),
        )


def solve_alone(week: HouseholdWeek, vehicle: VehicleWeek) -> CarSolution:
    """Return the best week of a vehicle that shares nothing: on its only outlet, or on none."""
    programme = CarProgramme.of(week, vehicle)
    options = vehicle.options
    path = programme.alone(options[0]) if options else programme.path(())
    return programme.solution(path, [(0, options[0].outlet_id if options else None)])


def cheapest(path: VehiclePath, week: HouseholdWeek) -> PathPlans:
    """Solve one path as its outlet can be set."""
    tables = week.prices.tables
    if path.nights is None and path.start_loss_wh == 0:
        return cheapest_path(tables, path.lower_wh, path.upper_wh, path.windows)
    batch = path_batch([(path.lower_wh, path.upper_wh, path.windows)])
    nights = None if path.nights is None else np.array([night for group in path.nights for night in group], np.int64)
    return cheapest_batch(tables, batch, nights, path.start_loss_wh)


def _careful(vehicle: VehicleWeek) -> VehicleWeek:
    """Return a vehicle as if all its outlets were like the worst of them where one plan has to fit them all.

    One run a night holds everywhere if it does anywhere, and so does the longest delay of a start.
    """
    options = vehicle.options
    if not options:
        return vehicle
    is_one_run = any(option.control is Control.ONE_RUN for option in options)
    return replace(
        vehicle,
        control=Control.ONE_RUN if is_one_run else Control.FREE,
        start_loss_wh=min(max(option.start_loss_wh for option in options), vehicle.cap_wh),
    )


def _at_its_best(vehicle: VehicleWeek) -> VehicleWeek:
    """Return a vehicle for its bounds: with the most that any outlet gives, and the most that any start loses.

    Its usual outlet may give nothing, or less than what a start at another loses.
    """
    if not vehicle.options:
        return vehicle
    return replace(
        vehicle,
        cap_wh=max(option.cap_wh for option in vehicle.options),
        start_loss_wh=max(option.start_loss_wh for option in vehicle.options),
    )
