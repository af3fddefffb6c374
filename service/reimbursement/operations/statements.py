"""Statements for payroll: what was approved, frozen as one document a month, made once and never changed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import func, select, update

from service.accounts.models import Account
from service.accounts.operations import audit
from service.common.errors import Conflict, NotFound
from service.households.models import Household
from service.infrastructure.db.sessions import SchemeSession
from service.reimbursement.domain.claim_states import Step, next_state
from service.reimbursement.domain.kinds import ClaimState
from service.reimbursement.domain.months import Month
from service.reimbursement.domain.statements import StatedClaim, digest_of, statement_document
from service.reimbursement.models import Claim, Statement


class NothingToState(Conflict):
    """No approved claim waits for a statement."""

    title = "No approved claim waits for a statement"


@dataclass(frozen=True)
class StatementView:
    """A stored statement, and who made it."""

    row: Statement
    made_by: str


def make_statement(session: SchemeSession, month: Month, *, by: str | None, at: datetime) -> StatementView:
    """Freeze every approved claim of the month, or of one before it, that is on no statement yet.

    Raises
    ------
    NothingToState
    """
    held = session.scalars(
        select(Claim)
        .where(
            Claim.state == ClaimState.APPROVED.value,
            Claim.month_on <= month.first_on,
            Claim.statement_id.is_(None),
        )
        .order_by(Claim.id)
        .with_for_update()
        .execution_options(populate_existing=True)
    ).all()
    if not held:
        raise NothingToState("Approve claims first; what was stated before is on an earlier statement.")
    last = session.scalar(select(func.max(Statement.ordinal)).where(Statement.month_on == month.first_on))
    document = statement_document(str(month), (last or 0) + 1, _stated(session, held))
    row = Statement(
        month_on=month.first_on,
        ordinal=document["ordinal"],
        claim_count=document["totals"]["claim_count"],
        total_pence=document["totals"]["total_pence"],
        document=document,
        digest=digest_of(document),
        made_at=at,
        made_by=by,
    )
    session.add(row)
    session.flush()
    session.execute(
        update(Claim)
        .where(Claim.id.in_([claim.id for claim in held]))
        .values(
            state=next_state(ClaimState.APPROVED.value, Step.STATE).value, statement_id=row.id,
            version=Claim.version + 1,
        )
        .execution_options(synchronize_session=False)
    )  # fmt: skip
    for claim in held:
        session.expire(claim)
    audit(session, account_id=by, action="make", subject_kind="statement", subject_id=row.id, at=at)
    return get_statement(session, row.id)


def get_statement(session: SchemeSession, statement_id: str) -> StatementView:
    """Return a statement with its document as it was made; raises ``NotFound``."""
    row = session.get(Statement, (session.scheme_id, statement_id))
    if row is None:
        raise NotFound("No such statement.")
    return StatementView(row, session.scalar(select(Account.name).where(Account.id == row.made_by)) or "")


def list_statements(session: SchemeSession, *, first: int, limit: int) -> tuple[list[StatementView], int]:
    """Return a page of the scheme's statements, the newest month first, and how many there are."""
    total = session.scalar(select(func.count(Statement.id))) or 0
    rows = session.execute(
        select(Statement, Account.name)
        .outerjoin(Account, Account.id == Statement.made_by)
        .order_by(Statement.month_on.desc(), Statement.ordinal.desc())
        .offset(first)
        .limit(limit)
    )
    return [StatementView(row, name or "") for row, name in rows], total


def _stated(session: SchemeSession, claims: Sequence[Claim]) -> list[StatedClaim]:
    wanted = {claim.account_id for claim in claims} | {claim.decided_by or "" for claim in claims}
    found = session.execute(select(Account.id, Account.name).where(Account.id.in_(wanted)))
    people = {row.id: row.name for row in found}
    home_ids = {claim.household_id for claim in claims}
    found = session.execute(select(Household.id, Household.reference).where(Household.id.in_(home_ids)))
    homes = {row.id: row.reference for row in found}
    return [
        StatedClaim(
            claim_id=claim.id,
            account_id=claim.account_id,
            name=people[claim.account_id],
            reference=homes[claim.household_id],
            month=str(Month(claim.month_on)),
            ordinal=claim.ordinal,
            corrects_id=claim.corrects_id,
            sent_on=(claim.sent_at or claim.created_at).date(),
            approved_on=(claim.decided_at or claim.created_at).date(),
            approved_by=people.get(claim.decided_by or "", ""),
            reckoning=claim.reckoning or {},
        )
        for claim in claims
    ]
