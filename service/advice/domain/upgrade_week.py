"""What a planned week comes to, as a verdict on works needs it: money, energy at wall and battery, what is short."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import Any, Final

from service.common.money import format_pence, round_half_up
from service.common.slots import slot_start
from service.common.units import WH_PER_KWH
from service.common.working import Step
from service.planning.domain.charging import PERMILLE
from service.planning.domain.home_week import HomeWeek
from service.planning.domain.path_kernel import NP_PER_UP
from service.planning.domain.plans import HouseholdPlan
from service.planning.domain.side_by_side import PLANNER, side_of, started_alike
from service.planning.domain.week import plan_household

WEEK_RULE: Final = "the cheapest seven days that meet the departures, by the planner that makes the home's plan"


@dataclass(frozen=True, slots=True)
class WeekFigures:
    """Seven days: cost [1e-9 p] and energy without a price [Wh], energy at the wall and into batteries [Wh].

    ``short_wh`` is what journeys within the days lack, at the wall; ``short_battery_wh`` the same in the battery.
    """

    cost_np: int
    unpriced_wh: int
    wall_wh: int
    battery_wh: int
    short_wh: int
    short_battery_wh: int
    short_departures: int
    night_count: int

    def to_json(self) -> dict[str, Any]:
        """Return the figures as a value that json.dumps accepts."""
        return asdict(self)

    @classmethod
    def from_json(cls, value: Mapping[str, Any]) -> WeekFigures:
        """Return the figures that ``to_json`` wrote."""
        return cls(**value)

    def step(self, what: str) -> Step:
        """Return the step of a working that says what the week comes to."""
        cost = "cost not known" if self.unpriced_wh else f"{format_pence(round_half_up(self.cost_np, NP_PER_UP))} p"
        return Step(
            what,
            {"energy at the wall": _kwh(self.wall_wh), "into batteries": _kwh(self.battery_wh)},
            WEEK_RULE,
            PLANNER,
            f"{cost}, {_kwh(self.short_wh)} short",
        )


def week_figures(week: HomeWeek, like: HomeWeek | None = None) -> WeekFigures:
    """Plan a week and return what it comes to; with ``like`` its cars start charged as there."""
    solved = week.week if like is None else started_alike(week.week, like.week)
    plan = plan_household(solved)
    efficiency = {each.vehicle_id: each.efficiency_permille for each in solved.vehicles}
    into = sum(vehicle.energy_wh * efficiency[vehicle.vehicle_id] for vehicle in plan.vehicles)
    side = side_of(plan, solved)
    return WeekFigures(
        cost_np=sum(vehicle.cost_np for vehicle in plan.vehicles),
        unpriced_wh=sum(vehicle.unpriced_wh for vehicle in plan.vehicles),
        wall_wh=side.energy_wh,
        battery_wh=round_half_up(into, PERMILLE),
        short_wh=side.short_wh,
        short_battery_wh=_short_battery_wh(plan),
        short_departures=side.short_departures,
        night_count=side.night_count,
    )


def _short_battery_wh(plan: HouseholdPlan) -> int:
    """Return what is short in batteries within the seven days: a later departure is the next week's."""
    ends_at = slot_start(plan.end_slot)
    return sum(
        each.short_battery_wh for vehicle in plan.vehicles for each in vehicle.shortfalls if each.leaves_at <= ends_at
    )


def _kwh(energy_wh: int) -> str:
    return f"{energy_wh / WH_PER_KWH:g} kWh"
