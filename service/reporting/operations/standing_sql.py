"""The home's standing as SQL: the kept word, unless its date has come since."""

from __future__ import annotations

from datetime import date
from typing import Any, Final

from sqlalchemy import BindParameter, Date, bindparam, case, false, func

from service.safety.domain.levels import Clearance
from service.safety.models import ClearanceStatus

TODAY: Final[BindParameter[date]] = bindparam("today", type_=Date)
"""The day that lists are read for, as a parameter of their statements."""

WORST_FIRST: Final = (
    Clearance.DO_NOT_USE, Clearance.NOT_KNOWN, Clearance.USE_WITH_LIMITS, Clearance.FIT_TO_USE,
)


def has_lapsed() -> Any:
    """Tell whether evidence ended since the word was kept: then it is not known. A stop has no end."""
    lapsed = (ClearanceStatus.clearance != "do_not_use") & (ClearanceStatus.valid_until_on <= TODAY)
    return func.coalesce(lapsed, false())


def standing_now() -> Any:
    """Return the home's clearance of today as a word; without a kept one it is not known."""
    kept = func.coalesce(ClearanceStatus.clearance, "not_known")
    return case((has_lapsed(), "not_known"), else_=kept)


def badness() -> Any:
    """Return the place of the standing when the worst comes first."""
    return case({word.value: place for place, word in enumerate(WORST_FIRST)}, value=standing_now(), else_=1)
