"""The scheme's lists, carbon, the safety desk and the safety file over HTTP."""

from service.reporting.api import carbon, lists, safety_desk, safety_file
from service.reporting.api.routes import blueprint as blueprint

__all__ = ["blueprint", "carbon", "lists", "safety_desk", "safety_file"]
