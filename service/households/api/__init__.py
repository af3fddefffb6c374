"""Homes' parts, cars and diaries over HTTP; the home itself is shown with its evidence, by safety."""

from service.households.api import contracts, diary, equipment, habits, vehicles
from service.households.api.routes import blueprint as blueprint

__all__ = ["blueprint", "contracts", "diary", "equipment", "habits", "vehicles"]
