"""The plan against what was charged: by local day, at the price then in force, with what the time of charging cost.

Money is exact (micro-pence per kWh x Wh = 1e-9 p) and rounded once a day and once in all. Energy without a price never
becomes money. What is estimated from miles stands apart and has no cost: nobody recorded when it was charged.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Final
from zoneinfo import ZoneInfo

from service.advice.domain.charged_estimate import DrivenCar, EstimatedDay, estimated_days, week_of
from service.advice.domain.charged_prices import CHEAP_RULE, PaidPrices
from service.advice.domain.charged_stays import Stay, stay_cost, stays_of
from service.common.money import format_pence, round_half_up
from service.common.slots import local_of
from service.common.units import WH_PER_KWH
from service.common.working import Step
from service.households.domain.charging_records import Charged
from service.households.domain.equipment import ChargingPlace

NP_PER_UP: Final = 1_000
DAYS_MAX: Final = 92
"""Own bound: a quarter of a year in one answer."""
SPREAD_NOTE: Final = (
    "A record without half-hours is spread evenly over its time: its share in cheap hours, and so its cost, may have "
    "been otherwise."
)
ESTIMATE_NOTE: Final = (
    "An estimate stands for a week in which a car has no record at all: its miles, over miles per kWh and the loss of "
    "charging. Nobody recorded when or where it was charged, so it has no cost and is in no total of what was charged."
)
PLAN_NOTE: Final = "Plans are kept for two weeks: of days before that the plan is not known."
WINDOW_NOTE: Final = (
    "A car is taken to have been plugged in from the start of a record until it next leaves by its routine and "
    "journeys as they stand now, for a day at most."
)


@dataclass(frozen=True)
class ChargedDay:
    """One local day [Wh at the wall, 1e-6 p]; a cost is None where a price of that day's energy is missing.

    ``planned_wh`` is None where no plan is kept of the whole day. ``outside_cheap_wh`` counts only on days that have
    cheap hours. ``dearer_up`` is what stays that began on this day cost more than the cheapest half-hours in them.
    """

    on: date
    home_wh: int = 0
    elsewhere_wh: int = 0
    paid_pence: int = 0
    unpaid_count: int = 0
    cost_up: int | None = 0
    unpriced_wh: int = 0
    outside_cheap_wh: int = 0
    dearer_up: int | None = 0
    planned_wh: int | None = None
    estimate_wh: int = 0
    is_spread: bool = False


@dataclass(frozen=True)
class ChargedTotals:
    """All days together; costs as ``ChargedDay`` has them, of energy with a price."""

    home_wh: int
    elsewhere_wh: int
    paid_pence: int
    unpaid_count: int
    cost_up: int
    unpriced_wh: int
    outside_cheap_wh: int
    dearer_up: int
    uncompared_wh: int
    estimate_wh: int
    planned_wh: int
    planned_days: int
    home_on_planned_days_wh: int


@dataclass(frozen=True)
class ChargedAnswer:
    """Days in order, totals, what has to be known to read them, and the working."""

    days: tuple[ChargedDay, ...]
    totals: ChargedTotals
    estimates: tuple[EstimatedDay, ...]
    notes: tuple[str, ...]
    steps: tuple[Step, ...]


@dataclass
class _Day:
    """What a day adds up to while records are gone through; ``_np`` is 1e-9 p."""

    home_wh: int = 0
    elsewhere_wh: int = 0
    paid_pence: int = 0
    unpaid_count: int = 0
    cost_np: int = 0
    unpriced_wh: int = 0
    outside_cheap_wh: int = 0
    dearer_np: int = 0
    uncompared_wh: int = 0
    is_spread: bool = False
    planned: int | None = None
    estimates: list[EstimatedDay] = field(default_factory=list)


def charged_answer(
    records: Sequence[Charged],
    prices: PaidPrices,
    zone: ZoneInfo,
    *,
    leaves: Mapping[str, Sequence[datetime]],
    planned_wh: Mapping[int, int | None],
    cars: Sequence[DrivenCar],
    first_on: date,
    end_on: date,
    today: date,
) -> ChargedAnswer:
    """Return what was charged on the local days [first_on, end_on).

    Parameters
    ----------
    records : sequence of Charged
        All that overlap the weeks (Monday to Sunday) of the period.
    prices : PaidPrices
        Of these days and of one before and after them, into which a stay may reach.
    leaves : mapping
        By car, when it leaves, in order.
    planned_wh : mapping
        By half-hour, what the plan then in force would have had all cars draw; None or missing: not known.
    cars : sequence of DrivenCar
        For the estimate.
    today : date
        It is not over, so it is never estimated.
    """
    own_days = [(on, slots) for on, slots in prices.days if first_on <= on < end_on]
    days = {on: _Day() for on, _ in own_days}
    for record in records:
        _add_record(record, days, prices, zone)
    for stay in stays_of((each for each in records if each.place == ChargingPlace.HOME), leaves):
        _add_stay(stay, days, prices, zone)
    for on, slots in own_days:
        planned = [planned_wh.get(slot) for slot in slots]
        known = [each for each in planned if each is not None]
        days[on].planned = sum(known) if len(known) == len(planned) else None
    for car in cars:
        weeks = frozenset(
            week_of(local_of(slot, zone).date())
            for record in records
            if record.vehicle_id == car.vehicle_id
            for slot, _ in record.by_slot()
        )
        for each in estimated_days(car, (on for on in days if on < today), weeks):
            days[each.on].estimates.append(each)
    found = tuple(_finished(on, day) for on, day in days.items())
    totals = _totals(list(days.values()))
    return ChargedAnswer(
        found,
        totals,
        tuple(each for day in days.values() for each in day.estimates),
        _notes(found),
        _steps(found, totals, prices, cars),
    )


def _add_record(record: Charged, days: Mapping[date, _Day], prices: PaidPrices, zone: ZoneInfo) -> None:
    """Add a record's half-hours to their days; what was paid elsewhere to the day it began on."""
    if record.place != ChargingPlace.HOME:
        began = days.get(record.starts_at.astimezone(zone).date())
        if began is not None and record.paid_pence is not None:
            began.paid_pence += record.paid_pence
        elif began is not None:
            began.unpaid_count += 1
    for slot, wh in record.by_slot():
        day = days.get(local_of(slot, zone).date())
        if day is None:
            continue
        if record.place != ChargingPlace.HOME:
            day.elsewhere_wh += wh
            continue
        day.home_wh += wh
        day.is_spread = day.is_spread or record.is_spread
        price = prices.price(slot)
        if price is None:
            day.unpriced_wh += wh
            continue
        day.cost_np += price * wh
        if prices.is_outside(slot):
            day.outside_cheap_wh += wh


