"""What people of the demo do and keep: a home's habits, and the diary of a car by weekday."""

from __future__ import annotations

from dataclasses import asdict
from datetime import date, timedelta
from typing import Any

from service.cli.seed.files import WEEKDAYS, Moment, Node, stable_id
from service.cli.seed.home_parts import HomeRows
from service.households import models
from service.households.domain.diary_days import DiaryEntry, check_days
from service.households.domain.habit_details import HabitDetails


def habit_values(root: Node) -> dict[str, Any]:
    """Return a home's habits as its row has them, the usual ones where its file names none; raises ``SeedError``."""
    if root.at("habits").value is None:
        return asdict(HabitDetails())
    node = root.at("habits").object(
        "swap_times", optional=("need_quantile_permille", "yearly_kwh", "quiet_from", "quiet_until")
    )
    swaps = [time.as_wall_minutes() for time in node.items("swap_times")]
    with node.checked():
        return asdict(
            HabitDetails(
                swap_times_min=tuple(swaps),
                need_quantile_permille=node.or_none(node.whole, "need_quantile_permille") or 900,
                yearly_kwh=node.or_none(node.whole, "yearly_kwh"),
                quiet_from_min=node.or_none(node.wall_minutes, "quiet_from"),
                quiet_until_min=node.or_none(node.wall_minutes, "quiet_until"),
            )
        )


def add_diary(rows: HomeRows, car: Node, vehicle_id: str) -> None:
    """Keep the days of a car's diary: the weeks before the day of loading, the newest first; raises ``SeedError``."""
    weeks = list(enumerate(car.items("diary")))
    entries = [_entry(week, day, weeks_ago, rows.moment) for weeks_ago, week in weeks for day in WEEKDAYS]
    if not entries:
        return
    with car.checked():
        check_days(entries, today=rows.moment.today)
    for entry in entries:
        rows.add(
            4,
            models.DiaryDay(
                id=stable_id("diary", vehicle_id, entry.on.isoformat()),
                household_id=rows.household_id,
                vehicle_id=vehicle_id,
                on_date=entry.on,
                miles=entry.miles,
                source="seed",
            ),
        )


def _entry(week: Node, day: str, weeks_ago: int, moment: Moment) -> DiaryEntry:
    week.object(*WEEKDAYS)
    with week.checked():
        return DiaryEntry(_last(day, moment.today) - timedelta(weeks=weeks_ago), week.decimal(day))


def _last(day: str, today: date) -> date:
    """Return the newest day of that name that is over."""
    ago = (today.weekday() - WEEKDAYS.index(day)) % 7 or 7
    return today - timedelta(days=ago)
