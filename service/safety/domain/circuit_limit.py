"""What the runs of a circuit may carry for hours, as far as their data is known; the weakest governs.

A part that is not known bounds nothing here: whether the circuit is fit is for the electrician's answers, and what
is known can only lower the current. Surroundings that nobody recorded are read as tabulated, the most they can be.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, fields
from decimal import Decimal
from functools import lru_cache
from typing import Final

from service.common.errors import Rejected
from service.common.working import Step
from service.households.domain.equipment import CableKind, CircuitRunKind
from service.households.domain.equipment_details import RunDetails
from service.safety.domain.arithmetic import cable, cable_tables
from service.safety.domain.arithmetic.cable_factors import REFERENCE_AMBIENT_C, Surroundings
from service.safety.domain.arithmetic.quantities import plain
from service.safety.domain.arithmetic.rules import WEAKEST_RUN

_TABLE: Final = {
    CableKind.FLAT_TWIN_AND_EARTH.value: cable_tables.CableKind.TWIN_AND_EARTH,
    CableKind.ARMOURED.value: cable_tables.CableKind.ARMOURED_90C,
}


@dataclass(frozen=True, slots=True)
class RunInputs:
    """One run as recorded; None, "" and "not_known" where nobody knows."""

    kind: str
    device_a: int | None = None
    cable_kind: str = "not_known"
    cable_mm2: Decimal | None = None
    installed: str = ""
    ambient_c: int | None = None
    grouped_circuits: int | None = None
    insulation_mm: int | None = None


@dataclass(frozen=True)
class CircuitLimit:
    """The least that a known part of a circuit carries, in whole amperes, with the step that says which."""

    limit_a: int
    step: Step


@lru_cache(maxsize=4096)
def circuit_limit(runs: tuple[RunInputs, ...]) -> CircuitLimit | None:
    """Return what the weakest known part of a circuit may carry for hours [A]; None where nothing is known."""
    parts = dict(part for place, run in enumerate(runs, start=1) for part in _parts(place, run))
    if not parts:
        return None
    weakest = min(parts, key=lambda name: parts[name])
    inputs = {name: f"{plain(value)} A" for name, value in parts.items()}
    limit = int(parts[weakest])
    rule = "the weakest part of the circuit governs; parts that are not known bound nothing"
    return CircuitLimit(limit, WEAKEST_RUN.step("Current of the circuit", inputs, rule, f"{limit} A, by: {weakest}"))


def carries_more(runs: Iterable[RunDetails], recorded: Iterable[RunDetails]) -> bool:
    """Tell whether by these runs a circuit would carry more than by those that are recorded."""
    now, was = (circuit_limit(tuple(_inputs(run) for run in each)) for each in (runs, recorded))
    return was is not None and (now is None or now.limit_a > was.limit_a)


def _inputs(run: RunDetails) -> RunInputs:
    return RunInputs(**{field.name: getattr(run, field.name) for field in fields(RunInputs)})


def _parts(place: int, run: RunInputs) -> Iterator[tuple[str, Decimal]]:
    name = f"{place} {run.kind.replace('_', ' ')}"
    if run.device_a is not None:
        yield f"{name}, device", Decimal(run.device_a)
    capacity = _cable_a(name, run)
    if capacity is not None:
        yield f"{name}, cable", capacity


def _cable_a(name: str, run: RunInputs) -> Decimal | None:
    kind = _TABLE.get(run.cable_kind)
    # The legs of a ring share its load: its cable alone says nothing.
    if kind is None or run.cable_mm2 is None or not run.installed or run.kind == CircuitRunKind.RING:
        return None
    around = (
        REFERENCE_AMBIENT_C if run.ambient_c is None else Decimal(run.ambient_c),
        run.grouped_circuits or 1,
        Decimal(run.insulation_mm or 0),
    )
    try:
        method = cable_tables.Method(run.installed)
        return cable.cable_capacity(cable.CableRun(name, kind, run.cable_mm2, method, Surroundings(*around))).capacity_a
    except (Rejected, ValueError):
        # Outside what the tables hold: nothing is known of it.
        return None
