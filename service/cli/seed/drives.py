"""Drives of the demo: a drawing of a home's drive, and where the charging ports of its cars are."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import marshmallow as ma
from sqlalchemy import select

from service.advice.domain.siting.drawing import Drawing, drawing_of
from service.advice.models import Drive
from service.advice.schemas.drives import DrawingSchema
from service.cli.seed.files import Moment, Node, SeedError, stable_id
from service.households.domain.equipment import PortPosition
from service.households.models import Household, Vehicle
from service.infrastructure.db.sessions import SchemeSession

DRIVES_FILE = "drives.json"


@dataclass(frozen=True)
class SeededDrive:
    """The drive of one home: ``ports`` by the car's label."""

    home: str
    label: str
    ports: Mapping[str, PortPosition]
    drawing: Drawing


def read_drives(root: Node) -> tuple[SeededDrive, ...]:
    """Return what the file describes; raises ``SeedError``."""
    root.object("drives")
    return tuple(_drive(node) for node in root.items("drives"))


def store_drives(session: SchemeSession, drives: tuple[SeededDrive, ...], moment: Moment) -> None:
    """Store drawings with the ports of their cars, once the homes are stored.

    Where one of the ports is known it was done before, and stays as it is.

    Raises ``SeedError`` where a home or a car is not there.
    """
    for each in drives:
        household_id = session.scalar(select(Household.id).where(Household.reference == each.home))
        if household_id is None:
            raise SeedError(f"{DRIVES_FILE}: there is no home {each.home}")
        cars = [_car(session, each.home, household_id, label) for label in each.ports]
        if any(car.port != PortPosition.NOT_KNOWN for car in cars):
            continue
        for car in cars:
            car.port = each.ports[car.label].value
        session.add(
            Drive(
                id=stable_id("drive", each.home, each.label),
                household_id=household_id,
                label=each.label,
                drawing=each.drawing.to_json(),
                created_at=moment.now,
            )
        )
    session.flush()


def _car(session: SchemeSession, home: str, household_id: str, label: str) -> Vehicle:
    car = session.scalar(select(Vehicle).where(Vehicle.household_id == household_id, Vehicle.label == label))
    if car is None:
        raise SeedError(f"{DRIVES_FILE}: {home} has no car that is called {label}")
    return car


def _drive(node: Node) -> SeededDrive:
    node.object("home", "label", "ports", "drawing")
    ports = [port.object("car", "port") for port in node.items("ports")]
    return SeededDrive(
        node.name("home"),
        node.name("label"),
        {port.name("car"): port.word("port", PortPosition) for port in ports},
        _drawing(node.at("drawing")),
    )


def _drawing(node: Node) -> Drawing:
    try:
        loaded: dict[str, Any] = DrawingSchema().load(node.value)
    except ma.ValidationError as error:
        raise node.fault(str(error.messages)) from error
    with node.checked():
        return drawing_of(loaded)
