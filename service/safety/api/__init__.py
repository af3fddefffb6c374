"""A home with its evidence over HTTP, inspections and rechecks."""

from service.safety.api import evidence, homes
from service.safety.api.routes import blueprint as blueprint

__all__ = ["blueprint", "evidence", "homes"]
