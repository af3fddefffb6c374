"""Cars under one supply as a network, and what flows in it as each car's draws.

Inside the network cars stand in the order of their ordinals, outside as they were given.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from service.planning.domain.path_kernel import MAX_ENERGY_WH, Int64s, PriceTables, Window
from service.planning.domain.supply_kernel import SupplyNet

_UNLIMITED: Final = 2**62


@dataclass(frozen=True, slots=True)
class SupplyCar:
    """One car: its stays with bounds and windows as for ``path_kernel.cheapest_path``.

    ``ordinal`` is its own; of plans that are equally good the lower one charges earlier. ``circuit`` is an index into
    the circuits' limits, None where no limit but its own cap and the supply's holds. ``is_important`` says of each
    stay whether an important departure ends it; empty: none does.
    """

    ordinal: int
    lower_wh: Sequence[int]
    upper_wh: Sequence[int]
    windows: Sequence[Sequence[Window]]
    circuit: int | None = None
    is_important: Sequence[bool] = ()

    def is_important_at(self, stay: int) -> bool:
        """Return whether an important departure ends a stay."""
        return bool(self.is_important) and self.is_important[stay]


@dataclass(frozen=True, slots=True)
class CarDraws:
    """What one car draws: its used half-hours in time order, energy in each, and what each stay leaves unmet."""

    ordinal: int
    used_slot: tuple[int, ...]
    used_wh: tuple[int, ...]
    unmet_wh: tuple[int, ...]
    cost_np: int


@dataclass(frozen=True, slots=True)
class SupplyPlan:
    """The plan of all cars, in the order given; ``was_certified``: each car's own best plan fits beside the others."""

    cars: tuple[CarDraws, ...]
    was_certified: bool

    @property
    def cost_np(self) -> int:
        """Return what all cars cost, exact [1e-9 p]."""
        return sum(car.cost_np for car in self.cars)

    @property
    def unmet_wh(self) -> int:
        """Return what all departures lack [Wh]."""
        return sum(sum(car.unmet_wh) for car in self.cars)


def checked_limit(values: ArrayLike, count: int, name: str) -> Int64s:
    """Return a limit for each half-hour as whole Wh; raise ``ValueError`` for another shape or a negative one."""
    limit = np.array(values, dtype=np.int64)
    if limit.shape != (count,):
        raise ValueError(f"{name} must have one value for each of {count} half-hours")
    if count and limit.min() < 0:
        raise ValueError(f"{name} must not be negative")
    return np.minimum(limit, MAX_ENERGY_WH)


def places(cars: Sequence[SupplyCar]) -> list[int]:
    """Return the place of each car among the ordinals."""
    ordinals = sorted(car.ordinal for car in cars)
    return [ordinals.index(car.ordinal) for car in cars]


def _by_ordinal(cars: Sequence[SupplyCar]) -> list[SupplyCar]:
    return sorted(cars, key=lambda car: car.ordinal)


def first_stays(cars: Sequence[SupplyCar]) -> list[int]:
    """Return the first stay of each car in the network, in the order of ordinals, and the number of stays."""
    return [0, *accumulate(len(car.windows) for car in _by_ordinal(cars))]


