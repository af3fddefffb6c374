"""Whether an appliance may run at a half-hour of the day: awake, never unattended, and within circuit and supply.

Nothing here certifies anything. What is not known is never a pass: without the fuse or the house's load no time is
suggested, and where a car charges at an outlet whose circuit is not known, none of its half-hours is.  A half-hour's
average hides its peaks, so a part of the fuse stays free, as the planner keeps it where two cars charge at once.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from enum import StrEnum
from typing import Final

from service.advice.domain.appliances import HALF_HOURS_A_DAY, ApplianceKind, Run
from service.common.units import DECLARED_VOLTAGE_V
from service.planning.domain.charging import PERMILLE
from service.planning.domain.house_load import MARGIN_PERMILLE

DRYER_FROM, DRYER_UNTIL = 16, 42
"""Half-hours of the day, 08:00 to 21:00, in which a tumble dryer may be suggested: own choice, so that it is never on
overnight; fire services say never overnight or unattended (common practice, from memory)."""


class Barrier(StrEnum):
    """Why a start is not suggested; the first that holds is told."""

    NOBODY_AWAKE = "nobody_awake"
    DRYER_OVERNIGHT = "dryer_overnight"
    FUSE_NOT_KNOWN = "fuse_not_known"
    LOAD_NOT_KNOWN = "load_not_known"
    DEMAND_TOO_HIGH = "demand_too_high"
    CIRCUIT_NOT_KNOWN = "circuit_not_known"
    CIRCUIT_FULL = "circuit_full"
    SUPPLY_FULL = "supply_full"


BARRIER_WORDS: Final = {
    Barrier.NOBODY_AWAKE: "nobody is awake at home for all of it",
    Barrier.DRYER_OVERNIGHT: "a tumble dryer is never left on in the evening or overnight",
    Barrier.FUSE_NOT_KNOWN: "not known: the supply's fuse is not recorded, so it is not suggested",
    Barrier.LOAD_NOT_KNOWN: "not known: what the house itself draws is not recorded, so it is not suggested",
    Barrier.DEMAND_TOO_HIGH: "the home's demand is already above its fuse, so nothing is added to it",
    Barrier.CIRCUIT_NOT_KNOWN: "not known: a car charges then, and what its outlet's circuit carries is not recorded",
    Barrier.CIRCUIT_FULL: "a car charges then, and the two together could be more than its circuit carries",
    Barrier.SUPPLY_FULL: "car, house and appliance together leave too little of the fuse free",
}


@dataclass(frozen=True)
class CarCircuit:
    """The circuit of an outlet that cars charge at: what it carries [A], None where that is not recorded.

    ``is_own`` says that a charging point is all there is on it: no appliance can share it.
    """

    carries_a: int | None
    is_own: bool = False


@dataclass(frozen=True)
class HomeLimits:
    """What the checks read.

    ``load_w`` is the house's own load by half-hour of the day, the highest of the days looked at; None: not known.
    ``charging`` has, for each half-hour of the day, the power of all cars [W] and the outlets they are at, the most of
    any planned day. ``demand_a`` is the home's maximum demand with its charging outlets, as far as it is known.
    """

    fuse_a: int | None
    load_w: tuple[int, ...] | None
    car_w: tuple[int, ...]
    car_outlets: tuple[Mapping[str, int], ...]
    circuits: Mapping[str, CarCircuit]
    demand_a: Decimal | None
    awake: tuple[bool, ...]
    others_w: tuple[int, ...] = field(default=(0,) * HALF_HOURS_A_DAY)


def barrier_of(run: Run, start: int, limits: HomeLimits) -> Barrier | None:
    """Return the first thing that keeps a run from being suggested at a half-hour of the day, or None."""
    places = [(start + step) % HALF_HOURS_A_DAY for step in range(run.half_hours)]
    if not all(limits.awake[place] for place in places):
        return Barrier.NOBODY_AWAKE
    if run.kind is ApplianceKind.TUMBLE_DRYER and not all(DRYER_FROM <= place < DRYER_UNTIL for place in places):
        return Barrier.DRYER_OVERNIGHT
    if limits.fuse_a is None:
        return Barrier.FUSE_NOT_KNOWN
    if limits.load_w is None:
        return Barrier.LOAD_NOT_KNOWN
    if limits.demand_a is not None and limits.demand_a > limits.fuse_a:
        return Barrier.DEMAND_TOO_HIGH
    return _circuit_barrier(run, places, limits) or _supply_barrier(run, places, limits.fuse_a, limits.load_w, limits)


def _circuit_barrier(run: Run, places: Sequence[int], limits: HomeLimits) -> Barrier | None:
    """Return whether a car's circuit, which the appliance may be on as well, is not known or could be too full."""
    for place in places:
        for outlet_id, car_w in limits.car_outlets[place].items():
            circuit = limits.circuits.get(outlet_id, CarCircuit(None))
            if circuit.is_own:
                continue
            if circuit.carries_a is None:
                return Barrier.CIRCUIT_NOT_KNOWN
            if car_w + run.power_w + limits.others_w[place] > circuit.carries_a * DECLARED_VOLTAGE_V:
                return Barrier.CIRCUIT_FULL
    return None


def _supply_barrier(
    run: Run, places: Sequence[int], fuse_a: int, load_w: Sequence[int], limits: HomeLimits
) -> Barrier | None:
    """Return whether fuse x 230 V less a fifth is less than house, cars, other appliances and this one.

    All count on one phase, also where there are three: how they are spread is not recorded.
    """
    usable_w = fuse_a * DECLARED_VOLTAGE_V * (PERMILLE - MARGIN_PERMILLE) // PERMILLE
    for place in places:
        if load_w[place] + limits.car_w[place] + limits.others_w[place] + run.power_w > usable_w:
            return Barrier.SUPPLY_FULL
    return None
