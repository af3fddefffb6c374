"""What a recorded circuit may carry and how much voltage it loses, run by run; not known where data is missing.

A stored run names its cable, how it is installed and what surrounds it; none of these is ever assumed. A run with
all of them is read in its table, and what the table does not hold is refused, never extrapolated.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Final

from service.common.errors import Fault, Rejected
from service.common.working import Working
from service.households.domain import equipment
from service.households.domain.equipment_details import RunDetails
from service.safety.domain.arithmetic.answers import Answer
from service.safety.domain.arithmetic.cable import CableRun, Device, DeviceKind, cable_capacity, weakest_run
from service.safety.domain.arithmetic.cable_factors import Surroundings
from service.safety.domain.arithmetic.cable_tables import CableKind, Method
from service.safety.domain.arithmetic.circuit import ProtectedRun, circuit_verdict
from service.safety.domain.arithmetic.quantities import THOUSAND, plain
from service.safety.domain.arithmetic.ring import RingPlace, ring_equivalent_m, ring_split
from service.safety.domain.arithmetic.rules import RING_SPLIT
from service.safety.domain.arithmetic.voltage_drop import DropUse, SupplyKind, drop_along, drop_limit, drop_within

RUN_WORDS: Final = {
    equipment.CircuitRunKind.SUB_MAIN: "sub-main",
    equipment.CircuitRunKind.BOARD: "board",
    equipment.CircuitRunKind.RING: "ring",
    equipment.CircuitRunKind.RADIAL: "radial",
    equipment.CircuitRunKind.SPUR: "spur",
    equipment.CircuitRunKind.FUSED_SPUR: "fused unit",
}
_CABLES: Final = {
    equipment.CableKind.FLAT_TWIN_AND_EARTH: CableKind.TWIN_AND_EARTH,
    equipment.CableKind.ARMOURED: CableKind.ARMOURED_90C,
}
_DEVICES: Final = {
    equipment.DeviceKind.MCB_B: DeviceKind.CIRCUIT_BREAKER,
    equipment.DeviceKind.MCB_C: DeviceKind.CIRCUIT_BREAKER,
    equipment.DeviceKind.MCB_D: DeviceKind.CIRCUIT_BREAKER,
    equipment.DeviceKind.FUSE_REWIREABLE: DeviceKind.REWIREABLE_FUSE,
    equipment.DeviceKind.FUSE_CARTRIDGE: DeviceKind.CARTRIDGE_FUSE,
    equipment.DeviceKind.PLUG_FUSE: DeviceKind.PLUG_FUSE,
}


@dataclass(frozen=True)
class RunArithmetic:
    """One run: what its cable may carry [A], what is missing for it, and the answer against the car's current."""

    label: str
    capacity_a: Decimal | None
    missing: tuple[str, ...]
    answer: Answer


@dataclass(frozen=True)
class RingArithmetic:
    """A ring's split at the place named, or the worst: the greater leg's current [A]."""

    label: str
    leg_a: Decimal
    other_leg_a: Decimal
    is_worst_place: bool


@dataclass(frozen=True)
class CircuitArithmetic:
    """The circuit against a car's current [A]; None is not known, ``refused`` names what lies beyond the tables."""

    current_a: Decimal
    answer: Answer
    capacity_a: Decimal | None
    governed_by: str
    drop_v: Decimal | None
    drop_percent: Decimal | None
    drop_limit_v: Decimal
    drop_answer: Answer
    runs: tuple[RunArithmetic, ...]
    rings: tuple[RingArithmetic, ...]
    refused: tuple[Fault, ...]
    working: Working


@dataclass(frozen=True)
class _Run:
    """A stored run as the tables read it; ``cable`` is None where something is missing or refused."""

    label: str
    details: RunDetails
    cable: CableRun | None
    missing: tuple[str, ...]
    refused: tuple[Fault, ...]
    device: Device | None

    @property
    def is_ring(self) -> bool:
        return self.details.kind == equipment.CircuitRunKind.RING


def circuit_arithmetic(
    runs: Sequence[RunDetails], current_a: Decimal, *, ring_along_m: Decimal | None = None
) -> CircuitArithmetic:
    """Return what a circuit may carry and drop with a car's current on it.

    Parameters
    ----------
    runs : Sequence[RunDetails]
        In order from the origin; a board is no cable, its device protects what follows.
    current_a : Decimal
        The car's, for hours [A].
    ring_along_m : Decimal, optional
        Where the outlet sits on a ring, along one leg [m]; left out, the worst place counts.
    """
    read = [run for run in _read(runs) if run.details.kind != equipment.CircuitRunKind.BOARD]
    refused = [fault for run in read for fault in run.refused]
    cables = [run.cable for run in read]
    known = [cable for cable in cables if cable is not None]
    is_whole = bool(known) and len(known) == len(cables)
    weakest = weakest_run(known) if is_whole else None
    working = Working()
    answers: tuple[Answer, ...] = tuple(Answer.NOT_KNOWN for _ in read)
    answer = Answer.NOT_KNOWN
    try:
        rings, ring_working = _rings(read, current_a, ring_along_m)
        if read:
            verdict = circuit_verdict(current_a, [_protected(run, ring_along_m) for run in read])
            answer, answers, working = verdict.answer, tuple(run.answer for run in verdict.runs), verdict.working
        working = Working((*working.steps, *(weakest.working.steps[-1:] if weakest else ()), *ring_working.steps))
    except Rejected as error:
        rings = ()
        refused.extend(error.faults)
    limit = drop_limit(SupplyKind.PUBLIC, DropUse.OTHER, length_m=_length(read))
    drop = None
    if is_whole:
        try:
            drop = drop_along(current_a, [_for_drop(run, ring_along_m) for run in read])
        except Rejected as error:
            refused.extend(error.faults)
    verdict_of_drop = drop_within(drop, limit)
    return CircuitArithmetic(
        current_a=current_a,
        answer=answer,
        capacity_a=weakest.capacity_a if weakest else None,
        governed_by=weakest.label if weakest else "",
        drop_v=drop.volts if drop else None,
        drop_percent=drop.percent if drop else None,
        drop_limit_v=limit.volts,
        drop_answer=verdict_of_drop.answer,
        runs=tuple(
            RunArithmetic(run.label, cable_capacity(run.cable).capacity_a if run.cable else None, run.missing, each)
            for run, each in zip(read, answers, strict=True)
        ),
        rings=rings,
        refused=tuple(dict.fromkeys(refused)),
        working=working.plus(*verdict_of_drop.working.steps),
    )


