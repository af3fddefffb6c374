"""What whoever pays does with claims: looks at them, asks, approves one or many, refuses."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import ColumnElement, select, update

from service.accounts.operations import audit
from service.common.errors import Forbidden, NotFound
from service.figures.operations import load_book
from service.infrastructure.db.sessions import SchemeSession
from service.infrastructure.outbox import announce
from service.reimbursement.domain.claim_states import NotInThisState, Step, check_other_person, next_state
from service.reimbursement.domain.events import ClaimDecided, ClaimQueried
from service.reimbursement.domain.frozen import changed_figures, difference_note, for_reviewers
from service.reimbursement.domain.kinds import ClaimState, MessageKind
from service.reimbursement.domain.months import Month
from service.reimbursement.models import Claim
from service.reimbursement.operations.claim_rows import (
    ClaimPage,
    StateCount,
    count_states,
    get_row,
    hold_claim,
    list_rows,
)
from service.reimbursement.operations.claim_upkeep import add_message, let_go
from service.reimbursement.operations.claims import ReadClaim, reckon_claim
from service.reimbursement.operations.trips import Owner

IDS_A_STATEMENT = 500
NOT_READ_SO = "The claim has changed since it was read: look at it again."


@dataclass(frozen=True)
class ReviewedClaim:
    """A claim as its reviewers see it: no places of trips; ``note`` says where today's figures would differ."""

    read: ReadClaim
    note: str | None


@dataclass(frozen=True)
class Approvals:
    """What came of approving many: the ids approved and their money, and why each other one was not."""

    approved: list[str]
    failed: list[tuple[str, str]]
    total_pence: int


def list_for_review(
    session: SchemeSession, *, month: Month | None, state: ClaimState | None, first: int, limit: int
) -> tuple[ClaimPage, list[StateCount]]:
    """Return a page of the scheme's claims that were sent, and the counts by state of the month."""
    of_month: list[ColumnElement[bool]] = [Claim.state != ClaimState.DRAFT.value]
    if month is not None:
        of_month.append(Claim.month_on == month.first_on)
    conditions = [*of_month, Claim.state == state.value] if state is not None else of_month
    return list_rows(session, conditions, first=first, limit=limit), count_states(session, of_month)


def get_for_review(session: SchemeSession, claim_id: str) -> ReviewedClaim:
    """Return a claim that was sent, as it was frozen; raises ``NotFound``, also for a draft."""
    row = get_row(session, claim_id)
    claim = row.claim
    if claim.state == ClaimState.DRAFT.value or claim.reckoning is None:
        raise NotFound("No such claim.")
    return ReviewedClaim(ReadClaim(row, for_reviewers(claim.reckoning)), _note(session, claim))


def hold(session: SchemeSession, claim_id: str) -> None:
    """Hold a claim, so that what is read of it next still stands when it is decided; raises ``NotFound``."""
    hold_claim(session, claim_id)


def query(session: SchemeSession, claim_id: str, text: str, *, by: str, at: datetime) -> ReviewedClaim:
    """Ask the member about a claim; raises ``NotFound``, ``Forbidden``, ``NotInThisState`` or ``Rejected``."""
    claim = _hold(session, claim_id, by)
    claim.state = next_state(claim.state, Step.QUERY).value
    message = add_message(session, claim, MessageKind.QUERY, text, by=by, at=at)
    announce(session, ClaimQueried(claim_id=claim.id, message_id=message.id), at=at)
    return _noted(session, claim, "query", by=by, at=at)


def approve(session: SchemeSession, claim_id: str, *, by: str, at: datetime) -> ReviewedClaim:
    """Approve a claim as it was sent: nothing is worked out anew.

    Raises
    ------
    NotFound, Forbidden, NotInThisState
        ``Forbidden`` for one's own claim, whatever roles one holds.
    """
    claim = _hold(session, claim_id, by)
    claim.state = next_state(claim.state, Step.APPROVE).value
    _decide(session, claim, is_approved=True, by=by, at=at)
    return _noted(session, claim, "approve", by=by, at=at)


