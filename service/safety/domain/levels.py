"""The four words for what evidence says of an outlet or a lead, and which of several is worst."""

from __future__ import annotations

from collections.abc import Iterable
from enum import StrEnum


class Clearance(StrEnum):
    """Whether a car may charge from an outlet, or with a lead."""

    FIT_TO_USE = "fit_to_use"
    USE_WITH_LIMITS = "use_with_limits"
    DO_NOT_USE = "do_not_use"
    NOT_KNOWN = "not_known"

    @property
    def allows_charging(self) -> bool:
        """Only recorded evidence lets a plan use an outlet."""
        return self in (Clearance.FIT_TO_USE, Clearance.USE_WITH_LIMITS)


_WORST_FIRST = (Clearance.DO_NOT_USE, Clearance.NOT_KNOWN, Clearance.USE_WITH_LIMITS, Clearance.FIT_TO_USE)


def worst_of(clearances: Iterable[Clearance]) -> Clearance:
    """Return the worst: do not use, not known, use with limits, fit to use; "not known" where there is none."""
    found = set(clearances)
    return next((clearance for clearance in _WORST_FIRST if clearance in found), Clearance.NOT_KNOWN)
