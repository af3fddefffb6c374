"""A member's trips and claims in every state, so that every operation on claims has something to act on."""

from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from service.households.models import Journey
from service.infrastructure.db.sessions import SchemeSession
from service.reimbursement.domain.kinds import HeldAs
from service.reimbursement.domain.months import Month
from service.reimbursement.domain.rules import SchemeRule
from service.reimbursement.domain.trip_details import TripDetails
from service.reimbursement.operations import claims, decisions, elsewhere, holdings, rules, statements, trips
from service.reimbursement.operations.trips import Owner
from tests.conftest import NOON

STATES = {"draft": 8, "sent": 7, "queried": 6, "approved": 5, "stated": 4}
"""State -> the month of 2026 that its claim is of."""


def add_claims(session: SchemeSession, home: str, vehicle_id: str, *, member: str, decider: str) -> dict[str, str]:
    """Add a rule, a holding, an open trip, a claim in each state and a statement; return their ids."""
    owner = Owner(member, home)
    at: dict[str, Any] = {"by": member, "at": NOON}
    rules.add_rule(session, SchemeRule(date(2026, 1, 1), "advisory_rate"), by=decider, at=NOON)
    holding = holdings.add_holding(
        session, home, vehicle_id=vehicle_id, from_on=date(2026, 1, 1), held_as=HeldAs.OWN_CAR, **at
    )
    elsewhere.put_elsewhere(session, member, home, [(date(2026, 4, 6), Decimal(120))], **at)
    ids = {"car_holding_id": holding.row.id}
    for state, month in reversed(STATES.items()):
        trips.add_trip(session, owner, vehicle_id, _trip(date(2026, month, 14)), **at)
        read = claims.draft(session, owner, Month(date(2026, month, 1)), trip_ids=None, home_percents={}, **at)
        ids[f"{state}_claim_id"] = claim_id = read.claim.id
        if state != "draft":
            claims.send(session, owner, claim_id, **at)
        if state in ("approved", "stated"):
            decisions.approve(session, claim_id, by=decider, at=NOON)
        if state == "queried":
            decisions.query(session, claim_id, "Which site?", by=decider, at=NOON)
        if state == "stated":
            ids["statement_id"] = statements.make_statement(
                session, Month(date(2026, month, 1)), by=decider, at=NOON
            ).row.id
    open_trip = trips.add_trip(session, owner, vehicle_id, _trip(date(2026, 10, 14)), **at)
    # So long ago that no plan looks at it.
    past = Journey(
        household_id=home, vehicle_id=vehicle_id, leaves_at=NOON - timedelta(days=26),
        returns_at=NOON - timedelta(days=25), miles=Decimal(64), note="a note",
    )  # fmt: skip
    session.add(past)
    session.flush()
    return {
        **ids, "claim_id": ids["sent_claim_id"], "business_trip_id": open_trip.row.id, "past_journey_id": past.id
    }  # fmt: skip


def _trip(on: date) -> TripDetails:
    return TripDetails(on, "Quince Row", "Fell Works", "survey of a site", Decimal("42.5"))
