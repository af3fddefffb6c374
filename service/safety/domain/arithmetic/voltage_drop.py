"""Voltage drop along a circuit: by the tables, from conductor resistance as a second way, and its limits.

The tables count go and return for the one-way length. Drops of runs in series add from the origin. A current
above anything its table carries for the size is refused: the drop would be for a hotter conductor than tabulated.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from typing import Final

from service.common.errors import Fault, Rejected
from service.common.working import Working
from service.households.domain.ranges import of_phases, refuse
from service.safety.domain.arithmetic.answers import Answer, answer_of
from service.safety.domain.arithmetic.cable import CableRun
from service.safety.domain.arithmetic.cable_tables import TABLES, CableKind
from service.safety.domain.arithmetic.quantities import (
    CURRENT_MAX_A,
    HUNDRED,
    LENGTH_MAX_M,
    THOUSAND,
    Number,
    checked,
    plain,
    positive,
    with_unit,
)
from service.safety.domain.arithmetic.resistance import ConductorClass, conductor_resistance
from service.safety.domain.arithmetic.rules import DROP_BY_RESISTANCE, DROP_BY_TABLE, DROP_LIMITS, FLEX_90C
from service.safety.domain.arithmetic.supply_voltage import DECLARED_V, THREE_PHASE_V

FLEX_90C_FACTOR: Final = Decimal("1.09")  # Table 4F3, flex whose conductor may reach 90 C
LONG_RUN_M: Final = 100  # Table 4Ab: the limit grows beyond this length
LONG_RUN_PERCENT_PER_M: Final = Decimal("0.005")
LONG_RUN_PERCENT_MAX: Final = Decimal("0.5")


@dataclass(frozen=True, slots=True)
class Drop:
    """A voltage drop, as volts and as a share of the declared voltage."""

    volts: Decimal
    percent: Decimal
    working: Working


class SupplyKind(StrEnum):
    """Whose supply feeds the installation."""

    PUBLIC = "public"
    PRIVATE = "private"


class DropUse(StrEnum):
    """What the circuit is for."""

    LIGHTING = "lighting"
    OTHER = "other"


_LIMIT_PERCENT: Final = {
    (SupplyKind.PUBLIC, DropUse.LIGHTING): Decimal(3),
    (SupplyKind.PUBLIC, DropUse.OTHER): Decimal(5),
    (SupplyKind.PRIVATE, DropUse.LIGHTING): Decimal(6),
    (SupplyKind.PRIVATE, DropUse.OTHER): Decimal(8),
}


@dataclass(frozen=True, slots=True)
class DropLimit:
    """The greatest drop allowed from the origin."""

    volts: Decimal
    percent: Decimal
    working: Working


@dataclass(frozen=True, slots=True)
class DropVerdict:
    """Whether a drop keeps its limit; not known where a length is not known."""

    answer: Answer
    working: Working


@dataclass(frozen=True, slots=True)
class LongestRun:
    """The longest one-way run that keeps a limit [m]."""

    length_m: Decimal
    working: Working


def drop_by_table(
    kind: CableKind, size_mm2: Number, current_a: Number, length_m: Number, *, is_90c_flex: bool = False
) -> Drop:
    """Return the drop of one run by its table, single phase.

    Parameters
    ----------
    kind, size_mm2
        Cable and size [mm2]; the size must stand in the cable's table.
    current_a : Decimal or int
        [A]; at most the greatest capacity that the table has for the size.
    length_m : Decimal or int
        One way [m], 0 to 1000.
    is_90c_flex : bool
        The flex is used up to 90 C, where its drop is 1.09 times that at 60 C.

    Raises
    ------
    Rejected
        For a size outside the table, a current above the size, a length out of range.
    """
    current = _carried_current(kind, size_mm2, current_a)
    length = checked("length_m", length_m, 0, LENGTH_MAX_M, "m")
    table = TABLES[kind]
    mv = _mv_per_a_m(kind, size_mm2, is_90c_flex=is_90c_flex)
    volts = mv * current * length / THOUSAND
    read = (FLEX_90C if is_90c_flex else table.rule).step(
        "Drop in the table",
        {"cable": kind.value, "size": f"{plain(size_mm2)} mm2"},
        "the row of the size" + (" x 1.09" if is_90c_flex else ""),
        f"{plain(mv)} mV/A/m",
    )
    step = DROP_BY_TABLE.step(
        "Voltage drop",
        {"drop": f"{plain(mv)} mV/A/m", "current": f"{plain(current)} A", "length": f"{plain(length)} m"},
        "Vd = mV/A/m x I x L / 1000",
        _volts_text(volts),
    )
    return _drop(volts, Working((read, step)))


def drop_along(current_a: Number, runs: Sequence[CableRun]) -> Drop | None:
    """Return the drop from the origin along runs in series; None if there is none or a length is not known."""
    if not runs or any(run.length_m is None for run in runs):
        return None
    drops = [drop_by_table(run.kind, run.size_mm2, current_a, run.length_m or 0) for run in runs]
    volts = sum((drop.volts for drop in drops), Decimal(0))
    step = DROP_BY_TABLE.step(
        "Voltage drop from the origin",
        {f"{at} {runs[at - 1].label}": f"{plain(drop.volts)} V" for at, drop in enumerate(drops, start=1)},
        "drops of runs in series add",
        _volts_text(volts),
    )
    steps = tuple(step for drop in drops for step in drop.working.steps)
    return _drop(volts, Working((*steps, step)))


def drop_limit(supply: SupplyKind, use: DropUse, *, length_m: Number = 0, phases: int = 1) -> DropLimit:
    """Return the greatest drop allowed; beyond 100 m it grows by 0.005 % a metre, at most 0.5 %.

    Raises ``Rejected`` for a length outside 0 to 1000 m or phases other than 1 or 3.
    """
    length = checked("length_m", length_m, 0, LENGTH_MAX_M, "m")
    refuse(of_phases("phases", phases))
    extra = min(max(length - LONG_RUN_M, Decimal(0)) * LONG_RUN_PERCENT_PER_M, LONG_RUN_PERCENT_MAX)
    percent = _LIMIT_PERCENT[supply, use] + extra
    nominal = DECLARED_V if phases == 1 else THREE_PHASE_V
    volts = nominal * percent / HUNDRED
    step = DROP_LIMITS.step(
        "Limit of voltage drop",
        {"supply": supply.value, "use": use.value, "length": f"{plain(length)} m", "phases": str(phases)},
        "public 3 % lighting, 5 % other; private 6 and 8 %; 0.005 % for each metre beyond 100, at most 0.5 %",
        f"{plain(percent)} % = {plain(volts)} V",
    )
    return DropLimit(volts, percent, Working((step,)))


def drop_within(drop: Drop | None, limit: DropLimit) -> DropVerdict:
    """Return whether a drop keeps a limit; a drop that is not known never does."""
    answer = Answer.NOT_KNOWN if drop is None else answer_of(drop.volts <= limit.volts)
    step = DROP_LIMITS.step(
        "Voltage drop against its limit",
        {"drop": with_unit(drop.volts if drop else None, "V"), "limit": f"{plain(limit.volts)} V"},
        "the drop must not exceed the limit",
        answer.value.replace("_", " "),
    )
    before = drop.working.steps if drop else ()
    return DropVerdict(answer, Working((*before, *limit.working.steps, step)))


def longest_run(kind: CableKind, size_mm2: Number, current_a: Number, limit: DropLimit) -> LongestRun:
    """Return the longest single-phase run that keeps a limit [m]; it is not lengthened for its own length."""
    current = positive("current_a", _carried_current(kind, size_mm2, current_a), CURRENT_MAX_A, "A")
    mv = _mv_per_a_m(kind, size_mm2, is_90c_flex=False)
    length = limit.volts * THOUSAND / (mv * current)
    step = DROP_BY_TABLE.step(
        "Longest run",
        {"drop": f"{plain(mv)} mV/A/m", "current": f"{plain(current)} A", "limit": f"{plain(limit.volts)} V"},
        "L = limit x 1000 / (mV/A/m x I)",
        f"{plain(length, 1)} m",
    )
    return LongestRun(length, limit.working.plus(step))


def drop_by_resistance(
    size_mm2: Number, conductor_class: ConductorClass, current_a: Number, length_m: Number, conductor_c: Number
) -> Drop:
    """Return the drop of one run from the resistance of its conductors at a temperature [C], go and return."""
    current = checked("current_a", current_a, 0, CURRENT_MAX_A, "A")
    length = checked("length_m", length_m, 0, LENGTH_MAX_M, "m")
    resistance = conductor_resistance(size_mm2, conductor_class, conductor_c)
    volts = 2 * resistance.ohm_per_km * current * length / THOUSAND
    step = DROP_BY_RESISTANCE.step(
        "Voltage drop from resistance",
        {
            "resistance": f"{plain(resistance.ohm_per_km, 4)} ohm/km",
            "current": f"{plain(current)} A",
            "length": f"{plain(length)} m",
        },
        "Vd = 2 x R x I x L / 1000",
        _volts_text(volts),
    )
    return _drop(volts, resistance.working.plus(step))


def _mv_per_a_m(kind: CableKind, size_mm2: Number, *, is_90c_flex: bool) -> Decimal:
    if is_90c_flex and kind is not CableKind.FLEX:
        raise Rejected(Fault("is_90c_flex", True, "must be false for a cable that is not flex"))
    return TABLES[kind].row(size_mm2).mv_per_a_m * (FLEX_90C_FACTOR if is_90c_flex else 1)


def _carried_current(kind: CableKind, size_mm2: Number, current_a: Number) -> Decimal:
    table = TABLES[kind]
    greatest = max(table.row(size_mm2).capacities_a.values())
    return checked("current_a", current_a, 0, greatest, f"A, the greatest capacity of the size in {table.rule.name}")


def _drop(volts: Decimal, working: Working) -> Drop:
    return Drop(volts, volts / DECLARED_V * HUNDRED, working)


def _volts_text(volts: Decimal) -> str:
    return f"{plain(volts)} V = {plain(volts / DECLARED_V * HUNDRED, 2)} % of 230 V"
