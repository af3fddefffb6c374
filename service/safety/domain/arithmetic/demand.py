"""Maximum demand of a home: by diversity row by row, by measurement, or held by load management.

The three answer differently, and diversity on breaker ratings overstates: so a demand always names the method
it was found by.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from types import MappingProxyType
from typing import Final

from service.common.errors import Fault, Rejected
from service.common.working import Step, Working
from service.households.domain.ranges import refuse, text_within
from service.safety.domain.arithmetic.quantities import CURRENT_MAX_A, Number, checked, plain, whole
from service.safety.domain.arithmetic.rules import DIVERSITY, DIVERSITY_EV, LOAD_MANAGEMENT, MEASURED_DEMAND

LIGHTING_SHARE: Final = Decimal("0.66")
FIRST_A: Final = Decimal(10)  # of heating, power and cooking
POWER_REST_SHARE: Final = Decimal("0.5")
COOKING_REST_SHARE: Final = Decimal("0.3")
COOKER_SOCKET_A: Final = Decimal(5)
FURTHER_HEATER_SHARE: Final = Decimal("0.25")
FURTHER_SOCKETS_SHARE: Final = Decimal("0.4")
NAME_LENGTH_MAX = 80
MEASURED_DAYS_MAX = 3660  # own bound


class DemandMethod(StrEnum):
    """How a maximum demand was found."""

    DIVERSITY = "diversity"
    MEASURED = "measured"
    LOAD_MANAGED = "load_managed"


class LoadKind(StrEnum):
    """The rows of the diversity table for a dwelling."""

    LIGHTING = "lighting"
    HEATING_AND_POWER = "heating_and_power"
    COOKING = "cooking"
    INSTANTANEOUS_WATER = "instantaneous_water"
    THERMOSTATIC_WATER = "thermostatic_water"
    FLOOR_OR_STORAGE_HEATING = "floor_or_storage_heating"
    SOCKET_CIRCUIT = "socket_circuit"
    OTHER_SOCKET = "other_socket"
    CHARGING = "charging"


@dataclass(frozen=True)
class Load:
    """One connected load or circuit [A]; ``has_socket`` is for a cooker's control unit with a socket in it."""

    name: str
    kind: LoadKind
    current_a: Decimal
    has_socket: bool = False

    def __post_init__(self) -> None:
        checked("current_a", self.current_a, 0, CURRENT_MAX_A, "A")
        refuse(text_within("name", self.name, NAME_LENGTH_MAX))
        if self.has_socket and self.kind is not LoadKind.COOKING:
            raise Rejected(Fault("has_socket", True, "must be false for a load that is not cooking"))


@dataclass(frozen=True, slots=True)
class DemandRow:
    """One row of the table: what is connected and what is counted [A]."""

    kind: LoadKind
    connected_a: Decimal
    counted_a: Decimal
    rule: str


@dataclass(frozen=True)
class Demand:
    """A maximum demand [A], the method that found it, in an enum and in words, and its rows."""

    current_a: Decimal
    method: DemandMethod
    method_text: str
    rows: tuple[DemandRow, ...]
    working: Working


def _whole(currents: Sequence[Decimal], _has_socket: bool) -> Decimal:
    return sum(currents, Decimal(0))


def _share_of_all(currents: Sequence[Decimal], _has_socket: bool) -> Decimal:
    return LIGHTING_SHARE * sum(currents, Decimal(0))


def _heating_and_power(currents: Sequence[Decimal], _has_socket: bool) -> Decimal:
    total = sum(currents, Decimal(0))
    return min(total, FIRST_A) + POWER_REST_SHARE * max(total - FIRST_A, Decimal(0))


def _cooking(currents: Sequence[Decimal], has_socket: bool) -> Decimal:
    total = sum(currents, Decimal(0))
    rest = COOKING_REST_SHARE * max(total - FIRST_A, Decimal(0))
    return min(total, FIRST_A) + rest + (COOKER_SOCKET_A if has_socket else 0)


def _instantaneous(currents: Sequence[Decimal], _has_socket: bool) -> Decimal:
    ordered = sorted(currents, reverse=True)
    return sum(ordered[:2], Decimal(0)) + FURTHER_HEATER_SHARE * sum(ordered[2:], Decimal(0))


def _largest_and_share(currents: Sequence[Decimal], _has_socket: bool) -> Decimal:
    ordered = sorted(currents, reverse=True)
    return sum(ordered[:1], Decimal(0)) + FURTHER_SOCKETS_SHARE * sum(ordered[1:], Decimal(0))


_Count = Callable[[Sequence[Decimal], bool], Decimal]