def _add_stay(stay: Stay, days: Mapping[date, _Day], prices: PaidPrices, zone: ZoneInfo) -> None:
    day = days.get(stay.starts_at.astimezone(zone).date())
    if day is None:
        return
    cost = stay_cost(stay, prices)
    if cost.paid_np is None or cost.cheapest_np is None:
        day.uncompared_wh += stay.energy_wh
    else:
        day.dearer_np += cost.paid_np - cost.cheapest_np


def _finished(on: date, day: _Day) -> ChargedDay:
    return ChargedDay(
        on=on,
        home_wh=day.home_wh,
        elsewhere_wh=day.elsewhere_wh,
        paid_pence=day.paid_pence,
        unpaid_count=day.unpaid_count,
        cost_up=None if day.unpriced_wh else round_half_up(day.cost_np, NP_PER_UP),
        unpriced_wh=day.unpriced_wh,
        outside_cheap_wh=day.outside_cheap_wh,
        dearer_up=None if day.uncompared_wh else round_half_up(day.dearer_np, NP_PER_UP),
        planned_wh=day.planned,
        estimate_wh=sum(each.energy_wh for each in day.estimates),
        is_spread=day.is_spread,
    )


def _totals(days: Sequence[_Day]) -> ChargedTotals:
    planned = [day for day in days if day.planned is not None]
    return ChargedTotals(
        home_wh=sum(day.home_wh for day in days),
        elsewhere_wh=sum(day.elsewhere_wh for day in days),
        paid_pence=sum(day.paid_pence for day in days),
        unpaid_count=sum(day.unpaid_count for day in days),
        cost_up=round_half_up(sum(day.cost_np for day in days), NP_PER_UP),
        unpriced_wh=sum(day.unpriced_wh for day in days),
        outside_cheap_wh=sum(day.outside_cheap_wh for day in days),
        dearer_up=round_half_up(sum(day.dearer_np for day in days), NP_PER_UP),
        uncompared_wh=sum(day.uncompared_wh for day in days),
        estimate_wh=sum(each.energy_wh for day in days for each in day.estimates),
        planned_wh=sum(day.planned or 0 for day in planned),
        planned_days=len(planned),
        home_on_planned_days_wh=sum(day.home_wh for day in planned),
    )


