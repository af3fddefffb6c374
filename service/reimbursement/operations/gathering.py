"""Everything a claim is reckoned from, read in a handful of statements."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from sqlalchemy import select

from service.figures.operations import load_book
from service.households.operations import list_vehicles
from service.infrastructure.db.sessions import SchemeSession
from service.reimbursement.domain.claim_states import COUNTS
from service.reimbursement.domain.frozen import miles_by_car, month_before, own_lines, year_before
from service.reimbursement.domain.kinds import CompanyMethod
from service.reimbursement.domain.lines import Trip
from service.reimbursement.domain.months import Month, tax_year_from
from service.reimbursement.domain.reckoning import ClaimInputs
from service.reimbursement.domain.rules import SchemeRule, rule_on
from service.reimbursement.models import BusinessTrip, Claim
from service.reimbursement.operations.elsewhere import get_elsewhere
from service.reimbursement.operations.holdings import load_holdings
from service.reimbursement.operations.home_cost import load_car_months, load_month_energy
from service.reimbursement.operations.rules import load_rules
from service.reimbursement.operations.trips import Owner

COUNTING = sorted(state.value for state in COUNTS)


def gather(
    session: SchemeSession,
    owner: Owner,
    month: Month,
    trips: Sequence[BusinessTrip],
    *,
    home_percents: Mapping[str, Decimal],
    claim_id: str | None = None,
    corrects_id: str | None = None,
    sent_at: datetime | None = None,
) -> ClaimInputs:
    """Return what a claim of these trips is reckoned from; the claim itself and the one it corrects do not count.

    Nor does what was sent after ``sent_at``, where that is given: a claim follows those sent before it.
    """
    labels = {car.id: car.label for car in list_vehicles(session, owner.household_id)}
    rules = load_rules(session)
    corrected = corrected_lines(session, corrects_id)
    counting = [
        row
        for row in _counting(session, owner, month, without={claim_id, corrects_id})
        if _is_before(row, sent_at)
    ]
    elsewhere = get_elsewhere(session, owner.account_id)
    years = {tax_year_from(trip.on_date) for trip in trips} | {
        date.fromisoformat(line["tax_year_from_on"]) for line in corrected if line["tax_year_from_on"]
    }
    of_home = _of_home(session, owner, month, without={claim_id, corrects_id})
    claimed = miles_by_car(row.reckoning or {} for row in of_home if _is_before(row, sent_at))
    at_cost = {trip.vehicle_id for trip in trips if _is_at_cost(rules, trip.on_date)}
    return ClaimInputs(
        month=month,
        trips=[_trip(row, labels[row.vehicle_id]) for row in trips],
        holdings=load_holdings(session, owner.household_id),
        rules=rules,
        book=load_book(session),
        years={
            year: year_before((row.reckoning or {} for row in counting), year, elsewhere.get(year, Decimal(0)))
            for year in years
        },
        energy=load_month_energy(session, owner.household_id, month),
        home_percents=home_percents,
        cars={
            car: replace(of_car, claimed_miles=claimed.get(car, Decimal(0)))
            for car, of_car in load_car_months(session, owner.household_id, at_cost, month).items()
        },
        month_before=month_before(row.reckoning or {} for row in counting if row.month_on == month.first_on),
        corrected=corrected,
    )


def corrected_lines(session: SchemeSession, corrects_id: str | None) -> list[Mapping[str, Any]]:
    """Return the frozen lines that a correction takes back."""
    corrected = session.get(Claim, (session.scheme_id, corrects_id)) if corrects_id else None
    return own_lines(corrected.reckoning) if corrected is not None and corrected.reckoning else []


def superseded_ids(session: SchemeSession, claim_ids: Iterable[str]) -> set[str]:
    """Return which of these claims a correction that counts has taken the place of."""
    rows = session.scalars(
        select(Claim.corrects_id).where(Claim.corrects_id.in_(list(claim_ids)), Claim.state.in_(COUNTING))
    )
    return {corrects_id for corrects_id in rows if corrects_id}


def _counting(session: SchemeSession, owner: Owner, month: Month, *, without: set[str | None]) -> list[Claim]:
    """Return the member's claims that count in the tax years of a month, in the order in which they were sent."""
    first_on = tax_year_from(month.first_on).replace(day=1)
    last_on = tax_year_from(month.end_on).replace(day=1)
    rows = session.scalars(
        select(Claim)
        .where(
            Claim.account_id == owner.account_id,
            Claim.state.in_(COUNTING),
            Claim.month_on >= first_on,
            Claim.month_on <= last_on.replace(year=last_on.year + 1),
        )
        .order_by(Claim.sent_at, Claim.id)
    ).all()
    replaced = superseded_ids(session, [row.id for row in rows])
    return [row for row in rows if row.id not in without and row.id not in replaced]


def _of_home(session: SchemeSession, owner: Owner, month: Month, *, without: set[str | None]) -> list[Claim]:
    """Return the claims of all members of a home that count in a month: they may drive one car."""
    rows = session.scalars(
        select(Claim).where(
            Claim.household_id == owner.household_id, Claim.state.in_(COUNTING), Claim.month_on == month.first_on
        )
    ).all()
    replaced = superseded_ids(session, [row.id for row in rows])
    return [row for row in rows if row.id not in without and row.id not in replaced]


def _is_before(row: Claim, sent_at: datetime | None) -> bool:
    return sent_at is None or (row.sent_at is not None and row.sent_at <= sent_at)


def _is_at_cost(rules: Sequence[SchemeRule], on: date) -> bool:
    rule = rule_on(rules, on)
    return rule is not None and rule.company_method == CompanyMethod.ACTUAL_COST


def _trip(row: BusinessTrip, label: str) -> Trip:
    return Trip(
        row.id, row.vehicle_id, label, row.on_date, row.origin, row.destination, row.reason, row.miles
    )
