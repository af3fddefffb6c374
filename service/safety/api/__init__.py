"""A home with its evidence over HTTP, inspections and rechecks, checks and reported signs."""

from service.safety.api import (
    arithmetic,
    clearance,
    electrician,
    electricians,
    evidence,
    extensions,
    files,
    homes,
    inspections,
    links,
    overrides,
    signs,
    supervised,
    survey,
    visits,
)
from service.safety.api.routes import blueprint as blueprint

__all__ = [
    "arithmetic",
    "blueprint",
    "clearance",
    "electrician",
    "electricians",
    "evidence",
    "extensions",
    "files",
    "homes",
    "inspections",
    "links",
    "overrides",
    "signs",
    "supervised",
    "survey",
    "visits",
]
