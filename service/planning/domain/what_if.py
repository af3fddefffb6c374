"""A home as it might be: what is changed of it before it is made a week, and what has to be taken for granted then.

Nothing here says that a thing may be used. A charging point that does not exist yet has no evidence; it is planned as
if it were cleared, and the assumption stands beside the figures.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from datetime import date
from typing import Any, Final

from service.common.errors import Fault, Rejected
from service.common.working import Working
from service.households.domain.diary import WeeklyDeparture, check_routine
from service.households.domain.equipment import LeadKind, OutletKind
from service.households.domain.equipment_details import OutletDetails
from service.households.domain.home_details import SupplyDetails
from service.households.domain.homes import CarInputs, ContractInputs, HomeInputs, OutletInputs, RoutineLine
from service.households.domain.ranges import build_each, refuse
from service.households.domain.vehicle_details import VehicleDetails, check_lead_fits
from service.safety.domain.clearance import Clearance, OutletClearance
from service.safety.domain.sign_reports import has_own_cable

SECOND_CAR_ID: Final = "second_car"
"""Stands for the car that the home does not have."""

START_STANDS = "The week starts with the cars charged as they stand now, on both sides."
AS_IF_CLEARED = "as if it were cleared: nothing is charged there before an electrician's record"


@dataclass(frozen=True)
class NewRoutine:
    """Another week of a car: all its weekly departures."""

    vehicle_id: str
    departures: tuple[WeeklyDeparture, ...]

    def __post_init__(self) -> None:
        check_routine(self.departures)


@dataclass(frozen=True)
class SecondCar:
    """A car that the home does not have, and its weekly departures."""

    details: VehicleDetails
    departures: tuple[WeeklyDeparture, ...]

    def __post_init__(self) -> None:
        check_routine(self.departures)


@dataclass(frozen=True)
class OtherTariff:
    """Another tariff of the scheme, from today on, by its own clock and windows."""

    tariff_id: str


@dataclass(frozen=True)
class OtherOutlet:
    """What one of the home's outlets is changed into; ``limit_a`` per phase, words as in ``equipment``."""

    outlet_id: str
    kind: str
    limit_a: int
    phases: int = 1
    control: str = "not_known"

    def __post_init__(self) -> None:
        OutletDetails("outlet", self.kind, self.limit_a, self.phases, control=self.control)


@dataclass(frozen=True)
class OtherSupply:
    """Another fuse [A per phase] and number of phases."""

    fuse_a: int
    phases: int = 1

    def __post_init__(self) -> None:
        SupplyDetails(self.fuse_a, self.phases)


@dataclass(frozen=True)
class OtherLimits:
    """Another everyday ceiling and reserve of a car [%]."""

    vehicle_id: str
    ceiling_percent: int
    reserve_percent: int


@dataclass(frozen=True)
class Changes:
    """What is changed of a home, all of it at once; at least one thing."""

    routine: NewRoutine | None = None
    second_car: SecondCar | None = None
    tariff: OtherTariff | None = None
    outlet: OtherOutlet | None = None
    supply: OtherSupply | None = None
    limits: OtherLimits | None = None

    def __post_init__(self) -> None:
        if all(getattr(self, field.name) is None for field in fields(self)):
            raise Rejected(Fault("", None, "must name at least one change"))


def changes_of(values: Mapping[str, Any]) -> Changes:
    """Return changes from plain values as the API reads them, each None or a mapping by the fields of its class.

    Raises
    ------
    Rejected
        With every fault, under ``changes``.
    """
    found: dict[str, Any] = {}
    faults: list[Fault] = []
    for name, build in _BUILD.items():
        given = values.get(name)
        try:
            found[name] = None if given is None else build(given)
        except Rejected as error:
            faults.extend(fault.under(f"changes.{name}") for fault in error.faults)
    refuse(faults)
    try:
        return Changes(**found)
    except Rejected as error:
        raise Rejected(*(fault.under("changes") for fault in error.faults)) from error


def _routine(given: Mapping[str, Any]) -> NewRoutine:
    return NewRoutine(given["vehicle_id"], build_each("departures", given["departures"], WeeklyDeparture))


