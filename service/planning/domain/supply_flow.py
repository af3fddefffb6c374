"""Several cars at several outlets under one supply: the best plan of all together, exact in whole numbers.

Each car's week is a path as ``path_kernel`` takes it. All cars together stay within the supply's headroom in every
half-hour, and the cars on one circuit within that circuit's limit. First each car is planned alone; where the sums fit
under every limit nothing can be better, and the answer is certified. Otherwise the cars are planned together.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import ArrayLike

from service.planning.domain.path_kernel import Int64s, PathPlans, PriceTables, Window, cheapest_path, price_tables
from service.planning.domain.supply_kernel import fill, settle
from service.planning.domain.supply_network import (
    CarDraws,
    SupplyCar,
    SupplyPlan,
    checked_limit,
    last_to_serve,
    read_draws,
    supply_network,
)

__all__ = ["CarDraws", "SupplyCar", "SupplyPlan", "share_supply", "warm_up"]


def share_supply(
    tables: PriceTables,
    cars: Sequence[SupplyCar],
    headroom_wh: ArrayLike,
    circuits_wh: Sequence[ArrayLike] = (),
    *,
    skips_certificate: bool = False,
) -> SupplyPlan:
    """Return the best plan of all cars together.

    Best means: least unmet energy at important departures first, then least unmet energy, then least cost, then the
    earliest half-hours, then the lower ordinal first in its earliest half-hours. A departure lacks no more than it adds
    to the needs before it; of equal departures those of the higher ordinal are left short, of one car the later ones.
    With a negative price cars charge beyond their needs, as far as upper bounds and the supply allow.

    Parameters
    ----------
    tables : PriceTables
        Of the prices that all cars share.
    cars : sequence of SupplyCar
        Ordinals differ; the order given changes nothing.
    headroom_wh : array_like, shape (slots,)
        The most that all cars together may draw in each half-hour [Wh]; from ``house_load.headroom`` through
        ``above_pilot_floor``.
    circuits_wh : sequence of array_like, each of shape (slots,)
        The most that the cars on each circuit together may draw [Wh]. A twin socket is one outlet: give its two sides
        one circuit, and 0 to the side that stays empty.
    skips_certificate : bool
        Plan together even where plans made apart would fit: for proofs, the answer is the same.

    Raises
    ------
    ValueError
        If ordinals repeat, a shape or a window does not fit, a limit is negative or energies are out of range.

    Notes
    -----
    Energies are half-hour averages: a car that shares a half-hour may get less than 6 A would give it in all of it,
    and a plan is no load management.

    Exact without prices in the flow: whatever is sent is sent from a half-hour, so in any cycle of the residual network
    at most one half-hour takes more and one less. The amounts that half-hours can supply therefore form a polymatroid,
    and taking the cheapest first, each as far as a maximum flow allows, is optimal for every cost in that order
    (Edmonds' greedy algorithm, 1970; from memory). Energy not bought (0 p) and energy left unmet (dearer than any
    price) are sources like half-hours. What is left open is who draws in which of the chosen half-hours; that is
    settled by ordinal, so the plan is unique.
    """
    supply = checked_limit(headroom_wh, tables.count, "headroom_wh")
    circuits = [checked_limit(circuit, tables.count, "circuits_wh") for circuit in circuits_wh]
    _check(cars, len(circuits))
    alone = [_alone(tables, car, _within(car, supply, circuits)) for car in cars]
    if not skips_certificate and _fits(tables.count, cars, alone, supply, circuits):
        draws = [
            CarDraws(
                car.ordinal,
                tuple(plan.used_slot.tolist()),
                tuple(plan.used_wh.tolist()),
                tuple(plan.unmet_wh.tolist()),
                int(plan.cost_np[0]),
            )
            for car, plan in zip(cars, alone, strict=True)
        ]
        return SupplyPlan(tuple(draws), True)
    net = supply_network(tables.count, cars, circuits)
    fill(net, tables.order, tables.negative_count, supply, last_to_serve(cars))
    settle(net)
    return SupplyPlan(tuple(read_draws(net, tables, cars, at) for at in range(len(cars))), False)


def warm_up() -> None:
    """Compile the kernel or load it from numba's cache, so that the first plan is not the slow one."""
    cars = [SupplyCar(ordinal, [1], [2], [[(0, 2, 1)]]) for ordinal in range(2)]
    share_supply(price_tables([1, -1]), cars, [1, 1], skips_certificate=True)


def _check(cars: Sequence[SupplyCar], circuits: int) -> None:
    if len({car.ordinal for car in cars}) < len(cars):
        raise ValueError("each car must have an ordinal of its own")
    for car in cars:
        if not len(car.lower_wh) == len(car.upper_wh) == len(car.windows):
            raise ValueError("bounds and windows must have one entry a stay")
        if car.is_important and len(car.is_important) != len(car.windows):
            raise ValueError("is_important must have one entry a stay, or none")
        if car.circuit is not None and not 0 <= car.circuit < circuits:
            raise ValueError("a car's circuit must be one of those given")


def _within(car: SupplyCar, supply: Int64s, circuits: Sequence[Int64s]) -> Int64s:
    """Return what limits one car that charges alone, besides its own cap."""
    return supply if car.circuit is None else np.minimum(supply, circuits[car.circuit])


def _alone(tables: PriceTables, car: SupplyCar, limit_wh: Int64s) -> PathPlans:
    """Return the best plan of a car as if no other were there."""
    most = max((cap for stay in car.windows for _, _, cap in stay), default=0)
    tight = np.flatnonzero(limit_wh < most).tolist()
    windows = car.windows
    if tight:
        windows = [[part for window in stay for part in _cut(window, tight, limit_wh)] for stay in windows]
    return cheapest_path(tables, car.lower_wh, car.upper_wh, windows)


def _cut(window: Window, tight: Sequence[int], limit_wh: Int64s) -> Iterator[Window]:
    """Yield a window in parts, a part for each half-hour whose limit is below the window's cap."""
    first, end, cap = window
    begin = first
    for slot in tight[bisect_left(tight, first) : bisect_left(tight, end)]:
        if limit_wh[slot] < cap:
            if begin < slot:
                yield begin, slot, cap
            yield slot, slot + 1, int(limit_wh[slot])
            begin = slot + 1
    if begin < end or begin == first:
        yield begin, end, cap


def _fits(
    count: int, cars: Sequence[SupplyCar], alone: Sequence[PathPlans], supply: Int64s, circuits: Sequence[Int64s]
) -> bool:
    """Return whether the plans made apart are the best together: they fit, and no need gave way to a lesser one."""
    drawn = np.zeros((len(circuits) + 1, count), dtype=np.int64)
    for car, plan in zip(cars, alone, strict=True):
        drawn[-1, plan.used_slot] += plan.used_wh
        if car.circuit is not None:
            drawn[car.circuit, plan.used_slot] += plan.used_wh
        lacks = [car.is_important_at(stay) for stay in np.flatnonzero(plan.unmet_wh).tolist()]
        if any(lacks) and not all(car.is_important):
            return False
    return all(bool((used <= limit).all()) for used, limit in zip(drawn, [*circuits, supply], strict=True))
