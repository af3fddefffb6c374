"""A member's claims: previewed, drafted, sent, withdrawn, answered and corrected."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import Any

from sqlalchemy import ColumnElement, delete, func, select

from service.accounts.operations import audit
from service.common.errors import Conflict, Fault, NotFound
from service.households.domain.ranges import refuse
from service.households.operations import hold_household
from service.infrastructure.db.sessions import SchemeSession
from service.reimbursement.domain.claim_states import Step, next_state
from service.reimbursement.domain.kinds import ClaimState, MessageKind
from service.reimbursement.domain.months import Month
from service.reimbursement.domain.reckoning import Reckoning, reckon
from service.reimbursement.domain.rules import check_in_time
from service.reimbursement.models import BusinessTrip, Claim, ClaimMessage
from service.reimbursement.operations.claim_rows import ClaimPage, ClaimRow, get_row, hold_claim, list_rows
from service.reimbursement.operations.claim_upkeep import add_message, check_home_percents, let_go
from service.reimbursement.operations.gathering import gather
from service.reimbursement.operations.rules import load_rules
from service.reimbursement.operations.trips import Owner, local_today

STATED = "stated_home_percents"
"""Where a draft keeps what the member stated."""


class NothingToClaim(Conflict):
    """No trip is open."""

    title = "There is no open trip to claim"


class DraftExists(Conflict):
    """The month has a draft, or the claim a correction under way."""

    title = "There is a draft already"


@dataclass(frozen=True)
class ReadClaim:
    """A claim with its lines: a draft's as they would be now, any other's as they were frozen."""

    row: ClaimRow
    reckoning: Mapping[str, Any]

    @property
    def claim(self) -> Claim:
        """Return the stored row."""
        return self.row.claim


def preview(session: SchemeSession, owner: Owner, month: Month, home_percents: Mapping[str, Decimal]) -> Reckoning:
    """Return what a claim of the month's open trips would come to; nothing is stored."""
    check_home_percents(session, owner, home_percents)
    trips = _open_trips(session, owner, month)
    return reckon(gather(session, owner, month, trips, home_percents=home_percents))


def list_own(
    session: SchemeSession, owner: Owner, *, month: Month | None, state: ClaimState | None, first: int, limit: int
) -> ClaimPage:
    """Return a page of the member's own claims."""
    conditions: list[ColumnElement[bool]] = [
        Claim.account_id == owner.account_id, Claim.household_id == owner.household_id
    ]  # fmt: skip
    if month is not None:
        conditions.append(Claim.month_on == month.first_on)
    if state is not None:
        conditions.append(Claim.state == state.value)
    return list_rows(session, conditions, first=first, limit=limit)


def get_own(session: SchemeSession, owner: Owner, claim_id: str) -> ReadClaim:
    """Return one of the member's own claims; raises ``NotFound``."""
    row = get_row(session, claim_id)
    _check_own(row.claim, owner)
    if row.claim.state != ClaimState.DRAFT.value:
        return ReadClaim(row, row.claim.reckoning or {})
    return ReadClaim(row, reckon_claim(session, owner, row.claim).to_json())


def reckon_claim(session: SchemeSession, owner: Owner, claim: Claim) -> Reckoning:
    """Return what a claim's trips come to with the figures and records of now."""
    trips = session.scalars(
        select(BusinessTrip).where(BusinessTrip.claim_id == claim.id).order_by(BusinessTrip.on_date, BusinessTrip.id)
    ).all()
    return reckon(
        gather(
            session, owner, Month(claim.month_on), trips, home_percents=stated_percents(claim), claim_id=claim.id,
            corrects_id=claim.corrects_id, sent_at=claim.sent_at,
        )
    )  # fmt: skip


def draft(
    session: SchemeSession,
    owner: Owner,
    month: Month,
    *,
    trip_ids: Sequence[str] | None,
    home_percents: Mapping[str, Decimal],
    by: str | None,
    at: datetime,
) -> ReadClaim:
    """Put the month's open trips, or those named, into a draft.

    Raises
    ------
    Rejected, NothingToClaim, DraftExists
    """
    hold_household(session, owner.household_id)
    check_home_percents(session, owner, home_percents)
    if session.scalar(
        select(Claim.id).where(
            Claim.account_id == owner.account_id, Claim.month_on == month.first_on, Claim.corrects_id.is_(None),
            Claim.state == ClaimState.DRAFT.value,
        )
    ):  # fmt: skip
        raise DraftExists("Send or delete the draft of this month first.")
    trips = _open_trips(session, owner, month)
    if trip_ids is not None:
        strangers = [trip_id for trip_id in trip_ids if trip_id not in {trip.id for trip in trips}]
        refuse(
            Fault(f"trip_ids.{trip_ids.index(each)}", each, "is not one of the month's open trips")
            for each in strangers
        )
        trips = [trip for trip in trips if trip.id in trip_ids]
    if not trips:
        raise NothingToClaim("Enter the trips of this month first, or choose another month.")
    claim = new_claim(session, owner, month, home_percents, at=at)
    for trip in trips:
        trip.claim_id = claim.id
    session.flush()
    return noted(session, owner, claim, "draft", by=by, at=at)


def restate(
    session: SchemeSession,
    owner: Owner,
    claim_id: str,
    home_percents: Mapping[str, Decimal],
    *,
    by: str | None,
    at: datetime,
) -> ReadClaim:
    """Put what the member states of where cars were charged in place of what was stated; of a draft only."""
    claim = hold_own(session, owner, claim_id)
    next_state(claim.state, Step.SEND)
    check_home_percents(session, owner, home_percents)
    claim.reckoning = _draft_document(home_percents)
    session.flush()
    return noted(session, owner, claim, "change", by=by, at=at)


