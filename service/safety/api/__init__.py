"""A home with its evidence over HTTP, inspections and rechecks, checks and reported signs."""

from service.safety.api import evidence, homes, signs
from service.safety.api.routes import blueprint as blueprint

__all__ = ["blueprint", "evidence", "homes", "signs"]
