"""What a household's plan is made from: prices, vehicles and their journeys over one horizon.

The horizon runs from the next half-hour boundary to the seventh local midnight. Energies of
batteries and journeys are on the battery's side; ``cap_wh`` is at the wall.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum
from typing import Final
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import ArrayLike, NDArray

from service.common.errors import Fault, Rejected
from service.common.slots import SLOT_S, instant_at, local_of, slot_index, slot_start
from service.common.units import SECONDS_PER_HOUR
from service.common.working import Step
from service.planning.domain.charging import PERMILLE
from service.planning.domain.path_kernel import MAX_ENERGY_WH, PriceTables, price_tables

HORIZON_DAYS: Final = 7


@dataclass(frozen=True, slots=True)
class Trip:
    """One journey: when the car leaves and is back, and the battery energy it uses.

    ``key`` names it to the household (a journey's id and date). Trips may touch or overlap: the
    car is then away from the first departure to the last return, and uses the energy of both.
    ``careful_wh`` is what should be in the battery for it above the reserve, where a diary says that such a day
    often takes more than ``energy_wh``, which is what the plan reckons with.
    """

    key: str
    leaves_at: datetime
    returns_at: datetime
    energy_wh: int
    is_important: bool = False
    careful_wh: int = 0

    def __post_init__(self) -> None:
        faults = [
            Fault(name, instant, "must carry its offset")
            for name, instant in (("leaves_at", self.leaves_at), ("returns_at", self.returns_at))
            if instant.tzinfo is None
        ]
        if not faults and self.returns_at < self.leaves_at:
            faults.append(Fault("returns_at", self.returns_at, "must not be before the departure"))
        for name, energy_wh in (("energy_wh", self.energy_wh), ("careful_wh", self.careful_wh)):
            if not 0 <= energy_wh <= MAX_ENERGY_WH:
                faults.append(Fault(name, energy_wh, f"must lie between 0 and {MAX_ENERGY_WH} Wh"))
        if faults:
            raise Rejected(*faults)


class Control(StrEnum):
    """How the time of charging is set at an outlet."""

    FREE = "free"  # any half-hours
    ONE_RUN = "one_run"  # one start and one stop a night: a person, or the car's own timer


@dataclass(frozen=True, slots=True)
class OutletOption:
    """An outlet that a vehicle may use: the most in a half-hour there, its evidence's end, how it is set.

    ``start_loss_wh`` is what the longest random delay of a start takes from a run; ``circuit_id`` names what it
    shares with other outlets, None where nothing is known to be shared.
    """

    outlet_id: str | None
    cap_wh: int
    usable_until_slot: int
    control: Control = Control.FREE
    start_loss_wh: int = 0
    circuit_id: str | None = None


@dataclass(frozen=True, slots=True)
class VehicleWeek:
    """One vehicle over the horizon.

    ``start_charge_wh`` is the energy in the battery at the start of the horizon, or, if the car is
    away then, on its return: a trip that has begun counts as driven. ``cap_wh`` is the most that
    one half-hour can deliver at the wall, 0 where no outlet may be used or a current is not known.
    Half-hours from ``usable_until_slot`` on lie outside the evidence for outlet and lead. These, ``control``,
    ``start_loss_wh`` and ``circuit_id`` are of its usual outlet; ``others`` are those it could use besides.
    ``taper_permille`` is the level from which charging slows down, None where nobody knows of one.
    While it stands it takes ``standby_w`` from its battery. ``steps`` is the working that led to these values; the
    plan's own working follows it.
    """

    vehicle_id: str
    ordinal: int
    outlet_id: str | None
    battery_wh: int
    efficiency_permille: int
    cap_wh: int
    usable_until_slot: int
    ceiling_permille: int
    reserve_permille: int
    start_charge_wh: int
    trips: tuple[Trip, ...] = ()
    steps: tuple[Step, ...] = ()
    control: Control = Control.FREE
    start_loss_wh: int = 0
    circuit_id: str | None = None
    others: tuple[OutletOption, ...] = ()
    taper_permille: int | None = None
    standby_w: int = 0

    def __post_init__(self) -> None:
        faults = tuple(self._faults())
        if faults:
            raise Rejected(*faults)

    def _faults(self) -> Iterator[Fault]:
        battery = self.battery_wh
        for name, value, least, most in (
            ("battery_wh", battery, 1, MAX_ENERGY_WH // 100),
            ("efficiency_permille", self.efficiency_permille, 100, PERMILLE),
            ("cap_wh", self.cap_wh, 0, MAX_ENERGY_WH // 1000),
            ("ceiling_permille", self.ceiling_permille, 0, PERMILLE),
            ("reserve_permille", self.reserve_permille, 0, PERMILLE),
            ("start_charge_wh", self.start_charge_wh, 0, battery),
            ("start_loss_wh", self.start_loss_wh, 0, self.cap_wh),
            ("standby_w", self.standby_w, 0, MAX_ENERGY_WH // 1000),
            ("taper_permille", PERMILLE if self.taper_permille is None else self.taper_permille, 0, PERMILLE),
        ):
            if not least <= value <= most:
                yield Fault(name, value, f"must lie between {least} and {most}")

    @property
    def reserve_wh(self) -> int:
        """Return the energy to be left on every return, rounded up, in the battery [Wh]."""
        return -(-self.battery_wh * self.reserve_permille // PERMILLE)

    @property
    def ceiling_wh(self) -> int:
        """Return the everyday ceiling, rounded down, in the battery [Wh]."""
        return self.battery_wh * self.ceiling_permille // PERMILLE

    def standby_wh(self, slots: int) -> int:
        """Return what it takes from its battery while it stands for so many half-hours, rounded up [Wh]."""
        return -(-self.standby_w * max(0, slots) * SLOT_S // SECONDS_PER_HOUR)

    @property
    def usual(self) -> OutletOption:
        """Return the usual outlet as one of the options."""
        return OutletOption(
            self.outlet_id, self.cap_wh, self.usable_until_slot, self.control, self.start_loss_wh, self.circuit_id
        )

    @property
    def options(self) -> tuple[OutletOption, ...]:
        """Return every outlet it may use, the usual one first; none where no current is known anywhere."""
        return tuple(each for each in (self.usual, *self.others) if each.outlet_id is not None and each.cap_wh > 0)

    @property
    def has_outlet(self) -> bool:
        """Return whether any outlet may be used at all."""
        return bool(self.options)


@dataclass(frozen=True, eq=False)
class WeekPrices:
    """Prices over one horizon, with all that can be worked out once for every household on them.

    Where ``is_known`` is false the price is a stand-in: it ranks the half-hour and is never money.
    ``known_sum_up[t]`` and ``known_sum[t]`` add up prices and number of known half-hours before t.
    """

    first_slot: int
    tables: PriceTables
    is_known: NDArray[np.bool_]
    price_up: tuple[int, ...]
    known: tuple[bool, ...]
    known_sum_up: tuple[int, ...]
    known_sum: tuple[int, ...]
    digest: str

    @property
    def count(self) -> int:
        """Return the number of half-hours."""
        return self.tables.count

    @property
    def end_slot(self) -> int:
        """Return the first slot after the horizon."""
        return self.first_slot + self.tables.count


@dataclass(frozen=True)
class HouseholdWeek:
    """A household's vehicles under one price vector; the order of ``vehicles`` does not matter.

    Slots are absolute: ``swap_slots``, when somebody is up to change the car at an outlet; ``noon_slots``, where a
    night ends; ``quiet_spans`` [first, end), in which nothing charges. ``headroom_wh`` is what all cars together may
    draw in each half-hour of the horizon, None where no two outlets could exceed the supply; ``circuits_wh`` what
    the outlets on one circuit may.
    """

    prices: WeekPrices
    vehicles: tuple[VehicleWeek, ...]
    swap_slots: tuple[int, ...] = ()
    noon_slots: tuple[int, ...] = ()
    quiet_spans: tuple[tuple[int, int], ...] = ()
    headroom_wh: tuple[int, ...] | None = None
    circuits_wh: tuple[tuple[str, int], ...] = ()

    def __post_init__(self) -> None:
        ordinals = [vehicle.ordinal for vehicle in self.vehicles]
        if len(set(ordinals)) < len(ordinals):
            raise Rejected(Fault("vehicles", ordinals, "must each have an ordinal of their own"))

    def in_order(self) -> list[VehicleWeek]:
        """Return the vehicles in the order in which they choose."""
        return sorted(self.vehicles, key=lambda vehicle: vehicle.ordinal)


def week_prices(first_slot: int, price_up: ArrayLike, is_known: ArrayLike) -> WeekPrices:
    """Return prices ready for planning; arrays of shape (slots,), price in micro-pence per kWh.

    Raises
    ------
    ValueError
        If the arrays differ in length or a price is out of range.
    """
    tables = price_tables(price_up)
    known = np.array(is_known, dtype=np.bool_)
    if known.shape != tables.price_up.shape:
        raise ValueError("price_up and is_known must have the same shape")
    known.setflags(write=False)
    digest = hashlib.sha256(np.int64(first_slot).astype("<i8").tobytes())
    digest.update(tables.price_up.astype("<i8").tobytes())
    digest.update(known.tobytes())
    return WeekPrices(
        first_slot=first_slot,
        tables=tables,
        is_known=known,
        price_up=tuple(tables.price_up.tolist()),
        known=tuple(known.tolist()),
        known_sum_up=(0, *np.cumsum(np.where(known, tables.price_up, 0)).tolist()),
        known_sum=(0, *np.cumsum(known, dtype=np.int64).tolist()),
        digest=digest.hexdigest(),
    )


def horizon_slots(now: datetime, zone: ZoneInfo) -> range:
    """Return the slots of the horizon: from the next half-hour boundary to the seventh midnight after it.

    An instant on a boundary starts there. From a local midnight the horizon has 336 slots, 334 or
    338 in a week with a clock change.
    """
    first = slot_index(now)
    if slot_start(first) != now:
        first += 1
    day = local_of(first, zone).date()
    return range(first, slot_index(instant_at(day + timedelta(days=HORIZON_DAYS), 0, zone)))
