"""The works that could be done for charging at a home, and what a home would be like after each.

None of them says that something may be used: what does not exist yet has no evidence, and is planned as if it were
cleared.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Final

from service.common.working import Working
from service.households.domain.equipment import SOCKET_SUSTAINED_LIMIT_A, OutletControl, OutletKind
from service.households.domain.homes import CarInputs, HomeInputs, LeadInputs, OutletInputs
from service.planning.domain.what_if import AS_IF_CLEARED, OtherOutlet
from service.safety.domain.clearance import OutletClearance
from service.safety.domain.lead_clearance import LeadClearance
from service.safety.domain.levels import Clearance

POINT_LIMIT_A: Final = 32
"""A charging point of 7 kW: 32 A on one phase at 230 V = 7.36 kW."""


class Upgrade(StrEnum):
    """What could be done."""

    EV_MARKED_SOCKET = "ev_marked_socket"
    DEDICATED_CIRCUIT = "dedicated_circuit"
    POINT_UNTETHERED = "point_untethered"
    POINT_TETHERED = "point_tethered"


SOCKETS: Final = (Upgrade.EV_MARKED_SOCKET, Upgrade.DEDICATED_CIRCUIT)
POINTS: Final = (Upgrade.POINT_UNTETHERED, Upgrade.POINT_TETHERED)
NEW_CIRCUIT: Final = (Upgrade.DEDICATED_CIRCUIT, *POINTS)
"""Works that leave nothing of the old outlet and its circuit in use."""

COST_KEY: Final = {
    Upgrade.EV_MARKED_SOCKET: "ev_marked_socket",
    Upgrade.DEDICATED_CIRCUIT: "dedicated_circuit",
    Upgrade.POINT_UNTETHERED: "charging_point_7kw",
    Upgrade.POINT_TETHERED: "charging_point_7kw",
}
"""Which figure of ``work_cost`` stands in where the home has no quote."""

WORDS: Final = {
    Upgrade.EV_MARKED_SOCKET: "a socket marked for cars in place of the old one",
    Upgrade.DEDICATED_CIRCUIT: "a socket marked for cars on a circuit of its own",
    Upgrade.POINT_UNTETHERED: "a 7 kW charging point with a socket for a loose cable",
    Upgrade.POINT_TETHERED: "a 7 kW charging point with a cable of its own",
}


class Variant(StrEnum):
    """How a home's week is planned: as it is, or after works; works that plan alike share one."""

    NOW = "now"
    SOCKET = "socket"
    POINT = "point"


def variant_of(work: Upgrade) -> Variant:
    """Return how a home is planned after a work.

    A socket marked for cars is made for long loads; no current above what flows now is known for it, so alone it
    changes no plan.  With a circuit of its own nothing holds it below what a socket carries for hours.
    """
    if work in POINTS:
        return Variant.POINT
    return Variant.SOCKET if work is Upgrade.DEDICATED_CIRCUIT else Variant.NOW


class NoQuestion(StrEnum):
    """Why there is nothing to compare."""

    NO_CAR = "no_car"
    NO_OUTLET = "no_outlet"
    POINT_ALREADY = "point_already"
    NOTHING_CHARGED = "nothing_charged"


@dataclass(frozen=True, slots=True)
class Target:
    """The outlet that works would change, and the cars it feeds."""

    outlet: OutletInputs
    cars: tuple[CarInputs, ...]

    @property
    def is_socket(self) -> bool:
        """Tell whether it is a 13 A socket-outlet."""
        return self.outlet.kind == OutletKind.SOCKET_13A

    @property
    def works(self) -> tuple[Upgrade, ...]:
        """Return what could be done to it, the least first."""
        return (*SOCKETS, *POINTS) if self.is_socket else POINTS


def target_of(home: HomeInputs) -> Target | NoQuestion:
    """Return the outlet that most cars of a home usually charge at, the first of equals, or why there is none."""
    if not home.cars:
        return NoQuestion.NO_CAR
    fed = [(outlet, tuple(car for car in home.cars if car.outlet_id == outlet.id)) for outlet in home.outlets]
    outlet, cars = max(fed, key=lambda each: len(each[1]), default=(None, ()))
    if outlet is None or not cars:
        return NoQuestion.NO_OUTLET
    if outlet.kind == OutletKind.CHARGING_POINT and outlet.limit_a * outlet.phases >= POINT_LIMIT_A:
        return NoQuestion.POINT_ALREADY
    return Target(outlet, cars)


