"""The plan in force of one car at its usual outlet, held against what may be drawn there now."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

from service.common.errors import Conflict
from service.common.slots import slot_index
from service.households.operations import get_vehicle, load_homes
from service.infrastructure.db.sessions import SchemeSession
from service.planning.domain.car_week import CarSetting, Feed, car_week
from service.planning.domain.outlet_schedule import OutletSchedule
from service.planning.domain.price_book import LocalWeek
from service.planning.operations.reads import get_plan, get_shown_plan
from service.safety.operations import load_for_planning


class NoSchedule(Conflict):
    """Nothing may be charged there by a plan now."""

    title = "No schedule can be given"


def get_outlet_schedule(session: SchemeSession, household_id: str, vehicle_id: str, *, at: datetime) -> OutletSchedule:
    """Return what a car may draw at its usual outlet from now to the end of the plan in force.

    What it is planned to draw at another outlet of the home is left out.

    Raises
    ------
    NotFound, NoPlanYet
        If the home has no such car or no plan.
    NoSchedule
        If the car may not be charged there, charging is stopped, or the home has changed since the plan was made.
    """
    get_vehicle(session, household_id, vehicle_id)
    shown = get_shown_plan(session, household_id)
    if shown.stopped_at is not None:
        raise NoSchedule("Charging is stopped here: see the notice of it.")
    if not shown.is_current:
        raise NoSchedule("The plan is being worked out anew after a change. Try again in a minute.")
    plan, _ = get_plan(session, household_id)
    feed = _feed(session, household_id, vehicle_id, at)
    if feed.outlet is None or feed.current is None or feed.option.usable_until_slot <= slot_index(at):
        raise NoSchedule("The car may not be charged at its outlet now: see what is missing or was stopped.")
    scheduled = next((each for each in plan.schedule if each["vehicle_id"] == vehicle_id), None)
    document = next((each for each in shown.document["vehicles"] if each["vehicle_id"] == vehicle_id), None)
    if scheduled is None or document is None:
        raise NoSchedule("The plan in force does not have this car yet. Try again in a minute.")
    places = [block["outlet_id"] for stay in document["stays"] for block in stay["blocks"]]
    return OutletSchedule(
        plan_id=plan.id,
        label=document["label"],
        outlet_label=feed.outlet.label,
        first_slot=max(plan.first_slot, slot_index(at)),
        end_slot=plan.end_slot,
        blocks=tuple(
            (first, tuple(energies))
            for (first, energies), place in zip(scheduled["blocks"], places, strict=True)
            if place in (None, feed.outlet.id)
        ),
        limit_a=feed.current.limit_a,
        phases=feed.current.phases,
        usable_until_slot=feed.option.usable_until_slot,
    )


def _feed(session: SchemeSession, household_id: str, vehicle_id: str, at: datetime) -> Feed:
    """Return the car at its usual outlet as evidence stands at this instant."""
    (home,) = load_homes(session, [household_id], from_at=at)
    zone, slot = ZoneInfo(home.zone), slot_index(at)
    cleared = load_for_planning(session, [home], at=at)[home.id]
    setting = CarSetting(
        outlets={outlet.id: outlet for outlet in home.outlets},
        cleared={each.outlet_id: each for each in cleared.outlets},
        cleared_leads={each.lead_id: each for each in cleared.leads},
        quantile_permille=home.evening.need_quantile_permille,
        local=LocalWeek.at(slot, zone),
        zone=zone,
    )
    return car_week(next(car for car in home.cars if car.id == vehicle_id), setting, None).usual
