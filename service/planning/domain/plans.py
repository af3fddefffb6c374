"""What planning answers: blocks, stays, shortfalls and cost, as plain whole numbers.

Slots are absolute. Energies are at the wall unless a name says battery. Costs cover known prices
only and are rounded once, a half up, from exact nano-pence; the energy without a price stands
beside them.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from service.common.working import Working


class Cause(StrEnum):
    """Why a shortfall cannot be closed by any plan."""

    BATTERY_TOO_SMALL = "battery_too_small"  # the journey and the reserve need more than a full battery
    TOO_FEW_HOURS = "too_few_hours_at_home"  # every half-hour at home is used
    NO_USABLE_OUTLET = "no_usable_outlet"  # no outlet may be used, or its current is not known
    EVIDENCE_ENDS = "evidence_ends"  # half-hours after the end of the evidence would close it
    OUTLET_SHARED = "outlet_shared"  # half-hours in which the outlet serves another vehicle would close it
    SUPPLY_SHARED = "supply_shared"  # what the supply cannot give to all at once would close it


@dataclass(frozen=True, slots=True)
class Block:
    """A run of half-hours in which one vehicle charges, within one stay.

    ``energy_wh`` has one entry for each half-hour of [first_slot, end_slot); ``stay`` is the index
    into the plan's stays.  ``outlet_id`` is where, in a home whose cars may use several.
    """

    first_slot: int
    end_slot: int
    energy_wh: tuple[int, ...]
    cost_up: int
    unpriced_wh: int
    stay: int
    outlet_id: str | None = None


class Binding(StrEnum):
    """What decides how much a block charges."""

    NEED = "need"  # just what a journey and the reserve need
    BATTERY = "battery"  # the everyday ceiling, or a full battery
    PRICE = "price"  # a price below zero pays for it
    HOURS = "hours"  # every half-hour before the journey is used


@dataclass(frozen=True, slots=True)
class BlockReason:
    """Why a block is there; prices in micro-pence per kWh, None where one of its half-hours has no price.

    ``serves_stay`` is the stay whose departure needs it, None where none does. ``next_best_up`` is what its energy
    would cost more in the cheapest half-hours that are left, None where there are none or a price is missing.
    """

    binding: Binding
    serves_stay: int | None
    lowest_up: int | None
    highest_up: int | None
    next_best_up: int | None


@dataclass(frozen=True, slots=True)
class Comparison:
    """Another rule in the same week: its cost, None where not all of it has a price, and what stays short [Wh]."""

    energy_wh: int
    cost_up: int | None
    short_wh: int


@dataclass(frozen=True, slots=True)
class TurnReason:
    """What the best other use of a turn would be worse by, over the whole home and week.

    ``is_only_one``: no other car could use it. ``unmet_wh`` includes ``important_unmet_wh``, which important journeys
    would lack; ``cost_up`` is None where more would be unmet: money does not make up for it.
    """

    is_only_one: bool
    important_unmet_wh: int = 0
    unmet_wh: int = 0
    cost_up: int | None = None


@dataclass(frozen=True, slots=True)
class Turn:
    """Whose an outlet is in [first_slot, end_slot): a swap comes before and after it; the next ones have a reason."""

    first_slot: int
    end_slot: int
    outlet_id: str
    vehicle_id: str
    reason: TurnReason | None


@dataclass(frozen=True, slots=True)
class StayPlan:
    """A time at home, possibly too short for a half-hour, and the battery's level around it.

    ``trip_key`` is the journey that ends it, None at the end of the horizon. ``needed_wh`` is what
    the battery should hold then. After a shortfall the car is taken to be charged elsewhere by just
    what was short, so that it returns with its reserve.
    """

    first_slot: int
    end_slot: int
    trip_key: str | None
    energy_wh: int
    needed_wh: int
    level_before_wh: int
    level_after_wh: int
    level_before_permille: int
    level_after_permille: int


@dataclass(frozen=True, slots=True)
class Shortfall:
    """Energy that is missing by a departure, for one cause; one departure can have several.

    ``trip_key`` None: the reserve at the end of the horizon, ``leaves_at`` is then that end. A trip
    after the horizon is named where no half-hour between could close its need either.
    ``is_reserve_only``: the journey can be driven, but eats into the reserve.
    """

    trip_key: str | None
    leaves_at: datetime
    short_wh: int
    short_battery_wh: int
    cause: Cause
    is_reserve_only: bool


@dataclass(frozen=True, slots=True)
class VehiclePlan:
    """The cheapest plan of one vehicle.

    ``on_arrival_cost_up`` is what the same energy costs in the earliest half-hours that the same
    limits allow; it compares like for like only where nothing is unpriced. ``unmet_wh`` is the
    least energy at the wall that any plan leaves out, batteries too small apart. ``reasons`` has one entry a block;
    ``cheap_hours`` is the week charged in the cheapest hours only, ``undone_short_wh`` what is short without charging.
    """

    vehicle_id: str
    outlet_id: str | None
    blocks: tuple[Block, ...]
    stays: tuple[StayPlan, ...]
    shortfalls: tuple[Shortfall, ...]
    energy_wh: int
    unmet_wh: int
    cost_np: int
    cost_up: int
    unpriced_wh: int
    on_arrival_cost_up: int
    on_arrival_unpriced_wh: int
    working: Working
    reasons: tuple[BlockReason, ...] = ()
    cheap_hours: Comparison | None = None
    undone_short_wh: int = 0

    def block_times(self) -> tuple[tuple[int, int], ...]:
        """Return (first slot, end slot) of each block: what a person sets on a timer."""
        return tuple((block.first_slot, block.end_slot) for block in self.blocks)


@dataclass(frozen=True, slots=True)
class HouseholdPlan:
    """The plans of a household's vehicles over one horizon, by ordinal.

    ``turns`` say whose a shared outlet is; ``gap_up`` is by how much another sharing might be cheaper, 0 where this
    one is proven, None where nothing was proven of it.
    """

    first_slot: int
    end_slot: int
    vehicles: tuple[VehiclePlan, ...]
    turns: tuple[Turn, ...] = ()
    gap_up: int | None = 0

    def block_times(self) -> tuple[tuple[str, tuple[tuple[int, int], ...]], ...]:
        """Return (vehicle id, block times) of each vehicle; members are told when this changes."""
        return tuple((plan.vehicle_id, plan.block_times()) for plan in self.vehicles)
