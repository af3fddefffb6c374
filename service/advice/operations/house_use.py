"""What a home's house uses in the coming year without its cars, from the best that is stored of it."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from typing import Final
from zoneinfo import ZoneInfo

from service.advice.domain.bill import YEAR_DAYS
from service.advice.domain.house_use import (
    MOST_DAYS,
    HouseUse,
    MeterSpan,
    charged_by_slot,
    days_shape,
    metered_use,
    read_use,
    span_of,
    told_use,
    typical_use,
)
from service.common.slots import local_day_slots, slot_start
from service.figures.domain.book import FigureBook
from service.figures.operations import load_book
from service.households.domain.equipment import MeterKind
from service.households.models import Household
from service.households.operations import (
    HomeCharge,
    get_household,
    load_half_hours,
    load_home_charges,
    load_register_readings,
)
from service.infrastructure.db.sessions import SchemeSession

TYPICAL: Final = "typical_use"
WEEK_DAYS: Final = 7


def get_house_use(session: SchemeSession, household_id: str, *, at: datetime) -> HouseUse:
    """Return the house's coming year; raises ``NotFound``, and ``FigureNotKnown`` where nothing at all is known."""
    household = get_household(session, household_id)
    today = at.astimezone(ZoneInfo(household.zone)).date()
    return read_house_use(session, household, load_book(session), today, planned_week_wh=0)


def read_house_use(
    session: SchemeSession, household: Household, book: FigureBook, today: date, *, planned_week_wh: int
) -> HouseUse:
    """Return the house's year from a day on.

    ``planned_week_wh`` is what the cars take in a planned week: it is taken out of a meter's readings where nobody
    recorded what was charged.
    """
    zone, end_on = ZoneInfo(household.zone), today + timedelta(days=YEAR_DAYS)
    since = local_day_slots(today - timedelta(days=MOST_DAYS), zone).start
    charges = load_home_charges(session, household.id, since=slot_start(since))
    read = load_half_hours(session, household.id, since=since)
    shape = days_shape(today, end_on, zone)
    if read:
        slots = [(each.first_slot, each.end_slot, each.energy_wh, each.half_hours) for each in charges]
        found = read_use(read, charged_by_slot(slots), today, end_on, zone, planned_week_wh=planned_week_wh)
        if found is not None:
            return found
    span = span_of(load_register_readings(session, household.id))
    if span is not None and (today - span.end_on).days <= MOST_DAYS:
        charged_wh, words = _charged_in(span, charges, planned_week_wh, zone)
        found = metered_use(span, charged_wh, words, shape, zone)
        if found is not None:
            return found
    if household.yearly_kwh is not None:
        return told_use(household.yearly_kwh, shape)
    rates = "two_rate" if household.meter_kind == MeterKind.TWO_RATE else "single_rate"
    return typical_use(book.at(TYPICAL, today, f"{rates}_medium"), shape)


def _charged_in(
    span: MeterSpan, charges: list[HomeCharge], planned_week_wh: int, zone: ZoneInfo
) -> tuple[int, str]:
    """Return what cars took between two readings of the meter, and how that is known."""
    days = [each.starts_at.astimezone(zone).date() for each in charges]
    inside = [each.energy_wh for each, day in zip(charges, days, strict=True) if span.first_on <= day < span.end_on]
    if inside:
        return sum(inside), "as recorded"
    return planned_week_wh * span.days // WEEK_DAYS, "as planned for the coming week: no charge is recorded"
