"""Trips that come in many at once: from a CSV text, all or nothing; and from journeys that the home had planned."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from zoneinfo import ZoneInfo

from sqlalchemy import select

from service.accounts.operations import audit
from service.common.errors import Conflict, Fault, NotFound, Rejected
from service.households.models import Journey
from service.households.operations import get_household, hold_household, list_vehicles
from service.households.operations.stored import read_details
from service.infrastructure.db.sessions import SchemeSession
from service.reimbursement.domain.kinds import TripSource
from service.reimbursement.domain.trip_csv import FAULTS_MAX, CsvFault, ReadTrips, read_trips
from service.reimbursement.domain.trip_details import TripDetails
from service.reimbursement.models import BusinessTrip
from service.reimbursement.operations.trips import Owner, TripView, add_trip, check_room, local_today, new_trip


class JourneyTaken(Conflict):
    """The journey is a trip already."""

    title = "The journey was taken already"


@dataclass(frozen=True)
class TakeableJourney:
    """A planned journey of the home: on its local day of leaving, with whether it is over and taken already."""

    journey_id: str
    vehicle_id: str
    vehicle_label: str
    on_date: date
    miles: Decimal
    note: str
    is_business: bool
    is_past: bool
    is_taken: bool


@dataclass(frozen=True)
class JourneyTrip:
    """A journey to be taken as a trip, and what a journey does not say."""

    journey_id: str
    origin: str
    destination: str
    reason: str


def import_trips(
    session: SchemeSession, owner: Owner, text: str, *, is_dry_run: bool, by: str | None, at: datetime
) -> tuple[ReadTrips, bool]:
    """Read a CSV text, and store its trips where nothing is wrong with it; return what it holds and whether stored.

    A label that two cars of the home share names neither. A line that stands in the member's trips already is a fault:
    a table that is sent twice is not paid twice.
    """
    cars = list_vehicles(session, owner.household_id)
    named = [car.label for car in cars]
    labels = {car.label: car.id for car in cars if named.count(car.label) == 1}
    found = read_trips(text, labels, today=local_today(session, owner, at))
    found.faults += _stored_already(session, owner, found)
    if is_dry_run or found.faults:
        return found, False
    rows = [new_trip(owner, trip.vehicle_id, trip.details, source=TripSource.CSV, at=at) for trip in found.trips]
    session.add_all(rows)
    session.flush()
    check_room(session, owner, (trip.details.on_date for trip in found.trips))
    audit(
        session, account_id=by, action="import", subject_kind="business_trips", subject_id=owner.account_id, at=at
    )
    return found, True


def _stored_already(session: SchemeSession, owner: Owner, found: ReadTrips) -> list[CsvFault]:
    if not found.trips:
        return []
    days = [trip.details.on_date for trip in found.trips]
    rows = session.scalars(
        select(BusinessTrip).where(
            BusinessTrip.account_id == owner.account_id, BusinessTrip.household_id == owner.household_id,
            BusinessTrip.on_date >= min(days), BusinessTrip.on_date <= max(days),
        )
    )  # fmt: skip
    stored = {(row.vehicle_id, read_details(TripDetails, row)) for row in rows}
    rule = "stands among your trips already: if it was driven twice that day, type it in"
    faults = [
        CsvFault(trip.line, "", "", rule) for trip in found.trips if (trip.vehicle_id, trip.details) in stored
    ]
    return faults[:FAULTS_MAX]


def list_takeable(session: SchemeSession, owner: Owner, *, at: datetime) -> list[TakeableJourney]:
    """Return the home's journeys that are over or marked as business, the newest first.

    A journey that somebody else of the home took is taken: the same miles of a car are paid for once.
    Journeys are forgotten a month after they ended; what was taken as a trip stays.
    """
    household = get_household(session, owner.household_id)
    zone = ZoneInfo(household.zone)
    labels = {car.id: car.label for car in list_vehicles(session, owner.household_id)}
    rows = session.scalars(
        select(Journey)
        .where(Journey.household_id == owner.household_id, (Journey.returns_at <= at) | Journey.is_business)
        .order_by(Journey.leaves_at.desc(), Journey.id)
    ).all()
    taken = set(
        session.scalars(
            select(BusinessTrip.journey_id).where(
                BusinessTrip.household_id == owner.household_id, BusinessTrip.journey_id.is_not(None)
            )
        )
    )
    return [
        TakeableJourney(
            row.id, row.vehicle_id, labels[row.vehicle_id], row.leaves_at.astimezone(zone).date(), row.miles, row.note,
            row.is_business, row.returns_at <= at, row.id in taken,
        )
        for row in rows
    ]


def take_journeys(
    session: SchemeSession, owner: Owner, journeys: Sequence[JourneyTrip], *, by: str | None, at: datetime
) -> list[TripView]:
    """Take journeys that are over as trips, all or none.

    Raises
    ------
    NotFound, Rejected, JourneyTaken
        Faults stand under ``journeys.<position>``.
    """
    hold_household(session, owner.household_id)
    known = {journey.journey_id: journey for journey in list_takeable(session, owner, at=at)}
    faults: list[Fault] = []
    views: list[TripView] = []
    for place, wanted in enumerate(journeys):
        journey = known.get(wanted.journey_id)
        if journey is None:
            raise NotFound("This home has no such journey that is over or marked as business.")
        if journey.is_taken or wanted.journey_id in [each.journey_id for each in journeys[:place]]:
            raise JourneyTaken("A journey is taken as a trip once.")
        if not journey.is_past:
            faults.append(Fault(f"journeys.{place}.journey_id", wanted.journey_id, "must be over"))
            continue
        try:
            details = TripDetails(journey.on_date, wanted.origin, wanted.destination, wanted.reason, journey.miles)
            views.append(
                add_trip(
                    session, owner, journey.vehicle_id, details, source=TripSource.JOURNEY,
                    journey_id=journey.journey_id, by=by, at=at,
                )
            )  # fmt: skip
        except Rejected as rejected:
            faults += [fault.under(f"journeys.{place}") for fault in rejected.faults]
    if faults:
        raise Rejected(*faults)
    return views
