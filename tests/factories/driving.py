"""What a test's cars were charged with and drove, as stored rows."""

from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import Any

from service.households.models import ChargingRecord, DiaryDay, OdometerReading
from service.infrastructure.db.sessions import SchemeSession
from tests.factories.households import NOON, FurnishedHome


def add_charge(
    session: SchemeSession, home: FurnishedHome, starts_at: datetime, energy_wh: int, **changes: Any
) -> None:
    """Keep a metered charge of two hours at home."""
    usual = {"place": "home", "is_metered": True, "ends_at": starts_at + timedelta(hours=2), "source": "typed"}
    session.add(
        ChargingRecord(
            household_id=home.id, vehicle_id=home.car_id, starts_at=starts_at, energy_wh=energy_wh, created_at=NOON,
            **{**usual, **changes},
        )
    )


def add_diary(session: SchemeSession, home: FurnishedHome, first_on: date, *miles: str) -> None:
    """Keep the miles of days that follow each other."""
    for place, each in enumerate(miles):
        session.add(
            DiaryDay(
                household_id=home.id, vehicle_id=home.car_id, on_date=first_on + timedelta(days=place),
                miles=Decimal(each),
            )
        )


def add_odometer(session: SchemeSession, home: FurnishedHome, **readings: str) -> None:
    """Keep readings by day: ``on_2026_10_01="12000.5"``."""
    for name, miles in readings.items():
        day = date(*(int(part) for part in name.removeprefix("on_").split("_")))
        session.add(
            OdometerReading(household_id=home.id, vehicle_id=home.car_id, read_on=day, miles=Decimal(miles))
        )
