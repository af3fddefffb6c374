"""What a home's supply and circuits can give its cars in each half-hour of a week; nothing where one outlet is all.

Cars whose outlets are fed at once share the fuse with the house. Where the fuse or the house's load is not known they
charge one after the other: what one outlet may carry the supply carries.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final
from zoneinfo import ZoneInfo

from service.common.errors import Rejected
from service.common.working import Step
from service.households.domain.homes import HomeInputs
from service.planning.domain.car_week import CarWeek, Feed
from service.planning.domain.house_load import (
    HouseLoad,
    above_pilot_floor,
    headroom,
    load_from_profile,
    load_from_readings,
)
from service.planning.domain.price_book import LocalWeek

TYPICAL_YEARLY_KWH: Final = 2_500
"""For a home that nobody has said more of: medium use on a single-rate meter from 1 July 2026 (Ofgem, typical
domestic consumption values)."""


@dataclass(frozen=True)
class SupplyLimits:
    """As ``HouseholdWeek`` has them, and the working; None and empty where nothing could bind."""

    headroom_wh: tuple[int, ...] | None = None
    circuits_wh: tuple[tuple[str, int], ...] = ()
    steps: tuple[Step, ...] = ()


def supply_limits(home: HomeInputs, cars: Sequence[CarWeek], local: LocalWeek, zone: ZoneInfo) -> SupplyLimits:
    """Return what all cars together may draw, and those on each circuit."""
    feeds = [feed for car in cars for feed in (car.usual, *car.others) if feed.current is not None]
    if len({feed.option.outlet_id for feed in feeds}) < 2:
        return SupplyLimits()
    circuits = _circuits_wh(feeds)
    most_wh = max(feed.option.cap_wh for feed in feeds)
    load = _load(home, range(local.first_slot, local.end_slot), zone)
    if home.supply.fuse_a is None or load is None:
        missing = "fuse" if home.supply.fuse_a is None else "the house's load"
        step = Step(
            "What the supply leaves for the cars",
            {missing: "not known"},
            "cars charge one after the other, as each would alone",
            "rule of this planner",
            f"{most_wh} Wh in half an hour",
        )
        return SupplyLimits((most_wh,) * (local.end_slot - local.first_slot), circuits, (step,))
    is_three_phase = home.supply.phases == 3 and all(feed.current and feed.current.phases == 3 for feed in feeds)
    phases = 3 if is_three_phase else 1
    left = headroom(load, home.supply.fuse_a, phases=phases)
    return SupplyLimits(tuple(above_pilot_floor(left.headroom_wh, phases)), circuits, left.working.steps)


def _circuits_wh(feeds: Sequence[Feed]) -> tuple[tuple[str, int], ...]:
    """Return the limit of each circuit with more than one outlet: what one of them alone may draw for hours."""
    of_circuit: dict[str, dict[str | None, int]] = {}
    for feed in feeds:
        if feed.option.circuit_id is not None:
            outlets = of_circuit.setdefault(feed.option.circuit_id, {})
            outlets[feed.option.outlet_id] = max(outlets.get(feed.option.outlet_id, 0), feed.option.cap_wh)
    return tuple(sorted((circuit, max(caps.values())) for circuit, caps in of_circuit.items() if len(caps) > 1))


def _load(home: HomeInputs, horizon: range, zone: ZoneInfo) -> HouseLoad | None:
    """Return the house's load by its own readings, else by the profile of an average home; None: not known."""
    if home.readings:
        try:
            return load_from_readings(dict(home.readings), horizon, zone)
        except Rejected:
            pass  # too few whole days, or one that is not believable: the profile says more
    yearly_kwh = TYPICAL_YEARLY_KWH if home.evening.yearly_kwh is None else home.evening.yearly_kwh
    try:
        return load_from_profile(yearly_kwh, horizon, zone)
    except Rejected:
        return None  # a zone whose homes no profile tells of