_ROWS: Final[Mapping[LoadKind, tuple[str, _Count]]] = MappingProxyType(
    {
        LoadKind.LIGHTING: ("66 % of all", _share_of_all),
        LoadKind.HEATING_AND_POWER: ("all up to 10 A, 50 % of the rest", _heating_and_power),
        LoadKind.COOKING: ("10 A, 30 % of the rest, 5 A for a socket in the control unit", _cooking),
        LoadKind.INSTANTANEOUS_WATER: ("the largest two in full, 25 % of the rest", _instantaneous),
        LoadKind.THERMOSTATIC_WATER: ("all in full", _whole),
        LoadKind.FLOOR_OR_STORAGE_HEATING: ("all in full", _whole),
        LoadKind.SOCKET_CIRCUIT: ("the largest in full, 40 % of each other", _largest_and_share),
        LoadKind.OTHER_SOCKET: ("the largest in full, 40 % of each other", _largest_and_share),
        LoadKind.CHARGING: ("all in full: no diversity", _whole),
    }
)


def demand_by_diversity(loads: Sequence[Load]) -> Demand:
    """Return the demand by the diversity table, row by row; raises ``Rejected`` without a load."""
    if not loads:
        raise Rejected(Fault("loads", 0, "must hold at least one load"))
    rows = tuple(_row(kind, loads) for kind in LoadKind if any(load.kind is kind for load in loads))
    total = sum((row.counted_a for row in rows), Decimal(0))
    method = "diversity row by row (On-Site Guide style), from connected loads and circuit ratings"
    step = DIVERSITY.step(
        "Maximum demand",
        {row.kind.value.replace("_", " "): f"{plain(row.counted_a)} A" for row in rows},
        "the rows add",
        f"{plain(total)} A, by {method}",
    )
    return Demand(total, DemandMethod.DIVERSITY, method, rows, Working((*map(_row_step, rows), step)))


def demand_by_measurement(highest_a: Number, *, days: int, measured_by: str, added_a: Number) -> Demand:
    """Return a measured maximum demand plus a new load in full.

    Parameters
    ----------
    highest_a : Decimal or int
        The highest demand seen, without the new load [A].
    days : int
        How long was measured, at least one day.
    measured_by : str
        Who or what measured, in words; required, because it is the evidence.
    added_a : Decimal or int
        The new load [A].

    Raises
    ------
    Rejected
        For currents out of range, no day, or no name.
    """
    highest = checked("highest_a", highest_a, 0, CURRENT_MAX_A, "A")
    added = checked("added_a", added_a, 0, CURRENT_MAX_A, "A")
    whole("days", days, 1, MEASURED_DAYS_MAX)
    refuse(text_within("measured_by", measured_by, NAME_LENGTH_MAX, is_required=True))
    method = f"maximum demand measured over {days} days by {measured_by}, plus the new load in full"
    step = MEASURED_DEMAND.step(
        "Maximum demand",
        {"highest measured": f"{plain(highest)} A", "days": str(days), "new load": f"{plain(added)} A"},
        "measured + new load",
        f"{plain(highest + added)} A, by {method}",
    )
    return Demand(highest + added, DemandMethod.MEASURED, method, (), Working((step,)))


def demand_by_load_management(limit_a: Number, *, device: str) -> Demand:
    """Return the demand that a named load-management device holds the home to [A]; raises ``Rejected`` unnamed."""
    limit = checked("limit_a", limit_a, 0, CURRENT_MAX_A, "A")
    refuse(text_within("device", device, NAME_LENGTH_MAX, is_required=True))
    method = f"load management by {device}, which holds the home to {plain(limit)} A"
    inputs = {"limit": f"{plain(limit)} A", "device": device}
    step = LOAD_MANAGEMENT.step("Maximum demand", inputs, "the limit set", f"{plain(limit)} A, by {method}")
    return Demand(limit, DemandMethod.LOAD_MANAGED, method, (), Working((step,)))


def _row(kind: LoadKind, loads: Sequence[Load]) -> DemandRow:
    rule, count = _ROWS[kind]
    own = [load for load in loads if load.kind is kind]
    currents = [load.current_a for load in own]
    counted = count(currents, any(load.has_socket for load in own))
    return DemandRow(kind, sum(currents, Decimal(0)), counted, rule)


def _row_step(row: DemandRow) -> Step:
    rule = DIVERSITY_EV if row.kind is LoadKind.CHARGING else DIVERSITY
    return rule.step(
        f"Diversity: {row.kind.value.replace('_', ' ')}",
        {"connected": f"{plain(row.connected_a)} A"},
        row.rule,
        f"{plain(row.counted_a)} A",
    )
