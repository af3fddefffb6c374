"""A member's business trips: entered, changed while no sent claim holds them, taken out."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime
from decimal import Decimal
from typing import Any
from zoneinfo import ZoneInfo

from sqlalchemy import ColumnElement, func, select

from service.accounts.operations import audit
from service.common.errors import Conflict, Fault, NotFound, Rejected
from service.households.operations import get_household, get_vehicle, hold_household, list_vehicles
from service.households.operations.stored import fill, read_details
from service.infrastructure.db.sessions import SchemeSession
from service.reimbursement.domain.kinds import ClaimState, TripSource
from service.reimbursement.domain.months import Month
from service.reimbursement.domain.trip_details import TripDetails, check_driven
from service.reimbursement.models import BusinessTrip, Claim


class TripLocked(Conflict):
    """The trip stands in a claim that was sent."""

    title = "The trip is in a claim that was sent"


class TooManyTrips(Conflict):
    """The month has as many open trips as it may."""

    title = "Too many open trips"


MOST_OPEN = 1000
"""Own bound on a member's open trips of one month: a claim takes all of them, and somebody has to look at it."""


@dataclass(frozen=True)
class Owner:
    """Whose trips and claims: one account, and the home it lives in."""

    account_id: str
    household_id: str


@dataclass(frozen=True)
class TripView:
    """A stored trip, what its car is called, and where its claim stands."""

    row: BusinessTrip
    vehicle_label: str
    claim_state: str | None

    @property
    def is_locked(self) -> bool:
        """Say whether its claim was sent, so that it does not change any more."""
        return self.claim_state not in (None, ClaimState.DRAFT.value)


@dataclass(frozen=True)
class TripPage:
    """Some of the trips that a filter lets through, and the number and miles of all of them."""

    items: list[TripView]
    total: int
    miles: Decimal


def list_trips(
    session: SchemeSession, owner: Owner, *, month: Month | None, is_claimed: bool | None, first: int, limit: int
) -> TripPage:
    """Return a page of a member's trips, the newest first; the copies of a correction stand for their originals."""
    wanted = _conditions(owner, month, is_claimed)
    counted = select(func.count(BusinessTrip.id), func.sum(BusinessTrip.miles)).where(*wanted)
    total, miles = session.execute(counted).one()
    rows = session.scalars(
        select(BusinessTrip)
        .where(*wanted)
        .order_by(BusinessTrip.on_date.desc(), BusinessTrip.created_at.desc(), BusinessTrip.id)
        .offset(first)
        .limit(limit)
    ).all()
    return TripPage(_views(session, owner, list(rows)), total, Decimal(miles or 0))


def get_trip(session: SchemeSession, owner: Owner, trip_id: str) -> TripView:
    """Return one trip of the member's own; raises ``NotFound``."""
    row = session.get(BusinessTrip, (session.scheme_id, trip_id))
    if row is None or row.household_id != owner.household_id or row.account_id != owner.account_id:
        raise NotFound("You have no such trip.")
    return _views(session, owner, [row])[0]


def hold_trip(session: SchemeSession, owner: Owner, trip_id: str) -> TripView:
    """Return one trip of the member's own as it is once no other writer of the home is left; raises ``NotFound``."""
    hold_household(session, owner.household_id)
    session.refresh(get_trip(session, owner, trip_id).row)
    return get_trip(session, owner, trip_id)


def add_trip(
    session: SchemeSession,
    owner: Owner,
    vehicle_id: str,
    details: TripDetails,
    *,
    source: TripSource = TripSource.TYPED,
    journey_id: str | None = None,
    by: str | None,
    at: datetime,
) -> TripView:
    """Enter a trip that was driven; raises ``NotFound``, ``Rejected`` or ``TooManyTrips``."""
    car = get_vehicle(session, owner.household_id, vehicle_id)
    check_driven(details, today=local_today(session, owner, at))
    row = new_trip(owner, vehicle_id, details, source=source, journey_id=journey_id, at=at)
    session.add(row)
    session.flush()
    check_room(session, owner, [details.on_date])
    audit(session, account_id=by, action="add", subject_kind="business_trip", subject_id=row.id, at=at)
    return TripView(row, car.label, None)


def new_trip(
    owner: Owner,
    vehicle_id: str,
    details: TripDetails,
    *,
    source: TripSource,
    journey_id: str | None = None,
    claim_id: str | None = None,
    at: datetime,
) -> BusinessTrip:
    """Return the row of a trip, not stored yet."""
    row = BusinessTrip(
        account_id=owner.account_id, household_id=owner.household_id, vehicle_id=vehicle_id, source=source.value,
        journey_id=journey_id, claim_id=claim_id, created_at=at,
    )  # fmt: skip
    fill(row, details)
    return row


