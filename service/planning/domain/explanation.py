"""The working of a vehicle's plan, step by step, in words a member can check.

Built with every plan, so it is kept to a few short texts; times of day are left to the reader's
own clock.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from service.common.money import format_pence
from service.common.working import Step, Working
from service.planning.domain.household_week import VehicleWeek
from service.planning.domain.plans import Shortfall
from service.planning.domain.segments import VehiclePath

_OWN_RULE: Final = "rule of this planner"
_DEFINITION: Final = "definition: efficiency is battery energy over wall energy"


def explain(
    vehicle: VehicleWeek,
    path: VehiclePath,
    energy_wh: int,
    half_hours: int,
    cost_up: int,
    unpriced_wh: int,
    on_arrival_up: int,
    on_arrival_unpriced_wh: int,
    missing: Sequence[Shortfall],
) -> Working:
    """Return the working of one plan; energies at the wall [Wh], costs [1e-6 p]."""
    steps = [*vehicle.steps, _need(vehicle, path), _room(vehicle, path)]
    steps.append(_choice(energy_wh, half_hours, cost_up, unpriced_wh))
    steps.append(
        Step(
            what="Against charging at once on arrival",
            inputs={"energy": _kwh(energy_wh)},
            rule="the same energy in the earliest half-hours that the same limits allow",
            source=_OWN_RULE,
            result=_against(on_arrival_up, on_arrival_unpriced_wh, cost_up, unpriced_wh),
        )
    )
    if missing:
        steps.append(_short(missing))
    return Working(tuple(steps))


def _against(on_arrival_up: int, on_arrival_unpriced_wh: int, cost_up: int, unpriced_wh: int) -> str:
    """Say both costs, neither where part of its energy has no price: a part is not the whole."""
    on_arrival = "not known" if on_arrival_unpriced_wh else _pence(on_arrival_up)
    return f"{on_arrival} on arrival, {'not known' if unpriced_wh else _pence(cost_up)} as planned"


def _need(vehicle: VehicleWeek, path: VehiclePath) -> Step:
    trips = len(path.segments) - 1
    reserve, ceiling = vehicle.reserve_permille / 10, vehicle.ceiling_permille / 10
    return Step(
        what="Energy needed at the wall",
        inputs={
            "journeys": str(trips),
            "energy they and standing use from the battery"
            if vehicle.standby_w
            else "energy they use from the battery": _kwh(path.segments[-1].driven_wh),
            "in the battery at the start": _kwh(vehicle.start_charge_wh),
            "usable battery": _kwh(vehicle.battery_wh),
            "reserve": f"{reserve:g} %",
            "everyday ceiling": f"{ceiling:g} %",
            "efficiency": f"{vehicle.efficiency_permille / 1000:g}",
        },
        rule="before a departure the battery holds the journey and the reserve, at most a full battery; "
        "above the ceiling only for a journey that needs it; wall energy = battery energy / efficiency",
        source=_DEFINITION,
        result=f"at least {_kwh(max(0, *path.lower_wh))} by the end of the week in view",
    )


def _room(vehicle: VehicleWeek, path: VehiclePath) -> Step:
    at_home = sum(segment.end_slot - segment.first_slot for segment in path.segments)
    usable = sum(end - first for windows in path.windows for first, end, _ in windows)
    return Step(
        what="Half-hours that can be used",
        inputs={"whole half-hours at home": str(at_home), "most in one half-hour": _kwh(vehicle.cap_wh)},
        rule="wholly at home, wholly before the evidence for outlet and lead ends, outlet not serving another car",
        source=_OWN_RULE,
        result=f"{usable} half-hours",
    )


def _choice(energy_wh: int, half_hours: int, cost_up: int, unpriced_wh: int) -> Step:
    unpriced = f", and {_kwh(unpriced_wh)} at a price not known" if unpriced_wh else ""
    return Step(
        what="Cheapest plan",
        inputs={"half-hours chosen": str(half_hours)},
        rule="least shortfall first, then least cost, then the earlier of equal half-hours",
        source="minimum-cost flow on a path, solved in whole watt-hours and micro-pence",
        result=f"{_kwh(energy_wh)} for {_pence(cost_up)}{unpriced}",
    )


def _short(missing: Sequence[Shortfall]) -> Step:
    return Step(
        what="Shortfall",
        inputs={
            f"{shortfall.trip_key or 'end of the week in view'}, {shortfall.cause.value.replace('_', ' ')}": _kwh(
                shortfall.short_battery_wh
            )
            for shortfall in missing
        },
        rule="what no plan can put into the battery in time",
        source=_OWN_RULE,
        result=f"{_kwh(sum(shortfall.short_battery_wh for shortfall in missing))} short",
    )


def _kwh(energy_wh: int) -> str:
    return f"{energy_wh / 1000:.3f}".rstrip("0").rstrip(".") + " kWh"


def _pence(cost_up: int) -> str:
    return f"{format_pence(cost_up)} p"
