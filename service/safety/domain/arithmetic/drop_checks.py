"""Second ways to a voltage drop: the table against conductor resistance, and the load-corrected drop.

The load correction is from memory and lowers the drop, so it is shown beside the table's figure and never
instead of it.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from service.common.errors import Fault, Rejected
from service.common.working import Working
from service.safety.domain.arithmetic.answers import Answer, answer_of
from service.safety.domain.arithmetic.cable import CableRun
from service.safety.domain.arithmetic.cable_factors import ambient_factor, grouping_factor
from service.safety.domain.arithmetic.cable_tables import TABLES, CableKind
from service.safety.domain.arithmetic.quantities import CURRENT_MAX_A, Number, checked, plain
from service.safety.domain.arithmetic.resistance import ConductorClass, conductor_resistance
from service.safety.domain.arithmetic.rules import DROP_BY_RESISTANCE, LOAD_CORRECTION

# kinds of cable that the two ways were compared for: conductor class, and how far they may differ
_COMPARED: Final = {
    CableKind.TWIN_AND_EARTH: (ConductorClass.SOLID_OR_STRANDED, Decimal("0.025")),
    CableKind.FLEX: (ConductorClass.FLEXIBLE, Decimal("0.045")),
}


@dataclass(frozen=True, slots=True)
class DropComparison:
    """The table's drop against that from resistance [mV/A/m], and whether the ratio lies in the band."""

    table_mv: Decimal
    resistance_mv: Decimal
    answer: Answer
    working: Working

    @property
    def ratio(self) -> Decimal:
        """Return table over resistance; below 1 the table is the smaller."""
        return self.table_mv / self.resistance_mv


@dataclass(frozen=True, slots=True)
class LoadCorrection:
    """Ct, by which a conductor below its full temperature drops less, and that temperature [C]."""

    factor: Decimal
    conductor_c: Decimal
    working: Working


def table_against_resistance(kind: CableKind, size_mm2: Number) -> DropComparison:
    """Return the table's drop of a size beside 2 x R at the table's conductor temperature.

    Raises ``Rejected`` for armoured cable, whose figures were not compared, and for sizes outside the tables.
    """
    if kind not in _COMPARED:
        raise Rejected(Fault("kind", kind.value, "must be twin_and_earth or flex: no other was compared"))
    conductor_class, band = _COMPARED[kind]
    table = TABLES[kind]
    table_mv = table.row(size_mm2).mv_per_a_m
    resistance = conductor_resistance(size_mm2, conductor_class, table.conductor_c)
    resistance_mv = 2 * resistance.ohm_per_km
    is_within = abs(table_mv / resistance_mv - 1) <= band
    step = DROP_BY_RESISTANCE.step(
        "Table against resistance",
        {"table": f"{plain(table_mv)} mV/A/m", "2 x R": f"{plain(resistance_mv)} mV/A/m"},
        f"ratio within {plain(band * 100, 1)} % of 1",
        plain(table_mv / resistance_mv, 4),
    )
    return DropComparison(table_mv, resistance_mv, answer_of(is_within), resistance.working.plus(step))


def load_correction(run: CableRun, current_a: Number) -> LoadCorrection:
    """Return Ct = [230 + tp - (Ca^2 Cg^2 - Ib^2/It^2)(tp - 30)] / (230 + tp) for a run and a current Ib [A].

    Raises
    ------
    Rejected
        If Ib exceeds It, or It x Ca x Cg: the conductor would run hotter than tp, where nothing is tabulated;
        and for a run in thermal insulation, for which the formula does not reckon.
    """
    table = TABLES[run.kind]
    tabulated, full_c = table.capacity_a(run.size_mm2, run.method), table.conductor_c
    around = run.surroundings
    if around.insulation_mm:
        rule = "must be 0: the correction does not reckon with insulation"
        raise Rejected(Fault("surroundings.insulation_mm", str(around.insulation_mm), rule))
    ca, cg = ambient_factor(around.ambient_c).value, grouping_factor(around.grouped_circuits).value
    current = checked("current_a", current_a, 0, CURRENT_MAX_A, "A")
    allowed = min(tabulated, tabulated * ca * cg)
    if current > allowed:
        rule = f"must be at most {plain(allowed)} A, or the conductor runs hotter than {plain(full_c)} C"
        raise Rejected(Fault("current_a", str(current), rule))
    cooler_c = (ca**2 * cg**2 - current**2 / tabulated**2) * (full_c - 30)
    factor = (230 + full_c - cooler_c) / (230 + full_c)
    step = LOAD_CORRECTION.step(
        "Load correction",
        {"Ib": f"{plain(current)} A", "It": f"{plain(tabulated)} A", "Ca": plain(ca), "Cg": plain(cg)},
        "Ct = [230 + tp - (Ca^2 Cg^2 - Ib^2/It^2)(tp - 30)] / (230 + tp)",
        f"Ct = {plain(factor, 4)}, conductor at {plain(full_c - cooler_c, 1)} C",
    )
    return LoadCorrection(factor, full_c - cooler_c, Working((step,)))
