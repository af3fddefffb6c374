"""The scheme's lists, the safety desk and the safety file over HTTP."""

from service.reporting.api import lists, safety_desk, safety_file
from service.reporting.api.routes import blueprint as blueprint

__all__ = ["blueprint", "lists", "safety_desk", "safety_file"]
