"""When a vehicle may charge at all: within the evidence for its outlet, outside quiet hours, in its turns.

Windows are relative to the horizon, ascending and disjoint, as ``segments.vehicle_path`` takes them.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise

from service.planning.domain.household_week import HouseholdWeek, OutletOption
from service.planning.domain.path_kernel import Window


def openings(week: HouseholdWeek, option: OutletOption, *, usable_until_slot: int | None = None) -> list[Window]:
    """Return when an outlet may be used, whoever else uses it; ``usable_until_slot`` in place of its evidence's end."""
    until = option.usable_until_slot if usable_until_slot is None else usable_until_slot
    end = min(week.prices.count, until - week.prices.first_slot)
    quiet = [(first - week.prices.first_slot, stop - week.prices.first_slot) for first, stop in week.quiet_spans]
    return [(first, stop, option.cap_wh) for first, stop in _without((0, end), quiet)]


def within(windows: Sequence[Window], spans: Iterable[tuple[int, int]]) -> list[Window]:
    """Return what of the windows lies in some spans, which are ascending and disjoint."""
    return [
        (max(first, opens), min(end, closes), cap)
        for opens, closes in spans
        for first, end, cap in windows
        if max(first, opens) < min(end, closes)
    ]


def turn_spans(week: HouseholdWeek) -> list[tuple[int, int]]:
    """Return the turns: between one swap and the next an outlet keeps its car."""
    first, count = week.prices.first_slot, week.prices.count
    edges = [0, *sorted({slot - first for slot in week.swap_slots if 0 < slot - first < count}), count]
    return list(pairwise(edges))


def relative_noons(week: HouseholdWeek) -> list[int]:
    """Return the local noons inside the horizon."""
    first, count = week.prices.first_slot, week.prices.count
    return sorted(slot - first for slot in week.noon_slots if 0 < slot - first < count)


def _without(span: tuple[int, int], taken: Sequence[tuple[int, int]]) -> list[tuple[int, int]]:
    """Return a span without some others, which are ascending."""
    first, end = span
    left = []
    for opens, closes in taken:
        if first < min(opens, end):
            left.append((first, min(opens, end)))
        first = max(first, closes)
    if first < end:
        left.append((first, end))
    return left
