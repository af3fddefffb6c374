"""The coming week of homes as it is and after each kind of work: read for many at once, planned one by one."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from zoneinfo import ZoneInfo

from service.advice.domain.settled_week import settled, whole_week_slot
from service.advice.domain.upgrade_second_car import OneMoreCar
from service.advice.domain.upgrade_week import WeekFigures, week_figures
from service.advice.domain.upgrade_works import (
    Cleared,
    NoQuestion,
    Target,
    Variant,
    as_if_cleared,
    changed_outlet,
    is_stopped,
    may_charge,
    target_of,
    variant_of,
    with_leads_set_down,
)
from service.common.errors import Rejected
from service.common.slots import local_of, slot_start
from service.households.domain.homes import HomeInputs
from service.households.operations import load_homes
from service.infrastructure.db.sessions import SchemeSession
from service.planning.domain.car_week import PlannedBefore
from service.planning.domain.home_week import HomeWeek, home_week
from service.planning.domain.price_book import PriceBook
from service.planning.domain.state_of_charge import READING_LASTS_SLOTS
from service.planning.domain.what_if import Changes, changed_home
from service.planning.operations.gather import load_home_terms, load_in_force
from service.planning.operations.runs import next_slot
from service.safety.operations import load_for_planning

AS_IF_NOW_CLEARED = (
    "Nothing may charge here so far: what is there is planned as if an electrician had checked it and cleared it as it"
    " is."
)
AS_IF_WORKS_CLEARED = "What does not exist yet is planned as if an electrician had installed, tested and recorded it."
CABLE_THERE = "A charging point is taken to have its cable and a circuit of its own."
NO_LEAD = "A car here has no lead for a 13 A socket, so works on the socket are left out."
NO_DATED = "Dated journeys are left out: a year is made of the weekly routine."
SET_DOWN = (
    "A lead here is set higher than the outlet may carry, so nothing is charged: it is planned as if it were set down."
    " Set it down and show it in a photo first; that costs nothing."
)
SETTLED = "The week is planned from a midnight on and begins with the cars as full as it leaves them."
SOCKET_ALONE = "A socket marked for cars is made for long loads; alone it is planned at the current that flows now."


@dataclass(frozen=True)
class ReadHome:
    """A home as it was read once, to be made a week as often as asked: seven whole days from a midnight on."""

    home: HomeInputs
    cleared: Cleared
    before: Mapping[str, PlannedBefore]
    book: PriceBook
    as_of_slot: int
    today: date

    @property
    def zone(self) -> ZoneInfo:
        """Return the zone in which the home's days are read."""
        return ZoneInfo(self.home.zone)

    def week(self, home: HomeInputs, cleared: Cleared) -> HomeWeek:
        """Return the week of the home as given."""
        return home_week(
            home,
            self.book.for_home(home, self.zone),
            cleared.outlets,
            self.before,
            as_of_slot=self.as_of_slot,
            zone=self.zone,
            leads=cleared.leads,
        )


@dataclass(frozen=True)
class PlannedWorks:
    """A home's week by variant; ``is_as_if`` where nothing may charge now, ``said`` is what was taken for granted."""

    target: Target
    weeks: Mapping[Variant, WeekFigures]
    is_as_if: bool
    is_stopped: bool
    said: tuple[str, ...]


def read_homes(session: SchemeSession, household_ids: Sequence[str], *, at: datetime) -> list[ReadHome]:
    """Return homes of the scheme ready to be planned from their next midnight on, a few statements for all."""
    slot = next_slot(at)
    homes = load_homes(session, household_ids, from_at=slot_start(slot - READING_LASTS_SLOTS))
    clearances = load_for_planning(session, homes, at=slot_start(slot))
    in_force = load_in_force(session, [home.id for home in homes])
    terms = load_home_terms(session, homes, slot)
    begins = {home.zone: whole_week_slot(slot, ZoneInfo(home.zone)) for home in homes}
    books = {begin: PriceBook(terms, begin) for begin in begins.values()}
    return [
        ReadHome(
            home,
            Cleared(clearances[home.id].outlets, clearances[home.id].leads),
            in_force[home.id].by_vehicle() if home.id in in_force else {},
            books[begins[home.zone]],
            begins[home.zone],
            local_of(slot, ZoneInfo(home.zone)).date(),
        )
        for home in homes
    ]


def plan_works(read: ReadHome, second: OneMoreCar | None = None) -> PlannedWorks | NoQuestion:
    """Plan a home's week as it is and after each kind of work, or say why there is nothing to compare.

    Raises
    ------
    Rejected
        Where the second car cannot be.
    """
    found = target_of(read.home)
    if isinstance(found, NoQuestion):
        return found
    home, target = without_dated(read.home), found
    if second is not None:
        home = changed_home(home, Changes(second_car=second.at(found)), from_on=read.today)
        target = Target(found.outlet, tuple(car for car in home.cars if car.outlet_id == found.outlet.id))
    is_as_if = not may_charge(read.cleared, found)
    said = [AS_IF_NOW_CLEARED] if is_as_if else []
    said += [NO_DATED] if any(car.journeys for car in read.home.cars) else []
    limit_a = _limit_now(read.cleared, target, is_as_if=is_as_if)
    as_is = with_leads_set_down(home, target.outlet.id, limit_a)
    said += [SET_DOWN] if as_is.cars != home.cars else []
    now = read.week(as_is, as_if_cleared(read.cleared, target, limit_a))
    now = replace(now, week=settled(now.week))
    weeks = {Variant.NOW: week_figures(now)}
    for variant in dict.fromkeys(map(variant_of, target.works)):
        changed = changed_outlet(target, variant)
        if changed is None:
            continue
        try:
            other = changed_home(home, Changes(outlet=changed), from_on=read.today)
            other = with_leads_set_down(other, target.outlet.id, changed.limit_a)
        except Rejected:
            said.append(NO_LEAD)  # the only way in which these changes do not fit a home that was read whole
            continue
        cleared = as_if_cleared(read.cleared, target, changed.limit_a)
        weeks[variant] = week_figures(read.week(other, cleared), like=now)
    if not any(week.wall_wh or week.short_wh for week in weeks.values()):
        return NoQuestion.NOTHING_CHARGED
    said += [SETTLED, AS_IF_WORKS_CLEARED, CABLE_THERE, *([SOCKET_ALONE] if target.is_socket else [])]
    return PlannedWorks(target, weeks, is_as_if, is_stopped(read.cleared, read.home), tuple(said))


def without_dated(home: HomeInputs) -> HomeInputs:
    """Return a home without its dated journeys: one long trip is not 52 of them, nor is one week away."""
    return replace(home, cars=tuple(replace(car, journeys=()) for car in home.cars))


def _limit_now(cleared: Cleared, target: Target, *, is_as_if: bool) -> int:
    known = next((each.limit_a for each in cleared.outlets if each.outlet_id == target.outlet.id), None)
    return target.outlet.limit_a if is_as_if or known is None else known