def changed_outlet(target: Target, variant: Variant) -> OtherOutlet | None:
    """Return what the outlet is changed into; None where it stays as it is."""
    if variant is Variant.POINT:
        return OtherOutlet(target.outlet.id, OutletKind.CHARGING_POINT, POINT_LIMIT_A, 1, OutletControl.SCHEDULE.value)
    if variant is Variant.SOCKET and target.is_socket:
        control = target.outlet.control
        return OtherOutlet(target.outlet.id, OutletKind.SOCKET_13A, SOCKET_SUSTAINED_LIMIT_A, 1, control)
    return None


@dataclass(frozen=True, slots=True)
class Cleared:
    """What a plan may use: clearances of outlets and leads."""

    outlets: tuple[OutletClearance, ...]
    leads: tuple[LeadClearance, ...]


def as_if_cleared(cleared: Cleared, target: Target, limit_a: int) -> Cleared:
    """Return clearances with the outlet, and the leads of the cars it feeds, as if cleared and with no end in sight.

    Evidence that ends within the week would make anything new look better than what is there; it can be renewed.
    """
    outlet = OutletClearance(target.outlet.id, Clearance.FIT_TO_USE, limit_a, None, AS_IF_CLEARED, (), "", Working(()))
    wanted = {car.lead.id: car.lead for car in target.cars if car.lead is not None}
    leads = [
        _lead_as_if(each, wanted[each.lead_id].set_a) if each.lead_id in wanted else each for each in cleared.leads
    ]
    return Cleared((*(each for each in cleared.outlets if each.outlet_id != outlet.outlet_id), outlet), tuple(leads))


def _lead_as_if(lead: LeadClearance, set_a: int) -> LeadClearance:
    if lead.clearance.allows_charging:
        return replace(lead, valid_until=None)
    return replace(lead, clearance=Clearance.FIT_TO_USE, limit_a=set_a, valid_until=None)


def may_charge(cleared: Cleared, target: Target) -> bool:
    """Tell whether evidence lets the outlet, and a lead with it where it needs one, feed any of its cars."""
    outlet = next((each for each in cleared.outlets if each.outlet_id == target.outlet.id), None)
    stopped = {each.lead_id for each in cleared.leads if not each.clearance.allows_charging}
    by_lead = target.is_socket or target.outlet.is_tethered is False
    has_lead = any(car.lead is not None and car.lead.id not in stopped for car in target.cars)
    return outlet is not None and outlet.clearance.allows_charging and (has_lead or not by_lead)


def with_leads_set_down(home: HomeInputs, outlet_id: str, limit_a: int) -> HomeInputs:
    """Return a home whose leads at an outlet are set to no more than it may carry, where they can be.

    A lead that is set too high keeps a car from charging there; setting it down costs nothing, so no work may claim
    what that alone would bring.
    """
    cars = tuple(
        replace(car, lead=_set_down(car.lead, limit_a)) if car.outlet_id == outlet_id and car.lead is not None else car
        for car in home.cars
    )
    return replace(home, cars=cars)


def _set_down(lead: LeadInputs, limit_a: int) -> LeadInputs:
    within = [each for each in lead.settings_a if each <= limit_a]
    is_shown = lead.setting_shown_a is not None and lead.setting_shown_a <= limit_a
    if lead.set_a <= limit_a or is_shown or not within:
        return lead
    return replace(lead, set_a=max(within), setting_shown_a=max(within))


def is_stopped(cleared: Cleared, home: HomeInputs) -> bool:
    """Tell whether anything that cars of the home charge with must not be used."""
    outlets = {car.outlet_id for car in home.cars}
    leads = {car.lead.id for car in home.cars if car.lead is not None}
    return any(each.clearance is Clearance.DO_NOT_USE for each in cleared.outlets if each.outlet_id in outlets) or any(
        each.clearance is Clearance.DO_NOT_USE for each in cleared.leads if each.lead_id in leads
    )
