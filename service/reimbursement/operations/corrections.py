"""Corrections: another claim that takes the lines of an approved one back; the approved one never changes."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import select

from service.common.errors import Conflict
from service.households.operations.stored import read_details
from service.infrastructure.db.sessions import SchemeSession
from service.reimbursement.domain.kinds import ClaimState, MessageKind, TripSource
from service.reimbursement.domain.months import Month
from service.reimbursement.domain.trip_details import TripDetails
from service.reimbursement.models import BusinessTrip, Claim
from service.reimbursement.operations.claim_upkeep import add_message
from service.reimbursement.operations.claims import (
    DraftExists,
    ReadClaim,
    hold_own,
    new_claim,
    noted,
    stated_percents,
)
from service.reimbursement.operations.gathering import superseded_ids
from service.reimbursement.operations.trips import Owner, new_trip


class NotCorrectable(Conflict):
    """The claim is not one that a correction can take the place of."""

    title = "This claim cannot be corrected"


def correct(
    session: SchemeSession, owner: Owner, claim_id: str, reason: str, *, by: str | None, at: datetime
) -> ReadClaim:
    """Draft a correction of a claim that was approved: copies of its trips to change; the claim itself never changes.

    Raises
    ------
    NotFound, Rejected, NotCorrectable, DraftExists
    """
    claim = hold_own(session, owner, claim_id)
    if claim.state not in (ClaimState.APPROVED.value, ClaimState.STATED.value):
        raise NotCorrectable("Only an approved claim is corrected; before that, withdraw it and change its trips.")
    if superseded_ids(session, [claim.id]):
        raise NotCorrectable("A correction took this claim's place: correct that one.")
    if session.scalar(
        select(Claim.id).where(Claim.corrects_id == claim.id, Claim.state == ClaimState.DRAFT.value)
    ):
        raise DraftExists("A correction of this claim is under way: send or delete it first.")
    new = new_claim(session, owner, Month(claim.month_on), stated_percents(claim), corrects_id=claim.id, at=at)
    trips = session.scalars(select(BusinessTrip).where(BusinessTrip.claim_id == claim.id)).all()
    session.add_all(
        new_trip(
            owner, trip.vehicle_id, read_details(TripDetails, trip), source=TripSource(trip.source), claim_id=new.id,
            at=at,
        )
        for trip in trips
    )  # fmt: skip
    add_message(session, new, MessageKind.REASON, reason, by=by, at=at)
    session.flush()
    return noted(session, owner, new, "correct", by=by, at=at)
