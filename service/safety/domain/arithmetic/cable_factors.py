"""Factors for a cable's surroundings: ambient temperature Ca, grouping Cg, thermal insulation Ci.

Read for cable rated 70 C. Between two rows of a table the one on the safe side holds; beyond it is refused.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from types import MappingProxyType
from typing import Final

from service.common.working import Step
from service.safety.domain.arithmetic.quantities import Number, checked, plain, row_at_or_above, whole
from service.safety.domain.arithmetic.rules import AMBIENT, GROUPING, INSULATION, INSULATION_OLDER

REFERENCE_AMBIENT_C: Final = Decimal(30)
INSULATION_MAX_MM: Final = 100_000  # own bound; from 500 mm on the last row holds

CA: Final[Mapping[Decimal, Decimal]] = MappingProxyType(
    dict(
        zip(
            map(Decimal, (25, 30, 35, 40, 45, 50, 55, 60)),
            map(Decimal, ("1.03", "1.00", "0.94", "0.87", "0.79", "0.71", "0.61", "0.50")),
            strict=True,
        )
    )
)
CG: Final = tuple(map(Decimal, ("1.00", "0.80", "0.70", "0.65", "0.60", "0.57", "0.54", "0.52", "0.50")))
_LENGTHS_MM: Final = tuple(map(Decimal, (50, 100, 200, 400, 500)))
CI: Final[Mapping[Decimal, Decimal]] = MappingProxyType(
    dict(zip(_LENGTHS_MM, map(Decimal, ("0.88", "0.78", "0.63", "0.51", "0.50")), strict=True))
)
# older books; the page gives no other figure for 500 mm
CI_OLDER: Final[Mapping[Decimal, Decimal]] = MappingProxyType(
    dict(zip(_LENGTHS_MM[:4], map(Decimal, ("0.89", "0.81", "0.68", "0.55")), strict=True))
)


@dataclass(frozen=True, slots=True)
class Factor:
    """One factor by the book's symbol, and the step that read it."""

    symbol: str
    value: Decimal
    step: Step


@dataclass(frozen=True, slots=True)
class Surroundings:
    """What surrounds a run; as tabulated unless said: 30 C, one circuit, no insulation.

    Raises ``Rejected`` beyond the tables: 25 to 60 C, 1 to 9 circuits.
    """

    ambient_c: Decimal = REFERENCE_AMBIENT_C
    grouped_circuits: int = 1
    insulation_mm: Decimal = Decimal(0)

    def __post_init__(self) -> None:
        factors_of(self)

    @property
    def is_as_tabulated(self) -> bool:
        """Tell whether every factor is one by definition."""
        return self.ambient_c == REFERENCE_AMBIENT_C and self.grouped_circuits == 1 and self.insulation_mm == 0


def ambient_factor(ambient_c: Number) -> Factor:
    """Return Ca for 70 C cable at an ambient temperature [C]; the next hotter row holds between rows."""
    row, value = row_at_or_above("ambient_c", ambient_c, CA, "C", "Ca")
    inputs = {"ambient": f"{plain(ambient_c)} C"}
    step = AMBIENT.step("Ambient temperature", inputs, f"the row of {plain(row)} C", f"Ca = {plain(value)}")
    return Factor("Ca", value, step)


def grouping_factor(circuits: int) -> Factor:
    """Return Cg for a number of circuits bunched or enclosed together, this one counted."""
    value = CG[whole("grouped_circuits", circuits, 1, len(CG)) - 1]
    step = GROUPING.step("Grouping", {"circuits": str(circuits)}, "the row of the number", f"Cg = {plain(value)}")
    return Factor("Cg", value, step)


def insulation_factor(length_mm: Number, *, is_older_book: bool = False) -> Factor:
    """Return Ci for a length wholly surrounded by thermal insulation [mm]; the next longer row holds between rows.

    Older figures judge older work; they end at 400 mm, and longer is refused there.
    """
    length = checked("insulation_mm", length_mm, 0, INSULATION_MAX_MM, "mm")
    rule, rows = (INSULATION_OLDER, CI_OLDER) if is_older_book else (INSULATION, CI)
    if length == 0:
        value, read = Decimal(1), "no insulation"
    else:
        beyond = length if is_older_book else min(length, max(rows))
        row, value = row_at_or_above("insulation_mm", beyond, {Decimal(0): Decimal(1), **rows}, "mm", "Ci")
        read = f"the row of {plain(row)} mm"
    inputs = {"in insulation": f"{plain(length)} mm"}
    return Factor("Ci", value, rule.step("Thermal insulation", inputs, read, f"Ci = {plain(value)}"))


def factors_of(surroundings: Surroundings) -> tuple[Factor, Factor, Factor]:
    """Return Ca, Cg and Ci of a run's surroundings."""
    return (
        ambient_factor(surroundings.ambient_c),
        grouping_factor(surroundings.grouped_circuits),
        insulation_factor(surroundings.insulation_mm),
    )


AS_TABULATED: Final = Surroundings()
