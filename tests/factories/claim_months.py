"""A month of claims of many members, sent as members send them, in a scheme of its own."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from decimal import Decimal

from argon2 import PasswordHasher
from sqlalchemy import insert

from service.accounts import operations as accounts
from service.accounts.models import Account, Membership, Role
from service.common.calendar import Nation
from service.households.models import Household, Vehicle
from service.infrastructure.db.sessions import Database, SchemeSession
from service.reimbursement.domain.kinds import CompanyMethod, HeldAs
from service.reimbursement.domain.months import Month
from service.reimbursement.domain.rules import SchemeRule
from service.reimbursement.domain.trip_details import TripDetails
from service.reimbursement.operations.claims import draft, send
from service.reimbursement.operations.holdings import add_holding
from service.reimbursement.operations.rules import add_rule
from service.reimbursement.operations.trips import Owner, add_trip
from tests.factories.fleet import NO_PASSWORD

TRIPS_EACH = 3
MILES_A_TRIP = Decimal("46.5")


@dataclass(frozen=True)
class ClaimMonth:
    """What was made: the scheme, who may decide, the month, and the claims that wait."""

    scheme_id: str
    finance_email: str
    month: Month
    claim_ids: tuple[str, ...]


def make_claim_month(
    database: Database, scheme_id: str, count: int, *, password: str, hasher: PasswordHasher, now: datetime
) -> ClaimMonth:
    """Make a scheme in which ``count`` members have sent a claim for last month, three trips each in an own car."""
    month = Month.of(now.date().replace(day=1) - timedelta(days=1))
    finance_email = f"finance@{scheme_id[:12]}.example"
    with database.system(write=True) as session:
        accounts.create_scheme(session, scheme_id=scheme_id, name=f"Many claims {scheme_id[:4]} (invented)", now=now)
        finance = accounts.create_account(
            session, email=finance_email, name="Many Claims", password=password, hasher=hasher, now=now
        ).id
        session.execute(insert(Account), [_account(scheme_id, number, now) for number in range(count)])
    with database.scheme(scheme_id, write=True) as scheme_session:
        accounts.give_finance_role(scheme_session, finance, by=None, at=now)
        add_rule(scheme_session, SchemeRule(month.first_on, CompanyMethod.ADVISORY_RATE.value), by=None, at=now)
        owners = [_member(scheme_session, scheme_id, number, now) for number in range(count)]
    with database.scheme(scheme_id, write=True) as scheme_session:
        claim_ids = [_sent_claim(scheme_session, owner, month, number, now) for number, owner in enumerate(owners)]
    return ClaimMonth(scheme_id, finance_email, month, tuple(claim_ids))


def _account(scheme_id: str, number: int, now: datetime) -> dict[str, object]:
    return {
        "id": _id(scheme_id, "1", number), "email": f"driver-{number + 1}@{scheme_id[:12]}.claims.example",
        "name": f"Driver {number + 1:03d}", "password_hash": NO_PASSWORD, "created_at": now,
    }  # fmt: skip


def _id(scheme_id: str, kind: str, number: int) -> str:
    return f"{scheme_id[:8]}{kind}{number:023x}"


def _member(session: SchemeSession, scheme_id: str, number: int, now: datetime) -> Owner:
    home_id, account_id = _id(scheme_id, "2", number), _id(scheme_id, "1", number)
    session.add(
        Household(
            id=home_id, reference=f"M-{number + 1:04d}", member_name=f"Driver {number + 1:03d}",
            address=f"{number + 1} Tallow Lane", postcode="ZZ9 9ZZ", zone="Europe/London",
            nation=Nation.ENGLAND.value, created_at=now,
        )
    )  # fmt: skip
    session.flush()
    session.add(
        Vehicle(
            id=_id(scheme_id, "3", number), household_id=home_id, ordinal=1, label="hatchback", battery_wh=52_000,
            miles_per_kwh=Decimal("3.6"), onboard_limit_a=32,
        )
    )  # fmt: skip
    session.add(Membership(account_id=account_id, role=Role.MEMBER.value, household_id=home_id, since_at=now))
    session.flush()
    return Owner(account_id, home_id)


def _sent_claim(session: SchemeSession, owner: Owner, month: Month, number: int, now: datetime) -> str:
    by, vehicle_id = owner.account_id, _id(session.scheme_id, "3", number)
    add_holding(
        session, owner.household_id, vehicle_id=vehicle_id, from_on=date(2020, 1, 1), held_as=HeldAs.OWN_CAR, by=by,
        at=now,
    )  # fmt: skip
    for day in range(TRIPS_EACH):
        details = TripDetails(month.first_on + timedelta(days=day), "Home", "Depot", "Stock check", MILES_A_TRIP)
        add_trip(session, owner, vehicle_id, details, by=by, at=now)
    claim = draft(session, owner, month, trip_ids=None, home_percents={}, by=by, at=now).claim
    send(session, owner, claim.id, by=by, at=now)
    return claim.id
