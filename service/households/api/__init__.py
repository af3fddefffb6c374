"""Homes' parts, cars and diaries over HTTP; the home itself is shown with its evidence, by safety."""

from service.households.api import (
    charging_records,
    contracts,
    diary,
    equipment,
    habits,
    house_readings,
    meter,
    odometer,
    vehicles,
)
from service.households.api.routes import blueprint as blueprint

__all__ = [
    "blueprint",
    "charging_records",
    "contracts",
    "diary",
    "equipment",
    "habits",
    "house_readings",
    "meter",
    "odometer",
    "vehicles",
]
