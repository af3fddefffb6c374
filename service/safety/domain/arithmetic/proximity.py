"""The resistor in a plug that says what its cable may carry.

Bands meet at an edge; a reading on the edge takes the lower rating.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from typing import Final

from service.common.working import Working
from service.households.domain.ranges import of_phases, refuse
from service.safety.domain.arithmetic.quantities import Number, checked, plain
from service.safety.domain.arithmetic.rules import PROXIMITY

RESISTANCE_MAX_OHM: Final = 100_000_000  # own bound; an open contact reads less on any meter
SINGLE_PHASE_TOP_A: Final = Decimal(70)  # of the widest band, on one phase


class ProximityMeaning(StrEnum):
    """What a coding resistance says."""

    CABLE = "cable"
    ERROR = "error"
    NOT_PLUGGED = "not_plugged"


@dataclass(frozen=True, slots=True)
class _Band:
    """A coding from ``from_ohm`` up to the next band, and the conductor usually found with it."""

    from_ohm: Decimal
    rating_a: Decimal
    conductor_mm2: Decimal


_TOP_OHM: Final = Decimal(2200)
_ERROR_BELOW_OHM: Final = Decimal(75)

# from the lowest rating on: the first band whose lower edge is reached holds
_BANDS: Final = (
    _Band(Decimal(1000), Decimal(13), Decimal("1.5")),
    _Band(Decimal(330), Decimal(20), Decimal("2.5")),
    _Band(Decimal(150), Decimal(32), Decimal(6)),
    _Band(_ERROR_BELOW_OHM, Decimal(63), Decimal(16)),
)


@dataclass(frozen=True, slots=True)
class ProximityReading:
    """What the coding means; ``rating_a`` [A per phase] and ``conductor_mm2`` are None unless it names a cable."""

    meaning: ProximityMeaning
    rating_a: Decimal | None
    conductor_mm2: Decimal | None
    working: Working


def cable_rating(resistance_ohm: Number, phases: int = 3) -> ProximityReading:
    """Return what a coding resistance [ohm] says of the cable.

    Parameters
    ----------
    resistance_ohm : Decimal or int
        Between proximity contact and protective conductor [ohm].
    phases : int
        1 or 3, as the cable is used: the widest band is 63 A, or 70 A on one phase.

    Raises
    ------
    Rejected
        If the resistance is negative or beyond any reading, or phases are not 1 or 3.
    """
    resistance = checked("resistance_ohm", resistance_ohm, 0, RESISTANCE_MAX_OHM, "ohm")
    refuse(of_phases("phases", phases))
    if resistance > _TOP_OHM:
        return _reading(resistance, phases, ProximityMeaning.NOT_PLUGGED, None)
    band = next((band for band in _BANDS if resistance >= band.from_ohm), None)
    meaning = ProximityMeaning.ERROR if band is None else ProximityMeaning.CABLE
    return _reading(resistance, phases, meaning, band)


def _reading(resistance: Decimal, phases: int, meaning: ProximityMeaning, band: _Band | None) -> ProximityReading:
    rating = None
    if band is not None:
        is_widest = band.from_ohm == _ERROR_BELOW_OHM
        rating = SINGLE_PHASE_TOP_A if is_widest and phases == 1 else band.rating_a
    step = PROXIMITY.step(
        "Coding of the cable",
        {"resistance": f"{plain(resistance)} ohm", "phases": str(phases)},
        "1000-2200 ohm 13 A, 330-1000 20 A, 150-330 32 A, 75-150 63 A (70 A on one phase); less: error; more: not in",
        meaning.value.replace("_", " ") if rating is None else f"{plain(rating)} A",
    )
    return ProximityReading(meaning, rating, band.conductor_mm2 if band else None, Working((step,)))
