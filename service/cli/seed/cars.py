"""Cars of the demo: what they are, what they charge with, and when they leave."""

from __future__ import annotations

from dataclasses import asdict
from datetime import time, timedelta

from service.cli.seed.files import WEEKDAYS, Node, stable_id
from service.cli.seed.habits import add_diary
from service.cli.seed.home_parts import HomeRows, found
from service.common.slots import instant_at
from service.households import models
from service.households.domain.diary import DatedJourney, WeeklyDeparture, check_routine
from service.households.domain.vehicle_details import VehicleDetails, check_charge, check_lead_fits


def add_car(rows: HomeRows, node: Node, position: int) -> None:
    """Keep a car's rows; raises ``SeedError``."""
    node.object(
        "label", "battery_kwh", "miles_per_kwh", "onboard_limit_a", "onboard_phases", "ceiling_percent",
        "reserve_percent", "outlet", "lead", "charge_percent", "charge_read_at", "routine", "journeys",
        optional=("other_outlets", "taper_from_percent", "diary"),
    )
    outlet, lead = found(rows.outlets, node, "outlet"), found(rows.leads, node, "lead")
    others = [_other_outlet(rows, label) for label in node.items("other_outlets")]
    charge = node.or_none(node.whole, "charge_percent")
    with node.checked():
        details = VehicleDetails(
            label=node.text("label"),
            battery_wh=int(node.decimal("battery_kwh") * 1000),
            miles_per_kwh=node.decimal("miles_per_kwh"),
            outlet_id=outlet and outlet.id,
            lead_id=lead and lead.id,
            onboard_limit_a=node.whole("onboard_limit_a"),
            onboard_phases=node.whole("onboard_phases"),
            ceiling_percent=node.whole("ceiling_percent"),
            reserve_percent=node.whole("reserve_percent"),
            other_outlet_ids=tuple(others),
            taper_from_percent=node.or_none(node.whole, "taper_from_percent"),
        )
        check_lead_fits(outlet and outlet.kind, outlet and outlet.is_tethered, lead and lead.kind)
        if charge is not None:
            check_charge(charge)
    car = models.Vehicle(
        id=rows.id_of("vehicle", details.label),
        household_id=rows.household_id,
        ordinal=position + 1,
        charge_percent=charge,
        charge_read_at=node.or_none(lambda name: node.instant(name, rows.moment, rows.zone), "charge_read_at"),
        **asdict(details),
    )
    rows.add(3, car)
    _add_routine(rows, node, car.id)
    for place, journey in enumerate(node.items("journeys")):
        _add_journey(rows, journey, car.id, place)
    add_diary(rows, node, car.id)


def _other_outlet(rows: HomeRows, label: Node) -> str:
    if label.value not in rows.outlets:
        raise label.fault(f"names {label.value!r}, which this home does not have")
    return str(rows.outlets[label.value].id)


def _add_routine(rows: HomeRows, car: Node, vehicle_id: str) -> None:
    departures = [line for node in car.items("routine") for line in _departures(node)]
    with car.checked():
        check_routine(departures)
    for line in departures:
        rows.add(
            4,
            models.RoutineDeparture(
                id=stable_id("departure", vehicle_id, str(line.weekday), str(line.leaves_min)),
                vehicle_id=vehicle_id,
                household_id=rows.household_id,
                weekday=line.weekday,
                leaves_at=_wall(line.leaves_min),
                returns_at=_wall(line.returns_min),
                returns_days_later=line.returns_days_later,
                miles=line.miles,
            ),
        )


def _departures(node: Node) -> list[WeeklyDeparture]:
    node.object("days", "leaves_at", "returns_at", "miles", optional=("returns_days_later",))
    days = [day.value for day in node.items("days")]
    if not days or not set(days) <= set(WEEKDAYS):
        raise node.at("days").fault(f"must list some of {', '.join(WEEKDAYS)}")
    with node.checked():
        return [
            WeeklyDeparture(
                WEEKDAYS.index(day),
                node.wall_minutes("leaves_at"),
                node.wall_minutes("returns_at"),
                node.or_none(node.whole, "returns_days_later") or 0,
                node.decimal("miles"),
            )
            for day in days
        ]


def _wall(minutes: int) -> time:
    return time(minutes // 60, minutes % 60)


def _add_journey(rows: HomeRows, node: Node, vehicle_id: str, position: int) -> None:
    node.object(
        "leaves_at", "returns_at", "miles", "is_important", "replaces_routine", "note", optional=("returns_days_later",)
    )
    leaves_at = node.instant("leaves_at", rows.moment, rows.zone)
    days_later = node.or_none(node.whole, "returns_days_later") or 0
    returns_on = leaves_at.astimezone(rows.zone).date() + timedelta(days=days_later)
    with node.checked():
        details = DatedJourney(
            leaves_at,
            instant_at(returns_on, node.wall_minutes("returns_at"), rows.zone),
            node.decimal("miles"),
            node.flag("is_important"),
            node.flag("replaces_routine"),
            node.text("note"),
        )
    journey_id = stable_id("journey", vehicle_id, str(position))
    rows.add(
        4, models.Journey(id=journey_id, vehicle_id=vehicle_id, household_id=rows.household_id, **asdict(details))
    )
