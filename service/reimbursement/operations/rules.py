"""The scheme's rules of paying: appended, never edited."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import select

from service.accounts.operations import audit
from service.infrastructure.db.sessions import SchemeSession
from service.reimbursement.domain.rules import SchemeRule
from service.reimbursement.models import ReimbursementRule


def list_rules(session: SchemeSession) -> list[ReimbursementRule]:
    """Return every rule, the newest first; of two from one day the one recorded later comes first and holds."""
    return list(reversed(session.scalars(_IN_ORDER).all()))


def load_rules(session: SchemeSession) -> list[SchemeRule]:
    """Return the rules as values, in the order in which they take over."""
    return [
        SchemeRule(row.from_on, row.company_method, row.monthly_cap_pence, row.claim_within_days)
        for row in session.scalars(_IN_ORDER)
    ]


def add_rule(session: SchemeSession, rule: SchemeRule, *, by: str | None, at: datetime) -> ReimbursementRule:
    """Append a rule; claims that were sent keep what they were sent with."""
    row = ReimbursementRule(
        from_on=rule.from_on, company_method=rule.company_method, monthly_cap_pence=rule.monthly_cap_pence,
        claim_within_days=rule.claim_within_days, recorded_at=at, recorded_by=by,
    )  # fmt: skip
    session.add(row)
    session.flush()
    audit(session, account_id=by, action="add", subject_kind="reimbursement_rule", subject_id=row.id, at=at)
    return row


_IN_ORDER = select(ReimbursementRule).order_by(
    ReimbursementRule.from_on, ReimbursementRule.recorded_at, ReimbursementRule.id
)
