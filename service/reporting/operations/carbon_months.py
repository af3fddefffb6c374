"""The months of cars as they are stored: recorded energy, diary and odometer, a statement each for all homes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from decimal import Decimal
from typing import Any, TypeAlias
from zoneinfo import ZoneInfo

from sqlalchemy import Select, case, func, select

from service.common.slots import instant_at
from service.households.domain.equipment import ChargingPlace
from service.households.models import ChargingRecord, DiaryDay, Household, Lead, OdometerReading, Outlet, Vehicle
from service.infrastructure.db.sessions import SchemeSession
from service.planning.domain.charging import default_efficiency, power_w
from service.reporting.domain.carbon import CarMonth, Period, miles_between

Columns: TypeAlias = Select[*tuple[Any, ...]]
Months: TypeAlias = Sequence[tuple[date, date]]
Place: TypeAlias = tuple[str, int]
"""A car, and the place of a month in the period."""


def load_car_months(
    session: SchemeSession, period: Period, *, before: date, today: date, household_id: str | None = None
) -> Iterator[tuple[str, CarMonth]]:
    """Return each month of each car of a home, or of all, that lies before a day, with its household's id.

    A record belongs to the local month that it starts in.  The efficiency of charging is that of the outlet and lead
    that the car uses today.
    """
    months = period.months(before=before)
    if not months:
        return
    energy = _energy(session, months, household_id)
    diary, odometers = _diary(session, months, household_id), _odometers(session, household_id)
    for car in session.execute(_cars(household_id)):
        permille = default_efficiency(_power_w(car), today).permille
        for place, (start, end) in enumerate(months):
            metered, stated, away = energy.get((car.id, place), (0, 0, 0))
            miles = miles_between(odometers.get(car.id, ()), start, end)
            is_whole = miles is not None
            if miles is None and (car.id, place) in diary:
                miles, days = diary[car.id, place]
                is_whole = days >= (end - start).days
            yield (
                car.household_id,
                CarMonth(
                    car.id, start.replace(day=1), car.miles_per_kwh, permille, metered, stated, away, miles, is_whole
                ),
            )


def _cars(household_id: str | None) -> Columns:
    statement: Columns = (
        select(
            Vehicle.id, Vehicle.household_id, Vehicle.miles_per_kwh, Vehicle.onboard_limit_a, Vehicle.onboard_phases,
            Outlet.limit_a, Outlet.phases, Lead.set_a,
        )
        .outerjoin(Outlet, (Outlet.id == Vehicle.outlet_id) & (Outlet.scheme_id == Vehicle.scheme_id))
        .outerjoin(Lead, (Lead.id == Vehicle.lead_id) & (Lead.scheme_id == Vehicle.scheme_id))
        .order_by(Vehicle.household_id, Vehicle.ordinal, Vehicle.id)
    )
    return statement if household_id is None else statement.where(Vehicle.household_id == household_id)


def _power_w(car: Any) -> Decimal:
    """Return the power that a car charges at; without an outlet that of a 13 A socket, which loses most."""
    if car.limit_a is None:
        return power_w(10)
    limits = [limit for limit in (car.onboard_limit_a, car.limit_a, car.set_a) if limit is not None]
    return power_w(min(limits), min(car.onboard_phases, car.phases))


def _energy(session: SchemeSession, months: Months, household_id: str | None) -> dict[Place, tuple[int, int, int]]:
    """Return Wh at home by a meter, at home as stated, and away, by car and month of the home's zone."""
    found: dict[Place, list[int]] = {}
    for zone in session.scalars(select(Household.zone).distinct().where(*_of(Household.id, household_id))).all():
        for car_id, place, where, is_metered, energy_wh in session.execute(
            _energy_in(months, ZoneInfo(zone)).where(Household.zone == zone, *_of(Household.id, household_id))
        ):
            sums = found.setdefault((car_id, place), [0, 0, 0])
            sums[2 if where != ChargingPlace.HOME else int(not is_metered)] += int(energy_wh)
    return {place: (sums[0], sums[1], sums[2]) for place, sums in found.items()}


def _energy_in(months: Months, zone: ZoneInfo) -> Columns:
    ends = [instant_at(end, 0, zone) for _, end in months]
    month = case(*((ChargingRecord.starts_at < end, place) for place, end in enumerate(ends))).label("month")
    return (
        select(
            ChargingRecord.vehicle_id, month, ChargingRecord.place, ChargingRecord.is_metered,
            func.sum(ChargingRecord.energy_wh),
        )
        .join(
            Household,
            (Household.id == ChargingRecord.household_id) & (Household.scheme_id == ChargingRecord.scheme_id),
        )
        .where(ChargingRecord.starts_at >= instant_at(months[0][0], 0, zone), ChargingRecord.starts_at < ends[-1])
        .group_by(ChargingRecord.vehicle_id, month, ChargingRecord.place, ChargingRecord.is_metered)
    )


def _diary(session: SchemeSession, months: Months, household_id: str | None) -> dict[Place, tuple[Decimal, int]]:
    """Return miles and days told, by car and month."""
    month = case(*((DiaryDay.on_date < end, place) for place, (_, end) in enumerate(months))).label("month")
    statement = (
        select(DiaryDay.vehicle_id, month, func.sum(DiaryDay.miles), func.count())
        .where(DiaryDay.on_date >= months[0][0], DiaryDay.on_date < months[-1][1])
        .where(*_of(DiaryDay.household_id, household_id))
        .group_by(DiaryDay.vehicle_id, month)
    )
    return {
        (car_id, place): (Decimal(miles).quantize(Decimal("0.1")), days)
        for car_id, place, miles, days in session.execute(statement)
    }


def _odometers(session: SchemeSession, household_id: str | None) -> dict[str, list[tuple[date, Decimal]]]:
    """Return (day, miles that its odometer began the day with) by car: a reading stands at the end of its day."""
    found: dict[str, list[tuple[date, Decimal]]] = {}
    for car_id, read_on, miles in session.execute(
        select(OdometerReading.vehicle_id, OdometerReading.read_on, OdometerReading.miles)
        .where(*_of(OdometerReading.household_id, household_id))
        .order_by(OdometerReading.vehicle_id, OdometerReading.read_on)
    ):
        found.setdefault(car_id, []).append((read_on + timedelta(days=1), miles))
    return found


def _of(column: Any, household_id: str | None) -> tuple[Any, ...]:
    return () if household_id is None else (column == household_id,)
