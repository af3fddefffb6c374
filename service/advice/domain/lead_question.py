"""What the verdict on a lead is asked of: the diary, the nights, the battery; and the words of the answer."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum
from typing import Final

from service.advice.domain.diary_years import MOST_DAYS
from service.advice.domain.lead_nights import battery_gains_wh
from service.advice.domain.lead_simulation import Battery
from service.planning.domain.car_week import battery_wh
from service.planning.domain.charging import PERMILLE, wall_need_wh, wall_room_wh

HOURS_A_DAY: Final = 24
ENOUGH_PERMILLE: Final = 20
"""Up to a week in fifty, about one a year, may fall short where a lead is called enough: own choice."""
MOST_WEEKS_PERMILLE: Final = 250
"""Up to a week in four may, where it is called enough most weeks: own choice."""


class Verdict(StrEnum):
    """Whether the lead is enough."""

    ENOUGH = "enough"
    MOST_WEEKS = "enough_most_weeks"
    NOT_ENOUGH = "not_enough"
    NOT_KNOWN = "not_known"

    @property
    def words(self) -> str:
        """Return it as people read it."""
        return self.value.replace("_", " ")


@dataclass(frozen=True)
class PlannedJourney:
    """A journey of a date ahead: when it leaves, days until it is back, miles there and back."""

    on: date
    days_away: int
    miles: Decimal
    replaces_routine: bool


@dataclass(frozen=True)
class LeadQuestion:
    """What a verdict is asked of: one car on one lead; ``minutes`` are plugged in before each weekday, Monday first.

    Standing, the car takes ``standby_w`` from its battery.
    """

    diary: tuple[tuple[date, Decimal], ...]
    minutes: tuple[int, ...]
    power_w: Decimal
    efficiency_permille: int
    miles_per_kwh: Decimal
    battery: Battery
    today: date
    shared_by: int = 1
    journeys: tuple[PlannedJourney, ...] = ()
    long_miles: Decimal | None = None
    standby_w: int = 0

    @property
    def gains_wh(self) -> tuple[int, ...]:
        """Return what each night puts into the battery [Wh]."""
        return battery_gains_wh(self.minutes, self.power_w, self.efficiency_permille, shared_by=self.shared_by)

    @property
    def usable_wh(self) -> int:
        """Return what lies between reserve and ceiling: no night carries more [Wh]."""
        return self.battery.ceiling_wh - self.battery.reserve_wh

    def used_wh(self) -> dict[date, int]:
        """Return the battery energy of each day kept, the newest sixty at most [Wh]."""
        return {day: self.day_wh(miles) for day, miles in sorted(self.diary)[-MOST_DAYS:]}

    def day_wh(self, miles: Decimal) -> int:
        """Return the battery energy that a day of so many miles takes, standing about included [Wh]."""
        return battery_wh(miles, self.miles_per_kwh) + self.standby_w * HOURS_A_DAY


@dataclass(frozen=True)
class NightShown:
    """One day that was kept: what it took at the wall [Wh], what the night before carries [Wh], and for how long.

    A night carries no more than lies between reserve and ceiling, however long it is.
    """

    on: date
    miles: Decimal
    need_wh: int
    given_wh: int
    need_minutes: int
    plugged_minutes: int


def verdict_of(week_share: float) -> Verdict:
    """Return the verdict for a share of weeks that fall short."""
    if week_share * PERMILLE <= ENOUGH_PERMILLE:
        return Verdict.ENOUGH
    return Verdict.MOST_WEEKS if week_share * PERMILLE <= MOST_WEEKS_PERMILLE else Verdict.NOT_ENOUGH


def nights_shown(asked: LeadQuestion) -> tuple[NightShown, ...]:
    """Return each day that was kept beside what the night before it gives, oldest first."""
    found = []
    for day, miles in sorted(asked.diary)[-MOST_DAYS:]:
        need_wh = wall_need_wh(asked.day_wh(miles), asked.efficiency_permille)
        minutes = asked.minutes[day.weekday()] // asked.shared_by
        given_wh = min(int(asked.power_w * minutes / 60), wall_room_wh(asked.usable_wh, asked.efficiency_permille))
        need_minutes = int((Decimal(need_wh) * 60 / asked.power_w).to_integral_value())
        found.append(NightShown(day, miles, need_wh, given_wh, need_minutes, minutes))
    return tuple(found)
