"""A home's maximum demand from what is recorded of it, and whether the network operator is told or asked.

Every row of the diversity table has to be known, one that counts nothing included. Where one is not, the demand is
not known: the rows that are known only bound it from below. A measured demand, or a device that holds the home to a
limit, is other evidence: it counts in place of the rows where somebody names it, and the method says so.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from service.common.errors import Fault, Rejected
from service.common.working import Working
from service.households.domain.equipment import LargeLoadKind, OutletKind, YesNo
from service.households.domain.home_details import LargeLoad
from service.households.domain.ranges import refuse
from service.safety.domain.arithmetic.demand import (
    Demand,
    DemandRow,
    Load,
    LoadKind,
    demand_by_diversity,
    demand_by_load_management,
    demand_by_measurement,
)
from service.safety.domain.arithmetic.network_operator import NetworkNotice, SupplyState, network_notice
from service.safety.domain.arithmetic.supply_voltage import load_current

ROW_OF: Final = {
    LargeLoadKind.LIGHTING: LoadKind.LIGHTING,
    LargeLoadKind.SOCKETS: LoadKind.SOCKET_CIRCUIT,
    LargeLoadKind.COOKER: LoadKind.COOKING,
    LargeLoadKind.SHOWER: LoadKind.INSTANTANEOUS_WATER,
    LargeLoadKind.IMMERSION: LoadKind.THERMOSTATIC_WATER,
    LargeLoadKind.STORAGE_HEATING: LoadKind.FLOOR_OR_STORAGE_HEATING,
    LargeLoadKind.ROOM_HEATING: LoadKind.HEATING_AND_POWER,
    LargeLoadKind.HEAT_PUMP: LoadKind.HEATING_AND_POWER,
    LargeLoadKind.OTHER: LoadKind.HEATING_AND_POWER,
}
"""Which row of the diversity table a load counts in."""


@dataclass(frozen=True)
class ChargingOutlet:
    """What an outlet gives a car for hours: all of it counts, without diversity [A per phase]."""

    label: str
    kind: str
    limit_a: int


@dataclass(frozen=True)
class SupplyDoubts:
    """What the network operator's form asks of the supply and nobody records: as somebody states it."""

    is_unmetered: YesNo = YesNo.NOT_KNOWN
    is_adequate: YesNo = YesNo.NOT_KNOWN
    has_doubt: YesNo = YesNo.NOT_KNOWN
    is_upgrade_certain: YesNo = YesNo.NOT_KNOWN
    is_area_scheme: YesNo = YesNo.NOT_KNOWN


@dataclass(frozen=True)
class OtherEvidence:
    """A measured demand [A] over days by a name, or the limit [A] of a load-management device by name.

    Raises ``Rejected`` for half of one, and for both at once.
    """

    measured_a: int | None = None
    measured_days: int | None = None
    measured_by: str = ""
    limit_a: int | None = None
    device: str = ""

    def __post_init__(self) -> None:
        measured = {"measured_a": self.measured_a, "measured_days": self.measured_days, "measured_by": self.measured_by}
        managed = {"limit_a": self.limit_a, "device": self.device}
        faults: list[Fault] = []
        for parts in (measured, managed):
            missing = [name for name, value in parts.items() if value in (None, "")]
            if len(missing) < len(parts):
                rule = "must be given with the rest of this evidence"
                faults.extend(Fault(name, parts[name], rule) for name in missing)
        if self.measured_a is not None and self.limit_a is not None:
            faults.append(Fault("limit_a", self.limit_a, "must be empty beside a measured demand"))
        refuse(faults)

    def demand(self, added_a: Decimal) -> Demand | None:
        """Return the demand that the evidence gives, with what charging adds; None where none is named."""
        if self.measured_a is not None:
            return demand_by_measurement(
                self.measured_a, days=self.measured_days or 0, measured_by=self.measured_by, added_a=added_a
            )
        return demand_by_load_management(self.limit_a, device=self.device) if self.limit_a is not None else None


@dataclass(frozen=True)
class HomeDemand:
    """The maximum demand [A]; ``demand_a`` is None while a row is not known, ``at_least_a`` counts the known rows.

    ``notice`` is None where what is recorded lies beyond the rules; ``refused`` says what and why.
    """

    demand_a: Decimal | None
    at_least_a: Decimal
    method: str
    rows: tuple[DemandRow, ...]
    not_known: tuple[str, ...]
    notice: NetworkNotice | None
    refused: tuple[Fault, ...]
    working: Working


def home_demand(
    loads: Sequence[LargeLoad],
    outlets: Sequence[ChargingOutlet],
    *,
    fuse_a: int | None,
    is_looped: YesNo,
    phases: int,
    doubts: SupplyDoubts,
    other: OtherEvidence = OtherEvidence(),
) -> HomeDemand:
    """Return the home's demand with its working.

    Parameters
    ----------
    loads : Sequence[LargeLoad]
        As recorded; a kind that is missing, or whose power is None, is not known.
    outlets : Sequence[ChargingOutlet]
        Where cars are fed.
    fuse_a : int or None
        Of the service cut-out [A].
    is_looped, phases, doubts
        Of the supply. How loads are spread over three phases is not recorded, so the demand of a three-phase
        supply is not known by its rows.
    other : OtherEvidence
        What counts in place of the rows, where it is named. Raises ``Rejected`` beyond its ranges.
    """
    not_known = [kind.value for kind in LargeLoadKind if not _is_known(kind, loads)]
    if phases != 1:
        not_known.append("how the loads are spread over the phases")
    if not outlets:
        not_known.append("what charging takes")
    counted = [*_loads(loads), *_charging(outlets)]
    found = demand_by_diversity(counted) if counted else None
    is_whole = found is not None and not not_known
    stated = other.demand(Decimal(sum(outlet.limit_a for outlet in outlets)))
    by_rows = found.current_a if found and is_whole else None
    demand_a = stated.current_a if stated else by_rows
    refused: tuple[Fault, ...] = ()
    notice: NetworkNotice | None = None
    try:
        state = SupplyState(fuse_a, is_looped, **vars(doubts))
        is_existing_socket = bool(outlets) and all(each.kind == OutletKind.SOCKET_13A for each in outlets)
        notice = network_notice(demand_a, state, is_existing_socket=is_existing_socket)
    except Rejected as error:
        refused = error.faults
    return HomeDemand(
        demand_a,
        found.current_a if found else Decimal(0),
        stated.method_text if stated else found.method_text if found else "",
        found.rows if found else (),
        tuple(not_known),
        notice,
        refused,
        _working(found, stated, notice),
    )


def _loads(loads: Iterable[LargeLoad]) -> list[Load]:
    """Return what is known of the loads; a cooker counts with a socket in its switch, which nobody records."""
    return [
        Load(load.kind, ROW_OF[kind], load_current(load.power_w).current_a, has_socket=kind is LargeLoadKind.COOKER)
        for load in loads
        for kind in (LargeLoadKind(load.kind),)
        if load.power_w
    ]


def _charging(outlets: Iterable[ChargingOutlet]) -> list[Load]:
    return [Load(outlet.label, LoadKind.CHARGING, Decimal(outlet.limit_a)) for outlet in outlets]


def _is_known(kind: LargeLoadKind, loads: Sequence[LargeLoad]) -> bool:
    own = [load for load in loads if load.kind == kind]
    return bool(own) and all(load.power_w is not None for load in own)


def _working(found: Demand | None, stated: Demand | None, notice: NetworkNotice | None) -> Working:
    steps = Working(tuple(step for each in (found, stated) if each for step in each.working.steps))
    return steps.plus(*notice.working.steps) if notice else steps
