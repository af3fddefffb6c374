"""Whose cars they are: stated by the home's members or an administrator, from a day on."""

from __future__ import annotations

from datetime import date, datetime
from typing import NamedTuple

from sqlalchemy import select

from service.accounts.operations import audit
from service.common.errors import Conflict
from service.households.operations import get_vehicle, hold_household, list_vehicles
from service.households.operations.stored import get_part
from service.infrastructure.db.sessions import SchemeSession
from service.reimbursement.domain.holdings import Holding
from service.reimbursement.domain.kinds import HeldAs
from service.reimbursement.models import CarHolding


class SameDay(Conflict):
    """The car has a holding from that day already."""

    title = "The car has a holding from this day already"


class HoldingView(NamedTuple):
    """A stored holding, and what its car is called."""

    row: CarHolding
    vehicle_label: str


def list_holdings(session: SchemeSession, household_id: str) -> list[HoldingView]:
    """Return the holdings of a home's cars, by car and the newest first; raises ``NotFound``."""
    cars = {car.id: (place, car.label) for place, car in enumerate(list_vehicles(session, household_id))}
    rows = session.scalars(select(CarHolding).where(CarHolding.household_id == household_id))
    ordered = sorted(rows, key=lambda row: (cars[row.vehicle_id][0], -row.from_on.toordinal()))
    return [HoldingView(row, cars[row.vehicle_id][1]) for row in ordered]


def load_holdings(session: SchemeSession, household_id: str) -> list[Holding]:
    """Return the holdings of a home's cars as values."""
    rows = session.scalars(select(CarHolding).where(CarHolding.household_id == household_id))
    return [Holding(row.vehicle_id, row.from_on, HeldAs(row.held_as)) for row in rows]


def add_holding(
    session: SchemeSession,
    household_id: str,
    *,
    vehicle_id: str,
    from_on: date,
    held_as: HeldAs,
    by: str | None,
    at: datetime,
) -> HoldingView:
    """State whose car it is from a day on.

    Raises
    ------
    NotFound, SameDay
        The last where the car has a holding from that day: take it out first.
    """
    hold_household(session, household_id)
    car = get_vehicle(session, household_id, vehicle_id)
    if session.scalar(
        select(CarHolding.id).where(CarHolding.vehicle_id == vehicle_id, CarHolding.from_on == from_on)
    ):
        raise SameDay("Take the holding of that day out first, or choose another day.")
    row = CarHolding(
        household_id=household_id, vehicle_id=vehicle_id, from_on=from_on, held_as=held_as.value, recorded_at=at,
        recorded_by=by,
    )  # fmt: skip
    session.add(row)
    session.flush()
    audit(session, account_id=by, action="add", subject_kind="car_holding", subject_id=row.id, at=at)
    return HoldingView(row, car.label)


def get_holding(session: SchemeSession, household_id: str, holding_id: str) -> CarHolding:
    """Return a holding of a home's car; raises ``NotFound``."""
    return get_part(session, CarHolding, household_id, holding_id, "holding of a car")


def remove_holding(
    session: SchemeSession, household_id: str, holding_id: str, *, by: str | None, at: datetime
) -> None:
    """Take a holding out; claims that were sent keep what they were sent with."""
    session.delete(get_holding(session, household_id, holding_id))
    session.flush()
    audit(session, account_id=by, action="remove", subject_kind="car_holding", subject_id=holding_id, at=at)
