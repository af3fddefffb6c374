"""From energy in half-hours to instants and currents: when a run starts and ends, and at what current.

A car cannot be asked to draw less than 6 A a phase: the pilot signal of IEC 61851-1 has no value
below that (two test-instrument manuals, which agree; the standard itself was not read). So a
part-loaded half-hour is a matter of time, not of current: at a run's edge full current for part of it; within a run the
current that spreads the energy over the half-hour, and where that would be below 6 A, 6 A for part
of it. Prices stand for a whole half-hour, so none of this changes a cost. Rounding goes down:
never more energy than planned, and less by what one second draws at most.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal
from typing import Final

from service.common.slots import SLOT_S
from service.common.units import SECONDS_PER_HOUR
from service.planning.domain.charging import power_w

LEAST_CURRENT_A: Final = Decimal(6)
"""Least current a phase that a pilot signal can ask for: IEC 61851-1 as two test-instrument manuals give it."""

CURRENT_STEP_A: Final = Decimal("0.1")
"""Own choice: finer than any lead or point is set."""


@dataclass(frozen=True, slots=True)
class PartLoad:
    """How one half-hour is charged: a current on each phase [A] for a time [s], from its start or up to its end."""

    current_a: Decimal
    seconds: int


@dataclass(frozen=True, slots=True)
class Session:
    """One run: from ``starts_s`` to ``ends_s``, seconds on the scale on which slot 0 starts at 0, and its energy."""

    starts_s: int
    ends_s: int
    energy_wh: int


def part_load(energy_wh: int, cap_wh: int, limit_a: Decimal | int, phases: int, *, at_edge: bool) -> PartLoad:
    """Return current and time that give a half-hour's energy, at the declared voltage.

    Parameters
    ----------
    energy_wh, cap_wh : int
        Energy in the half-hour and what a full one gives, at the wall.
    limit_a : Decimal or int
        Current of a full half-hour on each phase, 6 A or more.
    phases : int
    at_edge : bool
        Whether it is the first or the last half-hour of its run. There it is full current, late
        or cut short. Elsewhere the current goes up to a whole tenth of an ampere and the
        fraction of a tenth comes off the time.

    Raises
    ------
    ValueError
        If the energy is not between 1 Wh and a full half-hour's, or the current is below 6 A.

    >>> part_load(920, 1840, 16, 1, at_edge=True)
    PartLoad(current_a=Decimal('16'), seconds=900)
    >>> part_load(920, 1840, 16, 1, at_edge=False), part_load(345, 1840, 16, 1, at_edge=False)
    (PartLoad(current_a=Decimal('8.0'), seconds=1800), PartLoad(current_a=Decimal('6'), seconds=900))
    """
    if not 1 <= energy_wh <= cap_wh:
        raise ValueError(f"energy must lie between 1 and {cap_wh} Wh")
    limit = Decimal(limit_a)
    if limit < LEAST_CURRENT_A:
        raise ValueError(f"no car can be asked for less than {LEAST_CURRENT_A} A")
    if at_edge or energy_wh == cap_wh:
        return PartLoad(limit, _seconds_at_full(energy_wh, cap_wh))
    spread_a = Decimal(energy_wh) * SECONDS_PER_HOUR / (power_w(1, phases) * SLOT_S)
    current = min(limit, max(LEAST_CURRENT_A, spread_a.quantize(CURRENT_STEP_A, ROUND_CEILING)))
    seconds = int(Decimal(energy_wh) * SECONDS_PER_HOUR // power_w(current, phases))
    return PartLoad(current, min(seconds, SLOT_S))


def sessions(
    used_slot: Sequence[int], used_wh: Sequence[int], cap_wh: int, *, breaks: Iterable[int] = ()
) -> tuple[Session, ...]:
    """Return the runs of a plan as exact times.

    Parameters
    ----------
    used_slot, used_wh : sequence of int
        Half-hours that charge, ascending, and their energies at the wall, as a plan has them.
    cap_wh : int
        What a full half-hour gives.
    breaks : iterable of int
        Slots at which a run of its own begins even if the half-hour before charges (the next
        night's, another stay's).

    Notes
    -----
    A part-loaded first half-hour of several starts late, a part-loaded last one ends early, and a
    single one starts on its boundary. What a part-loaded half-hour in between does is
    ``part_load``'s to say: the run goes on through it. A run of less than a second is left out.
    """
    begins = set(breaks)
    found: list[Session] = []
    first = 0
    for position in range(1, len(used_slot) + 1):
        is_end = position == len(used_slot) or used_slot[position] != used_slot[position - 1] + 1
        if not is_end and used_slot[position] not in begins:
            continue
        session = _session(used_slot[first:position], used_wh[first:position], cap_wh)
        if session.ends_s > session.starts_s:
            found.append(session)
        first = position
    return tuple(found)


def _session(slots: Sequence[int], energies_wh: Sequence[int], cap_wh: int) -> Session:
    starts_s = slots[0] * SLOT_S
    if len(slots) > 1:
        starts_s += SLOT_S - _seconds_at_full(energies_wh[0], cap_wh)
    ends_s = slots[-1] * SLOT_S + _seconds_at_full(energies_wh[-1], cap_wh)
    return Session(starts_s, ends_s, sum(energies_wh))


def _seconds_at_full(energy_wh: int, cap_wh: int) -> int:
    """Return how long an energy takes at a full half-hour's power, rounded down [s]."""
    return min(SLOT_S, energy_wh * SLOT_S // cap_wh)
