"""What small changes to a home would be worth a year: an hour more there, more current, a bigger fuse, a full battery.

Each is planned anew by the same engine, one at a time; what a change would take to be done is not in the figure.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from enum import StrEnum
from typing import Any, Final

from service.common.working import Step
from service.households.domain.equipment import OutletControl, OutletKind
from service.planning.domain.car_week import CarWeek
from service.planning.domain.charging import PERMILLE, UsableCurrent
from service.planning.domain.home_week import HomeWeek
from service.planning.domain.household_week import HouseholdWeek, OutletOption
from service.planning.domain.plans import HouseholdPlan
from service.planning.domain.side_by_side import started_alike, worth_of_plans, year_step
from service.planning.domain.week import plan_household
from service.planning.domain.what_if import Changes, OtherOutlet, OtherSupply
from service.planning.domain.worth import Worth, one_hour_more_at_home, with_ceiling, with_vehicle

USUAL_STEPS_A: Final = (10, 16, 32)
"""Currents that outlets for cars are made for [A]: common practice, no source."""
USUAL_FUSES_A: Final = (60, 80, 100)
"""Cut-out fuses of homes [A]: common practice, no source."""

ChangedWeek = Callable[[Changes], HomeWeek]
"""Makes the home's week with something of the home changed."""


class WorthKind(StrEnum):
    """What is changed."""

    HOUR_MORE = "hour_more"
    MORE_CURRENT = "more_current"
    BIGGER_FUSE = "bigger_fuse"
    FULL_CEILING = "full_ceiling"


@dataclass(frozen=True, slots=True)
class WorthItem:
    """One change and what it is worth; ``label`` is the car's or outlet's, empty for the supply.

    ``before`` and ``after`` are amperes or per cent, None for an hour more; before more current, what is drawn now.
    """

    kind: WorthKind
    label: str
    before: int | None
    after: int | None
    worth: Worth
    working: tuple[Step, ...]


def worth_knowing(now: HomeWeek, changed_week: ChangedWeek) -> tuple[WorthItem, ...]:
    """Return what each change would be worth, in the order of cars and outlets.

    Changes that could make no difference are left out: current above what the car takes, a fuse that no two
    outlets share, a ceiling of 100 % already.
    """
    plan = plan_household(now.week)
    changes = (
        *_hours(now),
        *_currents(now, changed_week),
        *_fuses(now, changed_week),
        *_ceilings(now),
    )
    return tuple(_item(each, plan) for each in changes)


@dataclass(frozen=True, slots=True)
class _Change:
    kind: WorthKind
    label: str
    before: int | None
    after: int | None
    week: HouseholdWeek
    step: Step


def _item(change: _Change, now: HouseholdPlan) -> WorthItem:
    planned = plan_household(change.week)
    worth = worth_of_plans(now, planned)
    steps = (change.step, year_step(now, planned, worth))
    return WorthItem(change.kind, change.label, change.before, change.after, worth, steps)


def _hours(now: HomeWeek) -> Iterator[_Change]:
    for car in now.cars:
        if _may_charge(now, car) and car.solved.trips:
            week = with_vehicle(now.week, car.car.id, one_hour_more_at_home)
            step = _step("Back an hour earlier", {"car": car.car.label}, "each journey ends an hour earlier")
            yield _Change(WorthKind.HOUR_MORE, car.car.label, None, None, week, step)


def _currents(now: HomeWeek, changed_week: ChangedWeek) -> Iterator[_Change]:
    for outlet in now.home.outlets:
        is_socket = outlet.kind == OutletKind.SOCKET_13A
        # A 13 A socket carries 10 A for hours at most: its next step is a charging point.
        limit_a = USUAL_STEPS_A[-1] if is_socket else _next(USUAL_STEPS_A, outlet.limit_a)
        feeds = _feeds(now, outlet.id)
        if limit_a is None or not feeds:
            continue
        control = OutletControl.SCHEDULE if is_socket else outlet.control
        other = OtherOutlet(outlet.id, OutletKind.CHARGING_POINT, limit_a, outlet.phases, control)
        changed = changed_week(Changes(outlet=other))
        fed = _feeds(changed, outlet.id)
        if not any(car_id in fed and fed[car_id].cap_wh > current.cap_wh for car_id, current in feeds.items()):
            continue  # the car or its lead takes no more
        # What is drawn now may be less than the outlet could give: the lead or the car can hold it back.
        drawn_a = int(max(current.limit_a for current in feeds.values()))
        step = _step(
            "More current",
            {"outlet": outlet.label, "drawn now": f"{drawn_a} A", "changed to": f"charging point, {limit_a} A"},
            "as if the charging point were there and cleared: nothing is charged before an electrician's record",
        )
        week = started_alike(changed.week, now.week)
        yield _Change(WorthKind.MORE_CURRENT, outlet.label, drawn_a, limit_a, week, step)


def _feeds(week: HomeWeek, outlet_id: str) -> dict[str, UsableCurrent]:
    """Return the current of each car that may use an outlet now."""
    return {
        car.car.id: feed.current
        for car in week.cars
        for feed in (car.usual, *car.others)
        if feed.option.outlet_id == outlet_id and feed.current is not None and _is_usable(week, feed.option)
    }


def _may_charge(week: HomeWeek, car: CarWeek) -> bool:
    return any(_is_usable(week, option) for option in car.solved.options)


def _is_usable(week: HomeWeek, option: OutletOption) -> bool:
    return option.cap_wh > 0 and option.usable_until_slot > week.local.first_slot


def _fuses(now: HomeWeek, changed_week: ChangedWeek) -> Iterator[_Change]:
    supply = now.home.supply
    if now.week.headroom_wh is None or supply.fuse_a is None:
        return
    for fuse_a in (each for each in USUAL_FUSES_A if each > supply.fuse_a):
        changed = changed_week(Changes(supply=OtherSupply(fuse_a, supply.phases)))
        step = _step(
            "A bigger fuse",
            {"now": f"{supply.fuse_a} A", "changed to": f"{fuse_a} A"},
            "as if the network operator had agreed and changed it; several outlets share it with the house",
        )
        week = started_alike(changed.week, now.week)
        yield _Change(WorthKind.BIGGER_FUSE, "", supply.fuse_a, fuse_a, week, step)


def _ceilings(now: HomeWeek) -> Iterator[_Change]:
    for car in now.cars:
        if _may_charge(now, car) and car.car.ceiling_percent < 100:
            week = with_vehicle(now.week, car.car.id, lambda each: with_ceiling(each, PERMILLE))
            inputs = {"car": car.car.label, "now": f"{car.car.ceiling_percent} %", "changed to": "100 %"}
            step = _step("A ceiling of 100 %", inputs, "everyday charging may fill the battery")
            yield _Change(WorthKind.FULL_CEILING, car.car.label, car.car.ceiling_percent, 100, week, step)


def _next(steps: tuple[int, ...], limit_a: int) -> int | None:
    return next((each for each in steps if each > limit_a), None)


def _step(what: str, inputs: dict[str, Any], rule: str) -> Step:
    return Step(what, inputs, rule, "rule of this planner", "planned anew with this alone changed")