def remove_draft(session: SchemeSession, owner: Owner, claim_id: str, *, by: str | None, at: datetime) -> None:
    """Delete a draft: its trips are open again, the copies that a correction made go with it."""
    claim = hold_own(session, owner, claim_id)
    next_state(claim.state, Step.SEND)
    let_go(session, claim)
    session.execute(delete(ClaimMessage).where(ClaimMessage.claim_id == claim.id))
    session.delete(claim)
    session.flush()
    audit(session, account_id=by, action="remove", subject_kind="claim", subject_id=claim_id, at=at)


def send(session: SchemeSession, owner: Owner, claim_id: str, *, by: str | None, at: datetime) -> ReadClaim:
    """Send a draft: its lines, and the figures they were worked out with, are frozen.

    Raises
    ------
    NotFound, NotInThisState, Rejected
        The last where it comes too late, or anything stands in the way: each of it is a fault.
    """
    claim = hold_own(session, owner, claim_id)
    target = next_state(claim.state, Step.SEND)
    reckoning = reckon_claim(session, owner, claim)
    if claim.corrects_id is None or reckoning.total_pence > 0:  # what was paid too much may be given back at any time
        check_in_time(load_rules(session), Month(claim.month_on), today=local_today(session, owner, at))
    refuse(Fault(f"trips.{each.trip_id or ''}".rstrip("."), each.what, each.rule) for each in reckoning.blockers)
    if not reckoning.lines:
        raise NothingToClaim("The claim has no trip.")
    stated = {vehicle_id: str(percent) for vehicle_id, percent in stated_percents(claim).items()}
    claim.reckoning = {**reckoning.to_json(), STATED: stated}
    claim.miles, claim.total_pence = reckoning.miles, reckoning.total_pence
    claim.state, claim.sent_at = target.value, at
    session.flush()
    return noted(session, owner, claim, "send", by=by, at=at)


def withdraw(session: SchemeSession, owner: Owner, claim_id: str, *, by: str | None, at: datetime) -> ReadClaim:
    """Take a claim back that nobody has decided about, to change it; what it stated is kept."""
    claim = hold_own(session, owner, claim_id)
    claim.state = next_state(claim.state, Step.WITHDRAW).value
    claim.reckoning = _draft_document(stated_percents(claim))
    claim.sent_at, claim.miles, claim.total_pence = None, Decimal(0), 0
    session.flush()
    return noted(session, owner, claim, "withdraw", by=by, at=at)


def answer(
    session: SchemeSession, owner: Owner, claim_id: str, text: str, *, by: str | None, at: datetime
) -> ReadClaim:
    """Answer the question about a claim; its lines stay as they were sent."""
    claim = hold_own(session, owner, claim_id)
    claim.state = next_state(claim.state, Step.ANSWER).value
    add_message(session, claim, MessageKind.ANSWER, text, by=by, at=at)
    session.flush()
    return noted(session, owner, claim, "answer", by=by, at=at)


def _check_own(claim: Claim, owner: Owner) -> None:
    if claim.account_id != owner.account_id or claim.household_id != owner.household_id:
        raise NotFound("You have no such claim.")


def hold_own(session: SchemeSession, owner: Owner, claim_id: str) -> Claim:
    """Return a claim of the member's own; holds the home first, so that two claims are never sent side by side."""
    hold_household(session, owner.household_id)
    claim = hold_claim(session, claim_id)
    _check_own(claim, owner)
    return claim


def _open_trips(session: SchemeSession, owner: Owner, month: Month) -> Sequence[BusinessTrip]:
    return session.scalars(
        select(BusinessTrip)
        .where(
            BusinessTrip.account_id == owner.account_id,
            BusinessTrip.household_id == owner.household_id,
            BusinessTrip.claim_id.is_(None),
            BusinessTrip.on_date >= month.first_on,
            BusinessTrip.on_date < month.end_on,
        )
        .order_by(BusinessTrip.on_date, BusinessTrip.id)
    ).all()


def new_claim(
    session: SchemeSession,
    owner: Owner,
    month: Month,
    home_percents: Mapping[str, Decimal],
    *,
    corrects_id: str | None = None,
    at: datetime,
) -> Claim:
    """Store an empty draft: the next of the member's claims of that month."""
    last = session.scalar(
        select(func.max(Claim.ordinal)).where(
            Claim.account_id == owner.account_id, Claim.month_on == month.first_on
        )
    )
    claim = Claim(
        account_id=owner.account_id, household_id=owner.household_id, month_on=month.first_on,
        ordinal=(last or 0) + 1, state=ClaimState.DRAFT.value, corrects_id=corrects_id, miles=Decimal(0),
        total_pence=0, reckoning=_draft_document(home_percents), created_at=at,
    )  # fmt: skip
    session.add(claim)
    session.flush()
    return claim


def _draft_document(home_percents: Mapping[str, Decimal]) -> dict[str, Any]:
    return {STATED: {vehicle_id: str(percent) for vehicle_id, percent in home_percents.items()}}


def stated_percents(claim: Claim) -> dict[str, Decimal]:
    """Return vehicle id -> the share charged at home that the member stated [%]."""
    stated = (claim.reckoning or {}).get(STATED, {})
    return {vehicle_id: Decimal(percent) for vehicle_id, percent in stated.items()}


def noted(
    session: SchemeSession, owner: Owner, claim: Claim, action: str, *, by: str | None, at: datetime
) -> ReadClaim:
    """Write what was done into the audit trail, and return the claim as it stands now."""
    audit(session, account_id=by, action=action, subject_kind="claim", subject_id=claim.id, at=at)
    return get_own(session, owner, claim.id)


