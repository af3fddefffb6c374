"""What a home's cars were charged with, against prices and plans: read, worked out now, stored nowhere."""

from __future__ import annotations

from collections import defaultdict
from datetime import date, datetime, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

from sqlalchemy import select

from service.advice.domain.charged import DAYS_MAX, ChargedAnswer, charged_answer
from service.advice.domain.charged_estimate import DrivenCar
from service.advice.domain.charged_prices import paid_prices
from service.common.errors import Fault, Rejected
from service.common.slots import instant_at, local_day_slots
from service.households.domain.equipment import SOCKET_SUSTAINED_LIMIT_A
from service.households.domain.homes import CarInputs, HomeInputs
from service.households.domain.trips import expand_trips
from service.households.models import OdometerReading
from service.households.operations import get_household, list_charging, load_homes
from service.infrastructure.db.sessions import SchemeSession
from service.planning.domain.charging import default_efficiency, power_w
from service.planning.operations.past_plans import planned_energy
from service.tariffs.operations import load_terms

USUAL_DAYS = 14
"""Shown where nobody names a period: as long as plans are kept."""
EFFICIENCY_FROM_ON = date(2022, 9, 1)
"""The first day that default efficiencies are dated for; they stand in for days before it."""


def get_charged(
    session: SchemeSession, household_id: str, *, from_on: date | None, to_on: date | None, at: datetime
) -> ChargedAnswer:
    """Return what was charged on local days [from_on, to_on], the last fortnight where none are named.

    Raises
    ------
    NotFound, Rejected
        Rejected for a period that ends before it starts, lies ahead or is longer than ``DAYS_MAX`` days.
    """
    zone = ZoneInfo(get_household(session, household_id).zone)
    today = at.astimezone(zone).date()
    first_on, last_on = _period(from_on, to_on, today)
    # A stay may reach into the day before and after.
    eve, end_on = first_on - timedelta(days=1), last_on + timedelta(days=2)
    (home,) = load_homes(session, [household_id], from_at=instant_at(eve, 0, zone))
    slots = range(local_day_slots(eve, zone).start, local_day_slots(end_on, zone).start)
    terms = load_terms(
        session, {each.tariff_id for each in home.contracts}, first_slot=slots.start, count=len(slots)
    )
    monday = first_on - timedelta(days=first_on.weekday())
    next_monday = last_on + timedelta(days=7 - last_on.weekday())
    return charged_answer(
        list_charging(
            session,
            household_id,
            instant_at(min(monday, eve), 0, zone),
            instant_at(max(next_monday, end_on), 0, zone),
        ),
        paid_prices(home, terms, eve, end_on),
        zone,
        leaves={
            car.id: [
                trip.leaves_at
                for trip in expand_trips(
                    car.routine, car.journeys, zone=zone, first_day=eve, day_count=(end_on - eve).days + 1
                )
            ]
            for car in home.cars
        },
        planned_wh=planned_energy(session, household_id, slots.start, slots.stop),
        cars=_driven_cars(session, home, first_on),
        first_on=first_on,
        end_on=last_on + timedelta(days=1),
        today=today,
    )


def _period(from_on: date | None, to_on: date | None, today: date) -> tuple[date, date]:
    last_on = today if to_on is None else to_on
    first_on = last_on - timedelta(days=USUAL_DAYS - 1) if from_on is None else from_on
    if last_on > today:
        raise Rejected(Fault("to_on", last_on.isoformat(), "must not lie ahead"))
    if first_on > last_on:
        raise Rejected(Fault("from_on", first_on.isoformat(), "must not lie after to_on"))
    if (last_on - first_on).days >= DAYS_MAX:
        raise Rejected(Fault("from_on", first_on.isoformat(), f"must lie at most {DAYS_MAX} days before the end"))
    return first_on, last_on


def _driven_cars(session: SchemeSession, home: HomeInputs, on: date) -> list[DrivenCar]:
    """Return the home's cars as the estimate reads them."""
    odometers: defaultdict[str, list[tuple[date, Decimal]]] = defaultdict(list)
    rows = select(OdometerReading.vehicle_id, OdometerReading.read_on, OdometerReading.miles)
    for vehicle_id, read_on, miles in session.execute(rows.where(OdometerReading.household_id == home.id)):
        odometers[vehicle_id].append((read_on, miles))
    return [
        DrivenCar(
            car.id,
            car.label,
            car.miles_per_kwh,
            default_efficiency(_usual_power_w(home, car), max(on, EFFICIENCY_FROM_ON)).permille,
            dict(car.diary),
            tuple(sorted(odometers[car.id])),
        )
        for car in home.cars
    ]


def _usual_power_w(home: HomeInputs, car: CarInputs) -> Decimal:
    """Return the power the car is usually fed with; an ordinary socket's where no outlet is recorded."""
    outlet = next((each for each in home.outlets if each.id == car.outlet_id), None)
    limits = [car.onboard_limit_a, outlet.limit_a if outlet else SOCKET_SUSTAINED_LIMIT_A]
    if car.lead is not None:
        limits.append(car.lead.set_a)
    return power_w(min(limits), min(car.onboard_phases, outlet.phases if outlet else 1))
