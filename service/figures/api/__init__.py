"""The figures feature over HTTP."""

from service.figures.api import figures
from service.figures.api.routes import blueprint as blueprint

__all__ = ["blueprint", "figures"]
