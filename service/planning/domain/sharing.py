"""A home's cars together: who has which outlet in which turn, and what the supply can feed at once.

Cars that share no outlet are planned each for itself. Those that share are planned as one (``turns``), then all are
held to what the supply and each circuit can give (``supply``).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from service.common.slots import SLOTS_PER_PLAIN_DAY
from service.planning.domain.car_programmes import CarProgramme, CarSolution, solve_alone
from service.planning.domain.household_week import Control, HouseholdWeek, OutletOption
from service.planning.domain.openings import openings, relative_noons, turn_spans, within
from service.planning.domain.path_kernel import NP_PER_UP, PathBatch, PathPlans, Window
from service.planning.domain.plans import Turn, TurnReason
from service.planning.domain.run_kinds import cheapest_batch
from service.planning.domain.segments import VehiclePath
from service.planning.domain.supply import within_supply
from service.planning.domain.turns import NOBODY, Evaluate, SharedCar, SharedHome, TurnPlan, share_outlets, why_tonight

HALF_DAY_SLOTS: Final = SLOTS_PER_PLAIN_DAY // 2


@dataclass(frozen=True)
class HomeSolution:
    """What every car draws, by ordinal; ``turns`` and ``gap_up`` as ``HouseholdPlan`` has them."""

    cars: tuple[CarSolution, ...]
    turns: tuple[Turn, ...]
    gap_up: int | None


def solve_household(week: HouseholdWeek) -> HomeSolution:
    """Return the best week of a home's cars."""
    cars: list[CarSolution] = []
    turns: list[Turn] = []
    gap_up: int | None = 0
    for group in _groups(week):
        if len(group) == 1 and len(group[0].vehicle.options) < 2:
            cars.append(solve_alone(week, group[0].vehicle))
            continue
        shared = _Shared.of(week, group)
        solved = list(shared.solutions())
        cars += solved
        turns += shared.turns()
        gap_up = _added(gap_up, shared.gap_up(solved))
    cars.sort(key=lambda car: car.vehicle.ordinal)
    fitted = within_supply(week, cars)
    return HomeSolution(tuple(fitted.cars), tuple(turns), _added(gap_up, fitted.gap_up))


def _added(one: int | None, other: int | None) -> int | None:
    return None if one is None or other is None else one + other


def _groups(week: HouseholdWeek) -> list[list[CarProgramme]]:
    """Return the cars in groups that have outlets in common, each by ordinal."""
    groups: list[tuple[set[str | None], list[CarProgramme]]] = []
    for vehicle in week.in_order():
        outlets = {option.outlet_id for option in vehicle.options}
        joined = [CarProgramme.of(week, vehicle)]
        apart = []
        for others, cars in groups:
            if outlets & others:
                outlets, joined = outlets | others, [*cars, *joined]
            else:
                apart.append((others, cars))
        groups = [*apart, (outlets, joined)]
    return [cars for _, cars in groups]


