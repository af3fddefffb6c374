"""What a cable may carry: tabulated capacity, factors for its surroundings, and co-ordination with its device.

Factors are read at the table's own rows: a temperature or a length of insulation between two rows takes the
row on the safe side, one beyond the table is refused.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from typing import Final

from service.common.errors import Fault, Rejected
from service.common.working import Step, Working
from service.safety.domain.arithmetic.answers import Answer, answer_of, worst_answer
from service.safety.domain.arithmetic.cable_factors import Surroundings, factors_of
from service.safety.domain.arithmetic.cable_tables import METHODS_IN_INSULATION, TABLES, CableKind, Method
from service.safety.domain.arithmetic.editions import Rule
from service.safety.domain.arithmetic.quantities import CURRENT_MAX_A, Number, checked, plain, positive, with_unit
from service.safety.domain.arithmetic.rules import (
    BREAKER_I2,
    CAPACITY,
    COORDINATION,
    FUSE_1362,
    REWIREABLE,
    WEAKEST_RUN,
)

OVERLOAD_FACTOR: Final = Decimal("1.45")  # BS 7671 433.1.1: I2 <= 1.45 Iz
REWIREABLE_FACTOR: Final = Decimal("0.725")  # BS 7671, BS 3036 fuse: 1.45 / 2


class DeviceKind(StrEnum):
    """What protects a run against overload."""

    CIRCUIT_BREAKER = "circuit_breaker"
    CARTRIDGE_FUSE = "cartridge_fuse"
    REWIREABLE_FUSE = "rewireable_fuse"
    PLUG_FUSE = "plug_fuse"


# I2 [multiples of In]: the current that ensures operation in the conventional time
_I2: Final[dict[DeviceKind, tuple[Decimal, Rule]]] = {
    DeviceKind.CIRCUIT_BREAKER: (OVERLOAD_FACTOR, BREAKER_I2),
    DeviceKind.CARTRIDGE_FUSE: (OVERLOAD_FACTOR, BREAKER_I2),
    DeviceKind.REWIREABLE_FUSE: (OVERLOAD_FACTOR / REWIREABLE_FACTOR, REWIREABLE),
    DeviceKind.PLUG_FUSE: (Decimal("1.9"), FUSE_1362),
}


@dataclass(frozen=True)
class Device:
    """An overload protective device and its rated current In [A]."""

    kind: DeviceKind
    rating_a: Decimal

    def __post_init__(self) -> None:
        positive("rating_a", self.rating_a, CURRENT_MAX_A, "A")

    @property
    def i2_a(self) -> Decimal:
        """Return the current that ensures operation [A]."""
        return _I2[self.kind][0] * self.rating_a


@dataclass(frozen=True)
class CableRun:
    """One run of one cable; ``length_m`` is None where it is not known.

    Surroundings are never assumed: what is as tabulated is said so, with ``AS_TABULATED``.

    Raises ``Rejected`` for a size or method that the cable's table does not hold, and for an insulation factor
    on top of methods 100 to 103, which already reckon with it.
    """

    label: str
    kind: CableKind
    size_mm2: Decimal
    method: Method
    surroundings: Surroundings
    length_m: Decimal | None = None

    def __post_init__(self) -> None:
        TABLES[self.kind].capacity_a(self.size_mm2, self.method)
        around = self.surroundings
        if around.insulation_mm and self.method in METHODS_IN_INSULATION:
            rule = "must be 0 with methods 100 to 103, which already reckon with insulation"
            raise Rejected(Fault("surroundings.insulation_mm", str(around.insulation_mm), rule))
        if self.kind is not CableKind.TWIN_AND_EARTH and not around.is_as_tabulated:
            rule = f"must be as tabulated for {self.kind.value}: its factors were not read"
            raise Rejected(Fault("surroundings", str(around), rule))


@dataclass(frozen=True)
class Capacity:
    """What a run may carry: tabulated It, factors and Iz = It x Ca x Cg x Ci [A]."""

    label: str
    tabulated_a: Decimal
    capacity_a: Decimal
    working: Working


@dataclass(frozen=True)
class Coordination:
    """Whether Ib <= In <= Iz and I2 <= 1.45 Iz; ``failed`` names the conditions that do not hold."""

    answer: Answer
    failed: tuple[str, ...]
    working: Working


@dataclass(frozen=True)
class RequiredCapacity:
    """The least tabulated capacity It that serves a device [A]."""

    tabulated_a: Decimal
    working: Working


@dataclass(frozen=True)
class SizeChoice:
    """The smallest size of a table that serves [mm2] and its tabulated capacity [A]."""

    size_mm2: Decimal
    tabulated_a: Decimal
    working: Working


def derated_a(tabulated_a: Number, *factors: Number) -> Decimal:
    """Return a tabulated capacity times factors of 0 to 2 [A]."""
    product = checked("tabulated_a", tabulated_a, 0, CURRENT_MAX_A, "A")
    for position, factor in enumerate(factors):
        product *= positive(f"factors.{position}", factor, 2)
    return product


def cable_capacity(run: CableRun) -> Capacity:
    """Return what a run may carry in its surroundings, Iz [A]."""
    table = TABLES[run.kind]
    tabulated = table.capacity_a(run.size_mm2, run.method)
    factors = factors_of(run.surroundings)
    capacity = derated_a(tabulated, *(factor.value for factor in factors))
    read = table.rule.step(
        f"Tabulated capacity: {run.label}",
        {"cable": run.kind.value, "size": f"{plain(run.size_mm2)} mm2", "method": run.method.value},
        "the row of the size, the column of the method",
        f"It = {plain(tabulated)} A",
    )
    product = CAPACITY.step(
        f"Capacity in its surroundings: {run.label}",
        {"It": f"{plain(tabulated)} A", **{factor.symbol: plain(factor.value) for factor in factors}},
        "Iz = It x Ca x Cg x Ci",
        f"Iz = {plain(capacity)} A",
    )
    return Capacity(run.label, tabulated, capacity, Working((read, *(factor.step for factor in factors), product)))


def coordination(design_a: Number, device: Device | None, capacity: Capacity) -> Coordination:
    """Return whether a device and a cable fit a design current Ib [A]; without a known device: not known.

    A design current above Iz fails whichever device there is.
    """
    ib, iz = checked("design_a", design_a, 0, CURRENT_MAX_A, "A"), capacity.capacity_a
    if device is None:
        answer = Answer.FAILS if ib > iz else Answer.NOT_KNOWN
        above = ("Ib <= Iz",) if ib > iz else ()
        return Coordination(answer, above, capacity.working.plus(_coordination_step(ib, None, capacity, above)))
    conditions = {
        "Ib <= In": ib <= device.rating_a,
        "In <= Iz": device.rating_a <= iz,
        "I2 <= 1.45 Iz": device.i2_a <= OVERLOAD_FACTOR * iz,
    }
    failed = tuple(name for name, holds in conditions.items() if not holds)
    factor, rule = _I2[device.kind]
    i2 = rule.step(
        "Current that ensures operation",
        {"device": device.kind.value, "In": f"{plain(device.rating_a)} A"},
        f"I2 = {plain(factor)} x In",
        f"I2 = {plain(device.i2_a)} A",
    )
    working = capacity.working.plus(i2, _coordination_step(ib, device, capacity, failed))
    return Coordination(worst_answer(map(answer_of, conditions.values())), failed, working)


def required_capacity(device: Device, surroundings: Surroundings) -> RequiredCapacity:
    """Return the least tabulated capacity for a device: It >= In / (Ca Cg Ci), and / 0.725 if rewireable [A]."""
    factors = factors_of(surroundings)
    values = {factor.symbol: factor.value for factor in factors}
    if device.kind is DeviceKind.REWIREABLE_FUSE:
        values["Cc"] = REWIREABLE_FACTOR
    required = device.rating_a
    for value in values.values():
        required /= value
    step = CAPACITY.step(
        "Least tabulated capacity",
        {"In": f"{plain(device.rating_a)} A", **{name: plain(value) for name, value in values.items()}},
        "It >= In / (Ca x Cg x Ci x Cc)",
        f"It >= {plain(required)} A",
    )
    return RequiredCapacity(required, Working((*(factor.step for factor in factors), step)))


def smallest_size(required_a: Number, kind: CableKind, method: Method) -> SizeChoice:
    """Return the smallest size whose tabulated capacity serves; raises ``Rejected`` if the table holds none."""
    required, table = checked("required_a", required_a, 0, CURRENT_MAX_A, "A"), TABLES[kind]
    for size in sorted(table.rows):
        tabulated = table.capacity_a(size, method)
        if tabulated >= required:
            inputs = {"needed": f"It >= {plain(required)} A", "cable": kind.value, "method": method.value}
            result = f"{plain(size)} mm2, It = {plain(tabulated)} A"
            step = table.rule.step("Smallest size", inputs, "the first row whose capacity is enough", result)
            return SizeChoice(size, tabulated, Working((step,)))
    raise Rejected(Fault("required_a", str(required), f"no size of {table.rule.name} carries it by method {method}"))


def weakest_run(runs: Sequence[CableRun]) -> Capacity:
    """Return the capacity of the run that governs, the first of equals; raises ``Rejected`` without a run."""
    if not runs:
        raise Rejected(Fault("runs", 0, "must hold at least one run"))
    capacities = [cable_capacity(run) for run in runs]
    weakest = min(capacities, key=lambda capacity: capacity.capacity_a)
    step = WEAKEST_RUN.step(
        "Run that governs",
        {f"{at + 1} {one.label}": f"Iz = {plain(one.capacity_a)} A" for at, one in enumerate(capacities)},
        "the least capacity of all runs from the origin to the outlet",
        f"{weakest.label}, Iz = {plain(weakest.capacity_a)} A",
    )
    steps = tuple(step for capacity in capacities for step in capacity.working.steps)
    return Capacity(weakest.label, weakest.tabulated_a, weakest.capacity_a, Working((*steps, step)))


def _coordination_step(ib: Decimal, device: Device | None, capacity: Capacity, failed: tuple[str, ...]) -> Step:
    rating = None if device is None else device.rating_a
    i2 = None if device is None else device.i2_a
    passed = "passes" if device else "not known: no device is known"
    return COORDINATION.step(
        f"Co-ordination: {capacity.label}",
        {
            "Ib": f"{plain(ib)} A",
            "In": with_unit(rating, "A"),
            "Iz": f"{plain(capacity.capacity_a)} A",
            "I2": with_unit(i2, "A"),
        },
        "Ib <= In <= Iz and I2 <= 1.45 Iz",
        f"fails: {', '.join(failed)}" if failed else passed,
    )
