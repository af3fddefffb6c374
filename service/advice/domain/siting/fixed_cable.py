"""The fixed cable from the consumer unit to the outlet: its length, and the voltage lost in it by the tables."""

from __future__ import annotations

from decimal import Decimal
from typing import Final

from service.advice.domain.siting.answers import FixedCable
from service.advice.domain.siting.assumed import UP_AND_DOWN
from service.common.working import Step, Working
from service.safety.domain.arithmetic.answers import Answer
from service.safety.domain.arithmetic.cable_tables import CableKind
from service.safety.domain.arithmetic.voltage_drop import DropUse, SupplyKind, drop_by_table, drop_limit, drop_within

# Size [mm2] and current [A] of the two kinds of outlet: own choice of common sizes, the electrician decides.
USES: Final = (("a 13 A socket of its own circuit", Decimal("2.5"), 10), ("a charging point", Decimal(6), 32))


def fixed_cables(run_m: float | None) -> list[tuple[FixedCable, Working]]:
    """Return for each kind of outlet the cable and its voltage drop; not known where the run is not known."""
    if run_m is None:
        return [
            (FixedCable(use, size, current, None, None, None, Answer.NOT_KNOWN), Working())
            for use, size, current in USES
        ]
    length = Decimal(str(run_m)) + UP_AND_DOWN.value
    limit = drop_limit(SupplyKind.PUBLIC, DropUse.OTHER, length_m=length)
    found = []
    for use, size, current in USES:
        drop = drop_by_table(CableKind.TWIN_AND_EARTH, size, current, length)
        within = drop_within(drop, limit)
        cable = FixedCable(use, size, current, length, drop.volts, drop.percent, within.answer)
        found.append((cable, Working((_length_step(run_m, length, use), *within.working.steps))))
    return found


def _length_step(run_m: float, length_m: Decimal, use: str) -> Step:
    return Step(
        f"Fixed cable for {use}",
        {"along the walls": f"{run_m:.1f} m", "up and down": UP_AND_DOWN.words},
        "the shortest way along walls that meet, and what goes up and down; outdoors another cable than twin and earth"
        " is used, whose drop differs",
        UP_AND_DOWN.source,
        f"{length_m.normalize():f} m",
    )