def _notes(days: Sequence[ChargedDay]) -> tuple[str, ...]:
    notes = []
    if any(day.is_spread for day in days):
        notes.append(SPREAD_NOTE)
    if any(day.home_wh for day in days):
        notes.append(WINDOW_NOTE)
    if any(day.estimate_wh for day in days):
        notes.append(ESTIMATE_NOTE)
    if any(day.planned_wh is None for day in days):
        notes.append(PLAN_NOTE)
    return tuple(notes)


def _steps(
    days: Sequence[ChargedDay], totals: ChargedTotals, prices: PaidPrices, cars: Sequence[DrivenCar]
) -> tuple[Step, ...]:
    tariffs = ", ".join(prices.names) or "no tariff is recorded"
    cost = Step(
        "What was charged at home cost",
        {"energy": _kwh(totals.home_wh), "without a price": _kwh(totals.unpriced_wh), "tariff": tariffs},
        "energy of each half-hour x its price then in force, VAT included, without the standing charge; exact, "
        "rounded once",
        "charging records; the scheme's published rate sheets and half-hourly prices",
        f"{format_pence(totals.cost_up)} p",
    )
    cheap = Step(
        "Charged outside the cheap hours",
        {"charged at home": _kwh(totals.home_wh)},
        CHEAP_RULE,
        "rule of this service",
        _kwh(totals.outside_cheap_wh),
    )
    dearer = Step(
        "What the time of charging cost more than it had to",
        {"stays that could not be compared, for want of a price": _kwh(totals.uncompared_wh)},
        "what each stay cost, less the same energy in the cheapest half-hours of the same time plugged in, none of "
        f"them with more than the car drew at most. {WINDOW_NOTE}",
        "rule of this service",
        f"{format_pence(totals.dearer_up)} p",
    )
    plan = Step(
        "What the plan had for the same days",
        {"days with a plan kept": f"{totals.planned_days} of {len(days)}"},
        f"in each half-hour the plan that was newest when it began; nothing while charging was stopped. {PLAN_NOTE}",
        "stored plans",
        f"{_kwh(totals.planned_wh)} planned, {_kwh(totals.home_on_planned_days_wh)} charged at home on these days",
    )
    estimate = tuple(
        Step(
            f"{car.label}: estimate for weeks without a record",
            {
                "miles per kWh from the battery": f"{car.miles_per_kwh:f}",
                "battery over wall energy": f"{car.efficiency_permille / 10:g} %",
            },
            ESTIMATE_NOTE,
            "the car's diary and odometer",
            "miles / miles per kWh / battery over wall energy",
        )
        for car in cars
        if totals.estimate_wh
    )
    return (cost, cheap, dearer, plan, *estimate)


def _kwh(energy_wh: int) -> str:
    return f"{energy_wh / WH_PER_KWH:g} kWh"