def refuse_claim(session: SchemeSession, claim_id: str, text: str, *, by: str, at: datetime) -> ReviewedClaim:
    """Refuse a claim with a reason; its trips are open again."""
    claim = _hold(session, claim_id, by)
    claim.state = next_state(claim.state, Step.REFUSE).value
    # With the state in one statement: PostgreSQL checks a row's home at its second change in a transaction, and a
    # member who withdraws at this moment holds the home and waits for the claim.
    claim.decided_at, claim.decided_by = at, by
    add_message(session, claim, MessageKind.REFUSAL, text, by=by, at=at)
    let_go(session, claim)
    _decide(session, claim, is_approved=False, by=by, at=at)
    return _noted(session, claim, "refuse", by=by, at=at)


def approve_many(session: SchemeSession, versions: Mapping[str, int], *, by: str, at: datetime) -> Approvals:
    """Approve claims, each as it was read (id -> version), and say of each other one why not.

    One statement a few hundred claims: what another decider did meanwhile is left as it is.
    """
    approved: dict[str, int] = {}
    failed: dict[str, str] = {}
    ids = sorted(versions)
    for start in range(0, len(ids), IDS_A_STATEMENT):
        some = ids[start : start + IDS_A_STATEMENT]
        rows = {
            row.id: row
            for row in session.execute(
                select(Claim.id, Claim.account_id, Claim.state, Claim.version, Claim.total_pence)
                .where(Claim.id.in_(some))
                .order_by(Claim.id)  # deciders of the same claims wait for one another, never crosswise
                .with_for_update()
            )
        }
        for claim_id in some:
            reason = _why_not(rows.get(claim_id), versions[claim_id], by)
            if reason:
                failed[claim_id] = reason
            else:
                approved[claim_id] = rows[claim_id].total_pence
        session.execute(
            update(Claim)
            .where(Claim.id.in_([each for each in some if each in approved]))
            .values(
                state=ClaimState.APPROVED.value, decided_at=at, decided_by=by, version=Claim.version + 1
            )
            .execution_options(synchronize_session=False)
        )
    session.expire_all()
    for claim_id in approved:
        announce(session, ClaimDecided(claim_id, is_approved=True, decided_ms=_ms(at)), at=at)
        audit(session, account_id=by, action="approve", subject_kind="claim", subject_id=claim_id, at=at)
    return Approvals(list(approved), sorted(failed.items()), sum(approved.values()))


def _why_not(row: Any, version: int, by: str) -> str | None:
    if row is None or row.state == ClaimState.DRAFT.value:
        return "No such claim."
    try:
        check_other_person(row.account_id, by)
        next_state(row.state, Step.APPROVE)
    except (Forbidden, NotInThisState) as error:
        return error.detail
    return NOT_READ_SO if row.version != version else None


def _hold(session: SchemeSession, claim_id: str, by: str) -> Claim:
    claim = hold_claim(session, claim_id)
    if claim.state == ClaimState.DRAFT.value:
        raise NotFound("No such claim.")
    check_other_person(claim.account_id, by)
    return claim


def _decide(session: SchemeSession, claim: Claim, *, is_approved: bool, by: str, at: datetime) -> None:
    claim.decided_at, claim.decided_by = at, by
    session.flush()
    announce(session, ClaimDecided(claim.id, is_approved=is_approved, decided_ms=_ms(at)), at=at)


def _ms(at: datetime) -> int:
    return int(at.timestamp() * 1000)


def _note(session: SchemeSession, claim: Claim) -> str | None:
    """Return how the claim would come out with today's figures, where they changed; a refused one has no trips."""
    if claim.state == ClaimState.REFUSED.value or claim.reckoning is None:
        return None
    changed = changed_figures(claim.reckoning, load_book(session))
    if not changed:
        return None
    today = reckon_claim(session, Owner(claim.account_id, claim.household_id), claim)
    return difference_note(claim.reckoning, changed, None if today.blockers else today.total_pence)


def _noted(session: SchemeSession, claim: Claim, action: str, *, by: str, at: datetime) -> ReviewedClaim:
    session.flush()
    audit(session, account_id=by, action=action, subject_kind="claim", subject_id=claim.id, at=at)
    return get_for_review(session, claim.id)
