"""What cars of the demo were charged with: a few weeks of invented records, to set plans beside."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from sqlalchemy import select

from service.cli.seed.files import Moment, Node, stable_id
from service.common.units import WH_PER_KWH
from service.households.domain.charging_records import (
    Charged,
    ChargingDetails,
    OutletPower,
    check_no_overlap,
    check_power,
)
from service.households.models import ChargingRecord, Household, Outlet, Vehicle
from service.households.operations.charging_records import record_row
from service.infrastructure.db.sessions import SchemeSession

CHARGED_FILE = "charged.json"


@dataclass(frozen=True)
class SeededCharge:
    """One charge, as its file says it; where it happened decides whether the home's outlet fed it."""

    node: Node
    place: str
    starts_at: datetime
    ends_at: datetime
    energy_wh: int
    paid_pence: int | None


@dataclass(frozen=True)
class SeededCharging:
    """The charges of one car of a home."""

    node: Node
    reference: str
    car: str
    outlet: str
    is_metered: bool
    charges: tuple[SeededCharge, ...]


def read_charging(root: Node, moment: Moment) -> tuple[SeededCharging, ...]:
    """Return what the file describes; raises ``SeedError``."""
    root.object("homes")
    return tuple(_of_home(node, moment) for node in root.items("homes"))


def store_charging(session: SchemeSession, homes: tuple[SeededCharging, ...], moment: Moment) -> None:
    """Store the charges of homes that have none yet, once the homes are stored.

    Raises
    ------
    SeedError
        Where a home, car or outlet is not there, or a charge cannot have been.
    """
    for each in homes:
        home = session.scalar(select(Household.id).where(Household.reference == each.reference))
        if home is None:
            raise each.node.fault(f"names {each.reference}, which is no home of the demo")
        if session.scalar(select(ChargingRecord.id).where(ChargingRecord.household_id == home).limit(1)) is None:
            session.add_all(_rows(session, home, each, moment))
    session.flush()


def _of_home(node: Node, moment: Moment) -> SeededCharging:
    node.object("reference", "car", "outlet", "is_metered", "charges")
    return SeededCharging(
        node,
        node.name("reference"),
        node.name("car"),
        node.name("outlet"),
        node.flag("is_metered"),
        tuple(_charge(each, moment) for each in node.items("charges")),
    )


def _charge(node: Node, moment: Moment) -> SeededCharge:
    node.object("starts_at", "ends_at", "kwh", optional=("place", "paid_pence"))
    zone: ZoneInfo = moment.zone
    charge = SeededCharge(
        node,
        node.or_none(node.name, "place") or "home",
        node.instant("starts_at", moment, zone),
        node.instant("ends_at", moment, zone),
        int(node.decimal("kwh") * WH_PER_KWH),
        node.or_none(node.whole, "paid_pence"),
    )
    with node.checked():  # whatever the car and the outlet turn out to be
        _details(charge, car="", outlet=None, is_metered=False)
    return charge


def _details(charge: SeededCharge, *, car: str, outlet: str | None, is_metered: bool) -> ChargingDetails:
    return ChargingDetails(
        vehicle_id=car,
        place=charge.place,
        starts_at=charge.starts_at,
        ends_at=charge.ends_at,
        energy_wh=charge.energy_wh,
        outlet_id=outlet,
        is_metered=is_metered,
        paid_pence=charge.paid_pence,
    )


def _rows(session: SchemeSession, home: str, seeded: SeededCharging, moment: Moment) -> list[ChargingRecord]:
    car = session.scalar(select(Vehicle.id).where(Vehicle.household_id == home, Vehicle.label == seeded.car))
    outlet = session.scalars(select(Outlet).where(Outlet.household_id == home, Outlet.label == seeded.outlet)).first()
    if car is None or outlet is None:
        raise seeded.node.fault("names a car or an outlet that this home does not have")
    power = [OutletPower(outlet.kind, outlet.limit_a, outlet.phases)]
    rows: list[ChargingRecord] = []
    before: list[Charged] = []
    for place, charge in enumerate(seeded.charges):
        is_home = charge.place == "home"
        with charge.node.checked():
            details = _details(
                charge, car=car, outlet=outlet.id if is_home else None, is_metered=seeded.is_metered and is_home
            )
            check_power(details, power)
            check_no_overlap(details, before)
        row = record_row(home, details, by=None, at=moment.now)
        row.id = stable_id("charging record", seeded.reference, str(place))
        rows.append(row)
        times = charge.starts_at, charge.ends_at
        before.append(Charged(row.id, car, None, charge.place, *times, charge.energy_wh, is_metered=False))
    return rows