def _second_car(given: Mapping[str, Any]) -> SecondCar:
    details = {name: value for name, value in given.items() if name != "departures"}
    return SecondCar(VehicleDetails(**details), build_each("departures", given["departures"], WeeklyDeparture))


_BUILD: Final[Mapping[str, Callable[[Mapping[str, Any]], Any]]] = {
    "routine": _routine,
    "second_car": _second_car,
    "tariff": lambda given: OtherTariff(**given),
    "outlet": lambda given: OtherOutlet(**given),
    "supply": lambda given: OtherSupply(**given),
    "limits": lambda given: OtherLimits(**given),
}


def changed_home(home: HomeInputs, changes: Changes, *, from_on: date) -> HomeInputs:
    """Return the home as it would be; another tariff holds from the local day ``from_on``.

    Raises
    ------
    Rejected
        Naming the field under the change, such as ``outlet.kind``, where it does not fit this home.
    """
    if changes.outlet is not None:
        home = _with_outlet(home, changes.outlet)
    if changes.routine is not None:
        car = _car_of(home, changes.routine.vehicle_id, "routine")
        # The diary tells of the old routine: how far the new one goes nobody has kept.
        home = _with_car(home, replace(car, routine=_lines(changes.routine.departures), diary=()))
    if changes.limits is not None:
        home = _with_limits(home, changes.limits)
    if changes.second_car is not None:
        home = _with_second_car(home, changes.second_car)
    if changes.tariff is not None:
        home = replace(home, contracts=(ContractInputs(changes.tariff.tariff_id, from_on, None, None, {}),))
    if changes.supply is not None:
        supply = replace(home.supply, fuse_a=changes.supply.fuse_a, phases=changes.supply.phases)
        home = replace(home, supply=supply)
    return home


def changed_clearances(
    clearances: Sequence[OutletClearance], home: HomeInputs, changes: Changes
) -> tuple[OutletClearance, ...]:
    """Return what evidence says, with an outlet that would be another taken as if it were cleared."""
    if changes.outlet is None or not is_another_outlet(home, changes.outlet):
        return tuple(clearances)
    assumed = OutletClearance(
        changes.outlet.outlet_id,
        Clearance.FIT_TO_USE,
        changes.outlet.limit_a,
        None,
        AS_IF_CLEARED,
        (),
        "Have an electrician install and record it before anything is charged there.",
        Working(()),
    )
    kept = (each for each in clearances if each.outlet_id != changes.outlet.outlet_id)
    return (*kept, assumed)


def is_another_outlet(home: HomeInputs, changed: OtherOutlet) -> bool:
    """Tell whether the evidence of the outlet as it is would not speak of the changed one: other kind, more current."""
    was = _outlet_of(home, changed.outlet_id)
    return (changed.kind, changed.phases) != (was.kind, was.phases) or changed.limit_a > was.limit_a


def assumptions(home: HomeInputs, changes: Changes) -> tuple[str, ...]:
    """Say what is taken for granted of a change to a home."""
    said = [START_STANDS]
    if changes.outlet is not None and is_another_outlet(home, changes.outlet):
        outlet = _outlet_of(home, changes.outlet.outlet_id)
        said.append(f"The outlet ({outlet.label}) is planned {AS_IF_CLEARED}.")
        if changes.outlet.kind == OutletKind.CHARGING_POINT and outlet.kind != OutletKind.CHARGING_POINT:
            said.append("The charging point is taken to have a cable of its own and a circuit of its own.")
    if changes.routine is not None and _car_of(home, changes.routine.vehicle_id, "routine").diary:
        said.append("The diary of miles is left out: it tells of the routine as it is.")
    if changes.second_car is not None:
        said.append("The second car is taken to start at its reserve: nobody has read its charge.")
    if changes.supply is not None:
        said.append("The fuse is planned as if the network operator had agreed and changed it.")
    if changes.tariff is not None:
        said.append("Only the prices of energy are compared: standing charges and the house's own use are not in it.")
    return tuple(said)


