"""The advice feature over HTTP."""

from service.advice.api import appliances, charged, drives, lead, tariffs, upgrades
from service.advice.api.routes import blueprint as blueprint

__all__ = ["appliances", "blueprint", "charged", "drives", "lead", "tariffs", "upgrades"]