def _read(runs: Sequence[RunDetails]) -> list[_Run]:
    """Read runs for the tables; the device of a board stands at the head of the run after it."""
    found: list[_Run] = []
    at_board: Device | None = None
    for place, details in enumerate(runs):
        label = f"{place + 1} {RUN_WORDS[equipment.CircuitRunKind(details.kind)]}"
        device = _device(details) or at_board
        at_board = device if details.kind == equipment.CircuitRunKind.BOARD else None
        missing = tuple(_missing(details))
        cable: CableRun | None = None
        refused: tuple[Fault, ...] = ()
        if not missing:
            try:
                cable = _cable(label, details)
            except Rejected as error:
                refused = tuple(fault.under(f"runs.{place}") for fault in error.faults)
        found.append(_Run(label, details, cable, missing, refused, device))
    return found


def _missing(run: RunDetails) -> list[str]:
    wanted = {
        "kind of cable": run.cable_kind in _CABLES or None,
        "size of cable": run.cable_mm2,
        "how it is installed": run.installed or None,
        "ambient temperature": run.ambient_c,
        "other circuits beside it": run.grouped_circuits,
        "insulation around it": run.insulation_mm,
    }
    return [words for words, value in wanted.items() if value is None]


def _cable(label: str, run: RunDetails) -> CableRun:
    surroundings = Surroundings(Decimal(run.ambient_c or 0), run.grouped_circuits or 0, Decimal(run.insulation_mm or 0))
    kind = _CABLES[equipment.CableKind(run.cable_kind)]
    return CableRun(label, kind, run.cable_mm2 or Decimal(0), Method(run.installed), surroundings, run.length_m)


def _device(run: RunDetails) -> Device | None:
    kind = _DEVICES.get(equipment.DeviceKind(run.device_kind))
    return Device(kind, Decimal(run.device_a)) if kind and run.device_a else None


def _place(run: _Run, along_m: Decimal | None) -> RingPlace | None:
    length = run.details.length_m
    return RingPlace(length, along_m) if run.is_ring and length and along_m is not None else None


def _protected(run: _Run, along_m: Decimal | None) -> ProtectedRun:
    """What else the run carries is recorded nowhere, so it is not known."""
    return ProtectedRun(run.label, run.cable, None, run.device, run.is_ring, _place(run, along_m))


def _rings(
    runs: Sequence[_Run], current_a: Decimal, along_m: Decimal | None
) -> tuple[tuple[RingArithmetic, ...], Working]:
    found: list[RingArithmetic] = []
    working = Working()
    for run in runs:
        if not run.is_ring:
            continue
        place = _place(run, along_m)
        if place is None:
            found.append(RingArithmetic(run.label, current_a, Decimal(0), is_worst_place=True))
            worst = RING_SPLIT.step(
                f"Worst place on a ring: {run.label}",
                {"load": f"{plain(current_a)} A", "place on the ring": "not known"},
                "close to one end, one leg carries all of it",
                f"{plain(current_a)} and 0 A",
            )
            working = working.plus(worst)
        else:
            split = ring_split(current_a, place)
            found.append(
                RingArithmetic(run.label, split.greater_a, current_a - split.greater_a, is_worst_place=False)
            )
            working = working.plus(*split.working.steps)
    return tuple(found), working


def _for_drop(run: _Run, along_m: Decimal | None) -> CableRun:
    """Return the run as a single cable that drops as much: of a ring d (1 - d/L), at the worst place L/4."""
    assert run.cable is not None, "only runs whose cable is known are asked for their drop"
    length = run.details.length_m
    if not run.is_ring or length is None or length == 0:
        return run.cable
    place = _place(run, along_m) or RingPlace(length, length / 2)
    return replace(run.cable, label=f"{run.label} (as one cable)", length_m=ring_equivalent_m(place))


def _length(runs: Sequence[_Run]) -> Decimal:
    total = sum((run.details.length_m or Decimal(0) for run in runs), Decimal(0))
    return min(total, THOUSAND)
