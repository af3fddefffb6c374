"""Claims as they are listed and read: with whose they are, what was said about them, and what was corrected."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from sqlalchemy import ColumnElement, func, select

from service.accounts.models import Account
from service.common.errors import NotFound
from service.households.models import Household
from service.infrastructure.db.sessions import SchemeSession
from service.reimbursement.domain.kinds import ClaimState
from service.reimbursement.models import Claim, ClaimMessage
from service.reimbursement.operations.gathering import superseded_ids


@dataclass(frozen=True)
class ClaimRow:
    """A claim, the member's name, the home's reference, and whether a correction took its place."""

    claim: Claim
    member_name: str
    reference: str
    is_corrected: bool


@dataclass(frozen=True)
class ClaimPage:
    """Some of the claims that a filter lets through, and number, miles and money of all of them."""

    items: list[ClaimRow]
    total: int
    miles: Decimal
    total_pence: int


@dataclass(frozen=True)
class StateCount:
    """How many claims stand in a state, and what they come to."""

    state: str
    claim_count: int
    total_pence: int


@dataclass(frozen=True)
class Message:
    """One message between who claims and who approves."""

    kind: str
    text: str
    written_at: datetime
    author: str
    is_by_member: bool


def list_rows(
    session: SchemeSession, conditions: Sequence[ColumnElement[bool]], *, first: int, limit: int
) -> ClaimPage:
    """Return a page of the claims that fit, the newest month first, in it by home and name."""
    counted = select(func.count(Claim.id), func.sum(Claim.miles), func.sum(Claim.total_pence)).where(*conditions)
    total, miles, pence = session.execute(counted).one()
    rows = session.execute(
        select(Claim, Account.name, Household.reference)
        .join(Account, Account.id == Claim.account_id)
        .join(Household, (Household.id == Claim.household_id) & (Household.scheme_id == Claim.scheme_id))
        .where(*conditions)
        .order_by(Claim.month_on.desc(), Household.reference, Account.name, Claim.account_id, Claim.ordinal, Claim.id)
        .offset(first)
        .limit(limit)
    ).all()
    replaced = superseded_ids(session, [row[0].id for row in rows])
    items = [ClaimRow(claim, name, reference, claim.id in replaced) for claim, name, reference in rows]
    return ClaimPage(items, total, Decimal(miles or 0), int(pence or 0))


def get_row(session: SchemeSession, claim_id: str) -> ClaimRow:
    """Return one claim of the scheme; raises ``NotFound``."""
    items = list_rows(session, [Claim.id == claim_id], first=0, limit=1).items
    if not items:
        raise NotFound("No such claim.")
    return items[0]


def count_states(session: SchemeSession, conditions: Sequence[ColumnElement[bool]]) -> list[StateCount]:
    """Return the number and money of the claims that fit, by state; drafts are nobody else's business."""
    rows = session.execute(
        select(Claim.state, func.count(Claim.id), func.sum(Claim.total_pence)).where(*conditions).group_by(Claim.state)
    )
    found = {state: (count, int(pence or 0)) for state, count, pence in rows}
    states = [state.value for state in ClaimState if state is not ClaimState.DRAFT]
    return [StateCount(state, *found.get(state, (0, 0))) for state in states]


def list_messages(session: SchemeSession, claim: Claim) -> list[Message]:
    """Return what was said about a claim, the oldest first."""
    rows = session.execute(
        select(ClaimMessage, Account.name)
        .outerjoin(Account, Account.id == ClaimMessage.written_by)
        .where(ClaimMessage.claim_id == claim.id)
        .order_by(ClaimMessage.written_at, ClaimMessage.id)
    )
    return [
        Message(row.kind, row.text, row.written_at, name or "", row.written_by == claim.account_id)
        for row, name in rows
    ]


def hold_claim(session: SchemeSession, claim_id: str) -> Claim:
    """Return a claim and hold its row, so that deciders follow one another; raises ``NotFound``."""
    held = select(Claim).where(Claim.id == claim_id).with_for_update().execution_options(populate_existing=True)
    claim = session.scalars(held).one_or_none()
    if claim is None:
        raise NotFound("No such claim.")
    return claim