def change_trip(
    session: SchemeSession, owner: Owner, trip_id: str, changes: Mapping[str, Any], *, by: str | None, at: datetime
) -> TripView:
    """Change some fields of a trip.

    Raises
    ------
    NotFound, Rejected, TripLocked, TooManyTrips
        A trip in a draft stays in the draft's month.
    """
    view = _open_trip(session, owner, trip_id)
    row = view.row
    vehicle_id = changes.get("vehicle_id", row.vehicle_id)
    get_vehicle(session, owner.household_id, vehicle_id)
    own = {name: value for name, value in changes.items() if name != "vehicle_id"}
    details = replace(read_details(TripDetails, row), **own)
    check_driven(details, today=local_today(session, owner, at))
    _check_month(session, row, details)
    changed = fill(row, details)
    if row.vehicle_id != vehicle_id:
        row.vehicle_id, changed = vehicle_id, (*changed, "vehicle_id")
    session.flush()
    check_room(session, owner, [details.on_date])
    audit(
        session, account_id=by, action="change", subject_kind="business_trip", subject_id=trip_id, at=at,
        fields=changed,
    )  # fmt: skip
    return get_trip(session, owner, trip_id)


def remove_trip(session: SchemeSession, owner: Owner, trip_id: str, *, by: str | None, at: datetime) -> None:
    """Take a trip out, of a draft too; raises ``NotFound`` or ``TripLocked``."""
    session.delete(_open_trip(session, owner, trip_id).row)
    session.flush()
    audit(session, account_id=by, action="remove", subject_kind="business_trip", subject_id=trip_id, at=at)


def check_room(session: SchemeSession, owner: Owner, days: Iterable[date]) -> None:
    """Refuse more open trips of a month than it may have, those just stored counted; raises ``TooManyTrips``."""
    for month in {Month.of(day) for day in days}:
        wanted = _conditions(owner, month, is_claimed=False)
        if (session.scalar(select(func.count(BusinessTrip.id)).where(*wanted)) or 0) > MOST_OPEN:
            raise TooManyTrips(f"{month} has {MOST_OPEN} open trips: claim some of them first.")


def local_today(session: SchemeSession, owner: Owner, at: datetime) -> date:
    """Return the home's local day."""
    return at.astimezone(ZoneInfo(get_household(session, owner.household_id).zone)).date()


def _open_trip(session: SchemeSession, owner: Owner, trip_id: str) -> TripView:
    # Held: a claim that is sent at this moment must not lose its trip.
    view = hold_trip(session, owner, trip_id)
    if view.is_locked:
        raise TripLocked("Withdraw the claim, or correct it once it is approved.")
    return view


def _check_month(session: SchemeSession, row: BusinessTrip, details: TripDetails) -> None:
    claim = session.get(Claim, (session.scheme_id, row.claim_id)) if row.claim_id else None
    if claim is not None and not Month(claim.month_on).holds(details.on_date):
        rule = f"must stay in {Month(claim.month_on)}, the month of its claim"
        raise Rejected(Fault("on_date", details.on_date.isoformat(), rule))


def _conditions(owner: Owner, month: Month | None, is_claimed: bool | None) -> list[ColumnElement[bool]]:
    found = [BusinessTrip.account_id == owner.account_id, BusinessTrip.household_id == owner.household_id]
    corrected = select(Claim.corrects_id).where(
        Claim.account_id == owner.account_id, Claim.corrects_id.is_not(None), Claim.state != ClaimState.REFUSED.value
    )
    found.append(BusinessTrip.claim_id.is_(None) | BusinessTrip.claim_id.not_in(corrected))
    if month is not None:
        found += [BusinessTrip.on_date >= month.first_on, BusinessTrip.on_date < month.end_on]
    if is_claimed is not None:
        has_claim = BusinessTrip.claim_id.is_not(None)
        found.append(has_claim if is_claimed else ~has_claim)
    return found


def _views(session: SchemeSession, owner: Owner, rows: list[BusinessTrip]) -> list[TripView]:
    labels = {car.id: car.label for car in list_vehicles(session, owner.household_id)}
    claim_ids = {row.claim_id for row in rows if row.claim_id}
    states: dict[str, str] = {}
    if claim_ids:
        found = session.execute(select(Claim.id, Claim.state).where(Claim.id.in_(claim_ids)))
        states = {row.id: row.state for row in found}
    return [TripView(row, labels[row.vehicle_id], states.get(row.claim_id or "")) for row in rows]
