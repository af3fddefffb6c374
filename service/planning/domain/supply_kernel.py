"""The compiled loop behind ``supply_flow``: which half-hour feeds which car, without a price in it.

Nodes, in this order: a half-hour, a half-hour on one circuit, a stay of one car. Energy flows from a half-hour through
a circuit into a stay and on to the car's later stays, as far as its battery has room. ``fill`` opens the half-hours one
after another, cheapest first; ``settle`` then picks one plan among those that use the half-hours alike. Small steps are
inlined: handing the network's arrays over costs more than a step takes.
"""

from __future__ import annotations

from typing import Final, NamedTuple, TypeAlias

import numpy as np
from numba import njit
from numpy.typing import NDArray

Int32s: TypeAlias = NDArray[np.int32]
Int64s: TypeAlias = NDArray[np.int64]

_ANY_NEED: Final = -1  # search for a stay that still needs energy
_EVERYWHERE: Final = -2  # search on, to see what can be reached
_NONE: Final = -1


class SupplyNet(NamedTuple):
    """The network with what flows in it; energies in Wh, cars in the order of their ordinals.

    Per car and half-hour, shape (cars, slots): ``stay`` the stay it belongs to (-1: away), ``cap``, ``drawn``. Per
    circuit and half-hour: ``circuit_cap``, ``circuit_drawn``. Per stay: its car, its span of slots, ``head`` what the
    battery may hold beyond the need at its end, ``kept`` what it holds of that, ``open_need``, ``met_need``,
    ``unmet``. Per car: ``open_spare`` what negative prices could still pay for, ``met_spare``, ``last_stay``.
    ``supplied`` is the sum of a half-hour. ``seen``, ``dead``, ``came_from``, ``queue`` serve the search.
    """

    stay: Int32s
    cap: Int64s
    drawn: Int64s
    circuit_of: Int32s
    circuit_cap: Int64s
    circuit_drawn: Int64s
    car_of: Int32s
    first_slot: Int32s
    end_slot: Int32s
    head: Int64s
    kept: Int64s
    open_need: Int64s
    met_need: Int64s
    unmet: Int64s
    open_spare: Int64s
    met_spare: Int64s
    last_stay: Int32s
    supplied: Int64s
    seen: Int64s
    dead: NDArray[np.bool_]
    came_from: Int32s
    queue: Int32s


