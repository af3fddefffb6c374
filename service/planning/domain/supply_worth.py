"""What one more Wh is worth at the margin of a plan of several cars under one supply."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from service.planning.domain.path_kernel import Int64s, PriceTables
from service.planning.domain.supply_kernel import SupplyNet, reachable
from service.planning.domain.supply_network import (
    SupplyCar,
    SupplyPlan,
    checked_limit,
    first_stays,
    places,
    put_back,
    supply_network,
)


@dataclass(frozen=True, slots=True)
class SupplyWorth:
    """What one more Wh is worth at the margin of a plan, in micro-pence per kWh.

    ``headroom_up[t]`` is what a little more headroom in half-hour t saves, 0 where it saves nothing; where
    ``relieves[t]`` it lets a shortfall shrink instead, and ``headroom_up[t]`` is None: that is not money.
    ``need_up[car][stay]`` is what a little more need at the end of a stay costs, with all later bounds moved along;
    None where it would fall short. Cars in the order given.
    """

    headroom_up: tuple[int | None, ...]
    relieves: tuple[bool, ...]
    need_up: tuple[tuple[int | None, ...], ...]


def supply_worth(
    tables: PriceTables,
    cars: Sequence[SupplyCar],
    headroom_wh: ArrayLike,
    circuits_wh: Sequence[ArrayLike],
    plan: SupplyPlan,
) -> SupplyWorth:
    """Return what one more Wh of headroom or of need is worth at a plan that ``share_supply`` made of the same input.

    One more Wh in a half-hour takes the place of the dearest Wh from which the network can take it back; one more
    needed comes from the cheapest half-hour that has room and leads there. Both hold for a little, up to the next
    limit; for whole amperes plan again and compare.
    """
    supply = checked_limit(headroom_wh, tables.count, "headroom_wh")
    circuits = [checked_limit(circuit, tables.count, "circuits_wh") for circuit in circuits_wh]
    net = supply_network(tables.count, cars, circuits)
    put_back(net, cars, plan)
    relieves, saved = [False] * tables.count, [0] * tables.count
    for stamp, slot in enumerate(np.flatnonzero(net.supplied >= supply).tolist(), start=1):
        dearest = _dearest(net, tables, reachable(net, slot, stamp))
        relieves[slot] = dearest is None
        saved[slot] = 0 if dearest is None else max(0, dearest - int(tables.price_up[slot]))
    headroom_up = tuple(None if short else up for short, up in zip(relieves, saved, strict=True))
    needs = _need_up(net, tables, supply)
    offsets = first_stays(cars)
    where = places(cars)
    return SupplyWorth(
        headroom_up,
        tuple(relieves),
        tuple(tuple(needs[offsets[at] : offsets[at + 1]]) for at in where),
    )


def _dearest(net: SupplyNet, tables: PriceTables, nodes: NDArray[np.int32]) -> int | None:
    """Return the price [1e-6 p/kWh] of the dearest energy that can be given back at any of the nodes; None if unmet."""
    count = tables.count
    stays = nodes[nodes >= len(net.seen) - len(net.head)] - (len(net.seen) - len(net.head))
    if net.unmet[stays].any():
        return None
    slots = nodes[nodes < count]
    prices = tables.price_up[slots[net.supplied[slots] > 0]].tolist()
    leaves_spare = any(net.open_spare[net.car_of[stay]] > 0 for stay in np.intersect1d(stays, net.last_stay))
    return max([*prices, *([0] if leaves_spare else [])], default=-(2**62))


def _need_up(net: SupplyNet, tables: PriceTables, supply: Int64s) -> list[int | None]:
    """Return the price of the cheapest source with room that leads to each stay [1e-6 p/kWh], None: there is none."""
    found: list[int | None] = [None] * len(net.head)
    stays_from = len(net.seen) - len(net.head)
    paid = [stays_from + int(net.last_stay[car]) for car in np.flatnonzero(net.met_spare).tolist()]
    sources = [(int(tables.price_up[slot]), int(slot)) for slot in tables.order if net.supplied[slot] < supply[slot]]
    sources.extend((0, node) for node in paid)  # what negative prices paid for and nobody needs can be kept for this
    sources.sort()
    net.seen[:] = 0
    for price, node in sources:
        if net.seen[node]:
            continue  # a cheaper one came by
        for reached in reachable(net, node, 1).tolist():
            if reached >= stays_from and found[reached - stays_from] is None:
                found[reached - stays_from] = price
    return found