def _with_outlet(home: HomeInputs, changed: OtherOutlet) -> HomeInputs:
    was = _outlet_of(home, changed.outlet_id)
    outlet = replace(
        was, kind=changed.kind, limit_a=changed.limit_a, phases=changed.phases, control=changed.control
    )
    if changed.kind != was.kind:
        is_point = changed.kind == OutletKind.CHARGING_POINT
        outlet = replace(
            outlet,
            is_tethered=True if is_point else None,
            start_delay_s=None,
            circuit_id=None if is_point else was.circuit_id,
        )
    for car in home.cars:
        uses = changed.outlet_id in (car.outlet_id, *car.other_outlet_ids)
        if uses and changed.kind == OutletKind.SOCKET_13A and (car.lead is None or car.lead.kind != LeadKind.MODE_2):
            rule = f"a 13 A socket feeds a car through a mode 2 lead, and {car.label} has none"
            raise Rejected(Fault("outlet.kind", changed.kind, rule))
    return replace(home, outlets=tuple(outlet if each.id == was.id else each for each in home.outlets))


def _with_limits(home: HomeInputs, limits: OtherLimits) -> HomeInputs:
    car = _car_of(home, limits.vehicle_id, "limits")
    try:
        VehicleDetails(
            car.label,
            car.battery_wh,
            car.miles_per_kwh,
            car.onboard_limit_a,
            ceiling_percent=limits.ceiling_percent,
            reserve_percent=limits.reserve_percent,
        )
    except Rejected as error:
        raise Rejected(*(fault.under("limits") for fault in error.faults)) from error
    return _with_car(
        home, replace(car, ceiling_percent=limits.ceiling_percent, reserve_percent=limits.reserve_percent)
    )


def _with_second_car(home: HomeInputs, second: SecondCar) -> HomeInputs:
    details = second.details
    outlet = None
    if details.outlet_id is not None:
        outlet = next((each for each in home.outlets if each.id == details.outlet_id), None)
        if outlet is None:
            raise Rejected(Fault("second_car.outlet_id", details.outlet_id, "is none of this home's outlets"))
    lead = next((each for each in home.leads if each.id == details.lead_id), None)
    if details.lead_id is not None and lead is None:
        raise Rejected(Fault("second_car.lead_id", details.lead_id, "is none of this home's leads"))
    if lead is not None and outlet is not None and not has_own_cable(outlet):
        try:
            check_lead_fits(outlet.kind, outlet.is_tethered, lead.kind)
        except Rejected as error:
            raise Rejected(*(fault.under("second_car") for fault in error.faults)) from error
    car = CarInputs(
        id=SECOND_CAR_ID,
        ordinal=max((each.ordinal for each in home.cars), default=0) + 1,
        label=details.label,
        battery_wh=details.battery_wh,
        miles_per_kwh=details.miles_per_kwh,
        onboard_limit_a=details.onboard_limit_a,
        onboard_phases=details.onboard_phases,
        ceiling_percent=details.ceiling_percent,
        reserve_percent=details.reserve_percent,
        outlet_id=details.outlet_id,
        lead=lead,
        charge_percent=None,
        charge_read_at=None,
        routine=_lines(second.departures),
        journeys=(),
    )
    return replace(home, cars=(*home.cars, car))


def _lines(departures: Sequence[WeeklyDeparture]) -> tuple[RoutineLine, ...]:
    return tuple(
        RoutineLine(each.weekday, each.leaves_min, each.returns_min, each.returns_days_later, each.miles)
        for each in sorted(departures, key=lambda each: (each.weekday, each.leaves_min))
    )


def _with_car(home: HomeInputs, changed: CarInputs) -> HomeInputs:
    return replace(home, cars=tuple(changed if car.id == changed.id else car for car in home.cars))


def _car_of(home: HomeInputs, vehicle_id: str, under: str) -> CarInputs:
    for car in home.cars:
        if car.id == vehicle_id:
            return car
    raise Rejected(Fault(f"{under}.vehicle_id", vehicle_id, "is none of this home's cars"))


def _outlet_of(home: HomeInputs, outlet_id: str) -> OutletInputs:
    for outlet in home.outlets:
        if outlet.id == outlet_id:
            return outlet
    raise Rejected(Fault("outlet.outlet_id", outlet_id, "is none of this home's outlets"))