@njit(cache=True, nogil=True, inline="always")
def _search(net: SupplyNet, start: int, goal: int, stamp: int, car_fixed: int, slot_fixed: int) -> tuple[int, int]:
    """Return the node found (-1 if none) and the number of nodes seen, breadth first from a start.

    Draws of cars before ``car_fixed``, and of that car up to ``slot_fixed``, do not shrink.
    """
    cars, slots = net.stay.shape
    circuits = net.circuit_cap.shape[0]
    stays_from = slots * (1 + circuits)
    net.seen[start] = stamp
    net.queue[0] = start
    taken, length = 0, 1
    while taken < length:
        node = net.queue[taken]
        taken += 1
        fresh = length  # what this node adds to the queue begins here
        if node < slots:
            for circuit in range(circuits):
                after = slots * (1 + circuit) + node
                if net.circuit_drawn[circuit, node] < net.circuit_cap[circuit, node] and net.seen[after] != stamp:
                    net.queue[length] = after
                    net.seen[after] = stamp
                    length += 1
        elif node < stays_from:
            circuit, slot = node // slots - 1, node % slots
            if net.circuit_drawn[circuit, slot] > 0 and net.seen[slot] != stamp:
                net.queue[length] = slot
                net.seen[slot] = stamp
                length += 1
            for car in range(cars):
                stay = net.stay[car, slot]
                if net.circuit_of[car] != circuit or stay < 0 or net.drawn[car, slot] >= net.cap[car, slot]:
                    continue
                if net.seen[stays_from + stay] == stamp:
                    continue
                net.queue[length] = stays_from + stay
                net.seen[stays_from + stay] = stamp
                length += 1
        else:
            stay = node - stays_from
            car = net.car_of[stay]
            if stay != net.last_stay[car] and net.kept[stay] < net.head[stay] and net.seen[node + 1] != stamp:
                net.queue[length] = node + 1
                net.seen[node + 1] = stamp
                length += 1
            if stay > 0 and net.car_of[stay - 1] == car and net.kept[stay - 1] > 0 and net.seen[node - 1] != stamp:
                net.queue[length] = node - 1
                net.seen[node - 1] = stamp
                length += 1
            if car >= car_fixed:
                begin = max(net.first_slot[stay], slot_fixed + 1) if car == car_fixed else net.first_slot[stay]
                for slot in range(begin, net.end_slot[stay]):
                    before = slots * (1 + net.circuit_of[car]) + slot
                    if net.drawn[car, slot] > 0 and net.stay[car, slot] == stay and net.seen[before] != stamp:
                        net.queue[length] = before
                        net.seen[before] = stamp
                        length += 1
        for position in range(fresh, length):
            found = net.queue[position]
            if goal != _EVERYWHERE and net.dead[found]:
                continue
            net.came_from[found] = node
            if found == goal:
                return found, length
            if goal == _ANY_NEED and found >= stays_from:
                stay = found - stays_from
                car = net.car_of[stay]
                if net.open_need[stay] > 0 or (stay == net.last_stay[car] and net.open_spare[car] > 0):
                    return found, length
        if goal != _EVERYWHERE:  # what is dead leads nowhere
            kept = fresh
            for position in range(fresh, length):
                if not net.dead[net.queue[position]]:
                    net.queue[kept] = net.queue[position]
                    kept += 1
            length = kept
    return _NONE, length