@dataclass(frozen=True)
class _Shared:
    """Cars of one group, as ``turns`` takes them, and its answer."""

    week: HouseholdWeek
    cars: Sequence[CarProgramme]
    outlet_ids: Sequence[str | None]
    spans: Sequence[tuple[int, int]]
    home: SharedHome
    plan: TurnPlan
    is_relaxed: bool

    @classmethod
    def of(cls, week: HouseholdWeek, cars: Sequence[CarProgramme]) -> _Shared:
        """Share the outlets of a group."""
        outlet_ids = sorted({str(option.outlet_id) for car in cars for option in car.vehicle.options})
        spans = turn_spans(week)
        if len(outlet_ids) > 1 and any(car.vehicle.control is Control.ONE_RUN for car in cars):
            # With two outlets a car has thousands of sets of turns, and one run a night takes seconds over them.
            relaxed = cls._of(week, cars, outlet_ids, spans, is_relaxed=True)
            if sum(sum(car.unmet_wh) for car in relaxed.solutions()) <= relaxed.plan.objective.unmet_wh:
                return relaxed
        return cls._of(week, cars, outlet_ids, spans, is_relaxed=False)

    @classmethod
    def _of(
        cls,
        week: HouseholdWeek,
        cars: Sequence[CarProgramme],
        outlet_ids: Sequence[str | None],
        spans: Sequence[tuple[int, int]],
        *,
        is_relaxed: bool,
    ) -> _Shared:
        """Share the outlets; if relaxed as though every car took any half-hours."""
        home = _home(week, cars, outlet_ids, spans, is_any_ceiling=False, is_relaxed=is_relaxed)
        plan = share_outlets(home)
        if plan.objective.unmet_wh:
            # Rather above an everyday ceiling a night early than short on the day the outlet is another's.
            fuller = _home(week, cars, outlet_ids, spans, is_any_ceiling=True, is_relaxed=is_relaxed)
            better = share_outlets(fuller)
            if better.objective[:2] < plan.objective[:2]:
                home, plan = fuller, better
        return cls(week, cars, outlet_ids, spans, home, plan, is_relaxed)

    def gap_up(self, solved: Sequence[CarSolution]) -> int | None:
        """Return by how much another sharing might be cheaper [1e-6 p], None where it might leave less unmet.

        Turns are chosen as if no start were late, and between outlets as if any half-hours could be set; with what a
        late start loses and one run a night the cars' own weeks cost more.
        """
        bound = self.plan.bound
        if sum(sum(car.unmet_wh) for car in solved) > bound.unmet_wh:
            return None
        prices = self.week.prices.price_up
        cost_np = sum(prices[slot] * wh for car in solved for slot, wh in zip(car.slots, car.energies_wh, strict=True))
        if self.plan.is_proven and not self.is_relaxed and not any(car.path.start_loss_wh for car in solved):
            return 0
        return max(0, -(-(cost_np - bound.cost_np) // NP_PER_UP))

    def solutions(self) -> Iterator[CarSolution]:
        """Yield what each car draws in its turns."""
        for position, car in enumerate(self.cars):
            allowed: list[Window] = []
            outlet_of = [(0, car.vehicle.options[0].outlet_id)]
            for outlet_id, span in self._stretches(position):
                allowed += within(openings(self.week, _option(car, outlet_id)), [span])
                outlet_of.append((span[0], outlet_id))
            yield car.solution(car.path(allowed), outlet_of)

    def _stretches(self, position: int) -> list[tuple[str | None, tuple[int, int]]]:
        """Return where and when a car has an outlet; turns that follow each other there are one stretch."""
        stretches: list[tuple[str | None, tuple[int, int]]] = []
        for turn, (begins, ends) in enumerate(self.spans):
            for number, outlet_id in enumerate(self.outlet_ids):
                if self.plan.holders[turn][number] != position:
                    continue
                if stretches and stretches[-1][0] == outlet_id and stretches[-1][1][1] == begins:
                    begins = stretches.pop()[1][0]
                stretches.append((outlet_id, (begins, ends)))
        return stretches

    def turns(self) -> Iterator[Turn]:
        """Yield whose each outlet is in each turn, the next ones with the reason."""
        first, midnight = self.week.prices.first_slot, _coming_midnight(self.week)
        for turn, (begins, ends) in enumerate(self.spans):
            # Later turns are planned again before they come.
            is_tonight = begins <= midnight < ends
            reasons = why_tonight(self.home, self.plan, turn) if is_tonight else None
            for number, outlet_id in enumerate(self.outlet_ids):
                holder = self.plan.holders[turn][number]
                if holder == NOBODY or len(self.cars) < 2:
                    continue
                reason = None
                if reasons is not None:
                    extra = [(each.extra_important_unmet_wh, each.extra_unmet_wh, each.extra_cost_np)
                             for each in reasons[number].alternatives]  # fmt: skip
                    reason = _reason(min(extra, default=None))
                vehicle = self.cars[holder].vehicle
                yield Turn(first + begins, first + ends, str(outlet_id), vehicle.vehicle_id, reason)


def _coming_midnight(week: HouseholdWeek) -> int:
    """Return about the coming midnight, half a day from a noon; the start of the horizon where no noon is known."""
    noon = next(iter(relative_noons(week)), HALF_DAY_SLOTS)
    return noon - HALF_DAY_SLOTS if noon >= HALF_DAY_SLOTS else noon + HALF_DAY_SLOTS


def _reason(extra: tuple[int, int, int] | None) -> TurnReason:
    """Return what the best other use of a turn would be worse by; None: no other car could use it."""
    if extra is None:
        return TurnReason(is_only_one=True)
    important_wh, unmet_wh, cost_np = extra
    return TurnReason(
        is_only_one=False,
        important_unmet_wh=important_wh,
        unmet_wh=unmet_wh,
        cost_up=None if unmet_wh else cost_np // NP_PER_UP,
    )


def _option(car: CarProgramme, outlet_id: str | None) -> OutletOption:
    return next(option for option in car.vehicle.options if option.outlet_id == outlet_id)


def _home(
    week: HouseholdWeek,
    cars: Sequence[CarProgramme],
    outlet_ids: Sequence[str | None],
    spans: Sequence[tuple[int, int]],
    *,
    is_any_ceiling: bool,
    is_relaxed: bool,
) -> SharedHome:
    boundaries = [first for first, _ in spans[1:]]
    shared = [_shared_car(week, car, outlet_ids, is_any_ceiling, is_relaxed) for car in cars]
    return SharedHome(week.prices.tables, boundaries, len(outlet_ids), shared)


def _shared_car(
    week: HouseholdWeek, car: CarProgramme, outlet_ids: Sequence[str | None], is_any_ceiling: bool, is_relaxed: bool
) -> SharedCar:
    options = {option.outlet_id: option for option in car.vehicle.options}
    best = car.alone(car.best_option()) if options else car.path(())
    windows: list[list[list[Window]]] = [
        car.alone(options[outlet_id]).windows if outlet_id in options else [[] for _ in best.segments]
        for outlet_id in outlet_ids
    ]
    upper = _without_ceiling(best) if is_any_ceiling else best.upper_wh
    return SharedCar(
        ordinal=car.vehicle.ordinal,
        lower_wh=best.lower_wh,
        upper_wh=upper,
        windows=windows,
        is_important=[segment.trip is not None and segment.trip.is_important for segment in best.segments],
        evaluate=None if is_relaxed else _evaluate(week, best),
    )


def _without_ceiling(path: VehiclePath) -> list[int]:
    """Return upper bounds that let all later needs be charged at once, as far as the battery holds them."""
    upper, later = path.upper_wh.copy(), 0
    for position in range(len(upper) - 1, -1, -1):
        later = max(later, path.lower_wh[position])
        upper[position] = max(upper[position], min(later, path.most_wh[position]))
    return upper


def _evaluate(week: HouseholdWeek, path: VehiclePath) -> Evaluate | None:
    """Return how a car charges within its turns; None: in any half-hours."""
    if path.nights is None:
        return None
    tables, noons = week.prices.tables, np.array(relative_noons(week), dtype=np.int64)

    def evaluate(batch: PathBatch) -> PathPlans:
        stay = np.repeat(np.arange(len(batch.lower_wh)), np.diff(batch.window_offset))
        nights = stay * (len(noons) + 1) + np.searchsorted(noons, batch.window_first, side="right")
        return cheapest_batch(tables, batch, nights, 0)

    return evaluate