def supply_network(count: int, cars: Sequence[SupplyCar], circuits: Sequence[Int64s]) -> SupplyNet:
    """Return the network with nothing in it yet."""
    ordered = _by_ordinal(cars)
    offsets = first_stays(cars)
    free = [car for car in ordered if car.circuit is None]
    limits = [*circuits, *([np.full(count, _UNLIMITED)] if free else [])]  # one circuit for all that are on none
    stay_of = np.full((len(cars), count), -1, dtype=np.int32)
    cap = np.zeros((len(cars), count), dtype=np.int64)
    stays = offsets[-1]
    span = np.zeros((2, stays), dtype=np.int32)
    head, need = np.zeros(stays, dtype=np.int64), np.zeros(stays, dtype=np.int64)
    spare = np.zeros(len(cars), dtype=np.int64)  # what may be charged beyond the last need, where that pays
    for at, car in enumerate(ordered):
        begin, end = offsets[at], offsets[at + 1]
        lower = np.maximum.accumulate(np.array([0, *car.lower_wh], dtype=np.int64))
        need[begin:end] = np.diff(lower)
        upper = np.maximum(np.array(car.upper_wh, dtype=np.int64), lower[1:])
        head[begin:end] = np.minimum.accumulate(upper[::-1])[::-1] - lower[1:]
        spare[at] = head[end - 1] if end > begin else 0
        for stay, windows in enumerate(car.windows, start=begin):
            for first, stop, most in windows:
                stay_of[at, first:stop] = stay
                cap[at, first:stop] = most
            if windows:
                span[:, stay] = windows[0][0], windows[-1][1]
    nodes = count * (1 + len(limits)) + stays
    return SupplyNet(
        stay=stay_of,
        cap=cap,
        drawn=np.zeros_like(cap),
        circuit_of=np.array([len(circuits) if car.circuit is None else car.circuit for car in ordered], dtype=np.int32),
        circuit_cap=np.array(limits, dtype=np.int64).reshape(len(limits), count),
        circuit_drawn=np.zeros((len(limits), count), dtype=np.int64),
        car_of=np.repeat(np.arange(len(cars)), np.diff(offsets)).astype(np.int32),
        first_slot=span[0],
        end_slot=span[1],
        head=head,
        kept=np.zeros(stays, dtype=np.int64),
        open_need=need,
        met_need=np.zeros(stays, dtype=np.int64),
        unmet=np.zeros(stays, dtype=np.int64),
        open_spare=spare,
        met_spare=np.zeros(len(cars), dtype=np.int64),
        last_stay=(np.array(offsets[1:], dtype=np.int32) - 1).astype(np.int32),
        supplied=np.zeros(count, dtype=np.int64),
        seen=np.zeros(nodes, dtype=np.int64),
        dead=np.zeros(nodes, dtype=np.bool_),
        came_from=np.zeros(nodes, dtype=np.int32),
        queue=np.zeros(nodes, dtype=np.int32),
    )


def last_to_serve(cars: Sequence[SupplyCar]) -> NDArray[np.int32]:
    """Return all stays, the first to be left short first: lesser before important, later before earlier."""
    flags = [car.is_important_at(stay) for car in _by_ordinal(cars) for stay in range(len(car.windows))]
    return np.array(sorted(range(len(flags)), key=lambda stay: (flags[stay], -stay)), dtype=np.int32)


def read_draws(net: SupplyNet, tables: PriceTables, cars: Sequence[SupplyCar], at: int) -> CarDraws:
    """Return what a car draws, cars as given."""
    row = places(cars)[at]
    offsets = first_stays(cars)
    slots = np.flatnonzero(net.drawn[row]).tolist()
    energies = net.drawn[row][slots].tolist()
    cost = sum(price * energy for price, energy in zip(tables.price_up[slots].tolist(), energies, strict=True))
    unmet = net.unmet[offsets[row] : offsets[row + 1]].tolist()
    return CarDraws(cars[at].ordinal, tuple(slots), tuple(energies), tuple(unmet), cost)


def put_back(net: SupplyNet, cars: Sequence[SupplyCar], plan: SupplyPlan) -> None:
    """Let a plan flow in the network."""
    offsets = first_stays(cars)
    for row, draws in zip(places(cars), plan.cars, strict=True):
        net.drawn[row, list(draws.used_slot)] = draws.used_wh
        net.circuit_drawn[net.circuit_of[row]] += net.drawn[row]
        stored = 0
        for stay, unmet in enumerate(draws.unmet_wh, start=offsets[row]):
            net.unmet[stay] = unmet
            net.met_need[stay] = net.open_need[stay] - unmet
            stored += int(net.drawn[row][net.stay[row] == stay].sum()) - int(net.met_need[stay])
            net.kept[stay] = stored
        if draws.unmet_wh:
            net.met_spare[row] = stored
            net.open_spare[row] -= stored
    net.open_need[:] = 0
    net.supplied[:] = net.drawn.sum(axis=0)
