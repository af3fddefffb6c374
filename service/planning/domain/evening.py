"""The habits of a home as half-hours of one week: when cars can be swapped, where nights end, when it is quiet."""

from __future__ import annotations

from datetime import timedelta
from functools import lru_cache
from typing import Final
from zoneinfo import ZoneInfo

from service.common.slots import instant_at, slot_index
from service.planning.domain.household_week import HORIZON_DAYS
from service.planning.domain.price_book import LocalWeek

NOON_MIN: Final = 12 * 60
_MINUTES_A_DAY: Final = 24 * 60


@lru_cache(maxsize=1024)
def slots_at(local: LocalWeek, zone: ZoneInfo, minutes: tuple[int, ...]) -> tuple[int, ...]:
    """Return the half-hours of the week that hold some times of day, as absolute slots in order.

    A time that a clock change skips counts where the clock goes on; one that comes twice, the first time.
    """
    days = [local.first_day + timedelta(days=ahead) for ahead in range(HORIZON_DAYS)]
    found = {slot_index(instant_at(day, minute, zone)) for day in days for minute in minutes}
    return tuple(sorted(slot for slot in found if local.first_slot < slot < local.end_slot))


@lru_cache(maxsize=1024)
def quiet_spans(local: LocalWeek, zone: ZoneInfo, quiet_min: tuple[int, int] | None) -> tuple[tuple[int, int], ...]:
    """Return [first, end) of each quiet time that touches the week; one that ends before it starts runs past midnight.

    A half-hour that is quiet in part is quiet.
    """
    if quiet_min is None:
        return ()
    begins, ends = quiet_min
    length_days = 1 if ends <= begins else 0
    spans = []
    for ahead in range(-1, HORIZON_DAYS):
        day = local.first_day + timedelta(days=ahead)
        first = slot_index(instant_at(day, begins, zone))
        last = instant_at(day + timedelta(days=length_days), ends, zone)
        end = slot_index(last - timedelta.resolution) + 1
        if max(first, local.first_slot) < min(end, local.end_slot):
            spans.append((max(first, local.first_slot), min(end, local.end_slot)))
    return tuple(spans)