@njit(cache=True, nogil=True, inline="always")
def _room(net: SupplyNet, before: int, after: int) -> int:
    """Return how much more may flow from a node to a neighbour."""
    slots = net.stay.shape[1]
    stays_from = slots * (1 + net.circuit_cap.shape[0])
    if before < slots:
        circuit = after // slots - 1
        return int(net.circuit_cap[circuit, before] - net.circuit_drawn[circuit, before])
    if after < slots:
        return int(net.circuit_drawn[before // slots - 1, after])
    if before < stays_from:
        car, slot = net.car_of[after - stays_from], before % slots
        return int(net.cap[car, slot] - net.drawn[car, slot])
    stay = before - stays_from
    if after < stays_from:
        return int(net.drawn[net.car_of[stay], after % slots])
    return int(net.head[stay] - net.kept[stay] if after > before else net.kept[stay - 1])


@njit(cache=True, nogil=True, inline="always")
def _shift(net: SupplyNet, before: int, after: int, energy: int) -> None:
    """Let that much more flow from a node to a neighbour."""
    slots = net.stay.shape[1]
    stays_from = slots * (1 + net.circuit_cap.shape[0])
    if before < slots:
        net.circuit_drawn[after // slots - 1, before] += energy
    elif after < slots:
        net.circuit_drawn[before // slots - 1, after] -= energy
    elif before < stays_from:
        net.drawn[net.car_of[after - stays_from], before % slots] += energy
    elif after < stays_from:
        net.drawn[net.car_of[before - stays_from], after % slots] -= energy
    elif after > before:
        net.kept[before - stays_from] += energy
    else:
        net.kept[after - stays_from] -= energy


@njit(cache=True, nogil=True)
def _send(net: SupplyNet, start: int, target: int, most: int) -> int:
    """Send what fits along the path found, at most ``most``; return it."""
    energy = most
    node = target
    while node != start:
        energy = min(energy, _room(net, net.came_from[node], node))
        node = net.came_from[node]
    node = target
    while node != start:
        _shift(net, net.came_from[node], node, energy)
        node = net.came_from[node]
    return energy


@njit(cache=True, nogil=True, inline="always")
def _meet(net: SupplyNet, start: int, most: int, stamp: int) -> tuple[int, int]:
    """Send as much as can be used anywhere, from a node, at most ``most``; return it and the last stamp used."""
    stays_from = net.stay.shape[1] * (1 + net.circuit_cap.shape[0])
    sent = 0
    while sent < most and not net.dead[start]:
        stamp += 1
        target, length = _search(net, start, _ANY_NEED, stamp, 0, -1)
        if target == _NONE:  # nor will these nodes ever lead to a need again
            for position in range(length):
                net.dead[net.queue[position]] = True
            break
        stay = target - stays_from
        car = net.car_of[stay]
        if net.open_need[stay] > 0:
            energy = _send(net, start, target, min(most - sent, net.open_need[stay]))
            net.open_need[stay] -= energy
            net.met_need[stay] += energy
        else:
            energy = _send(net, start, target, min(most - sent, net.open_spare[car]))
            net.open_spare[car] -= energy
            net.met_spare[car] += energy
        sent += energy
    return sent, stamp


@njit(cache=True, nogil=True)
def fill(net: SupplyNet, order: Int32s, negative_count: int, supply: Int64s, last_to_serve: Int32s) -> None:
    """Open each half-hour in turn, as far as its energy can be used, then leave unmet what remains.

    ``order`` lists the half-hours by (price, time), the first ``negative_count`` below zero; ``supply`` is their
    limit; ``last_to_serve`` lists all stays, the ones first that are left short first.
    """
    cars, slots = net.stay.shape
    stays_from = slots * (1 + net.circuit_cap.shape[0])
    stamp = 0
    wanted = net.open_need.sum() + net.open_spare.sum()
    for rank in range(slots + 1):
        if rank == negative_count:  # from here on energy costs: what is only spare is left out, the last car's first
            for car in range(cars - 1, -1, -1):
                net.open_spare[car] = 0
                if net.met_spare[car] > 0:
                    sent, stamp = _meet(net, stays_from + net.last_stay[car], net.met_spare[car], stamp)
                    net.met_spare[car] -= sent
            wanted = net.open_need.sum()
        if wanted == 0 and rank >= negative_count:
            break
        if rank < slots:
            slot = order[rank]
            sent, stamp = _meet(net, slot, supply[slot], stamp)
            net.supplied[slot] = sent
            wanted -= sent
    for stay in last_to_serve:
        net.unmet[stay] += net.open_need[stay]
        wanted -= net.open_need[stay]
        net.open_need[stay] = 0
        if net.met_need[stay] > 0 and wanted > 0:
            sent, stamp = _meet(net, stays_from + stay, net.met_need[stay], stamp)
            net.met_need[stay] -= sent
            net.unmet[stay] += sent
            wanted -= sent


@njit(cache=True, nogil=True)
def settle(net: SupplyNet) -> None:
    """Let the first car draw as much as it can in the earliest half-hour, then in the next, then the second car."""
    cars, slots = net.stay.shape
    stays_from = slots * (1 + net.circuit_cap.shape[0])
    net.dead[:] = False
    net.seen[:] = 0
    stamp = 0
    for car in range(cars - 1):
        for slot in range(slots):
            if net.stay[car, slot] < 0:
                continue
            others = 0
            for other in range(car + 1, cars):
                others += net.drawn[other, slot]
            room = min(net.cap[car, slot] - net.drawn[car, slot], others)
            start, goal = stays_from + net.stay[car, slot], slots * (1 + net.circuit_of[car]) + slot
            while room > 0:
                stamp += 1
                target, _ = _search(net, start, goal, stamp, car, slot)
                if target == _NONE:
                    break
                energy = _send(net, start, target, room)
                net.drawn[car, slot] += energy
                room -= energy


@njit(cache=True, nogil=True)
def reachable(net: SupplyNet, start: int, stamp: int) -> Int32s:
    """Return the nodes to which one more Wh could go from a node, itself included; ``stamp`` > 0 and new."""
    _, length = _search(net, start, _EVERYWHERE, stamp, 0, -1)
    return net.queue[:length].copy()
