"""A week that may stand for every week of a year: it begins with the cars as full as it leaves them.

A car that happens to stand full today needs little in the coming days, one that stands empty more than it drives, and a
week that starts at noon lacks half a day and a night. Times 52 that would be a year of free driving, or of filling up.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import timedelta
from zoneinfo import ZoneInfo

from service.common.slots import local_day_slots, local_of
from service.planning.domain.household_week import HouseholdWeek
from service.planning.domain.side_by_side import side_of
from service.planning.domain.week import plan_household


def whole_week_slot(slot: int, zone: ZoneInfo) -> int:
    """Return the first local midnight from a half-hour on: a week from there has seven whole days and nights."""
    day = local_of(slot, zone).date()
    starts = (local_day_slots(day + timedelta(days=each), zone).start for each in (0, 1))
    return next(start for start in starts if start >= slot)


def settled(week: HouseholdWeek) -> HouseholdWeek:
    """Return a week with its cars charged at the start as a week before it would leave them.

    That week is begun at their reserves, and ends with what the next departure needs and cannot get later. Where more
    would be short so than as the cars stand, the week is returned as it is: a shortfall is never made up.
    """
    before = _begun(week, {each.vehicle_id: each.reserve_wh for each in week.vehicles})
    left_wh = {each.vehicle_id: each.stays[-1].level_after_wh for each in plan_household(before).vehicles if each.stays}
    found = _begun(week, left_wh)
    return week if _short_wh(found) > _short_wh(week) else found


def _begun(week: HouseholdWeek, charge_wh: Mapping[str, int]) -> HouseholdWeek:
    vehicles = (
        replace(each, start_charge_wh=min(each.battery_wh, charge_wh.get(each.vehicle_id, each.start_charge_wh)))
        for each in week.vehicles
    )
    return replace(week, vehicles=tuple(vehicles))


def _short_wh(week: HouseholdWeek) -> int:
    return side_of(plan_household(week), week).short_wh
