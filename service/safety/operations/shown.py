"""What a safety answer looked like on somebody's screen: kept when it differs from the last one they saw."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import func, select

from service.infrastructure.db.sessions import SchemeSession
from service.safety.domain.clearance import OutletClearance
from service.safety.domain.lead_clearance import LeadClearance
from service.safety.models import ShownAnswer


@dataclass(frozen=True)
class SafetyAnswer:
    """One answer as it is shown: what counts as the same answer is all of ``answer``."""

    item_kind: str
    item_id: str
    clearance: str
    answer: dict[str, Any]

    @property
    def fingerprint(self) -> str:
        """A hash of what was shown."""
        text = json.dumps([self.clearance, self.answer], sort_keys=True, ensure_ascii=False)
        return hashlib.sha256(text.encode()).hexdigest()


def answers_to_show(
    outlets: Iterable[OutletClearance], leads: Iterable[LeadClearance]
) -> tuple[SafetyAnswer, ...]:
    """Return what the page of a home shows of each outlet and lead."""
    return (
        *(_answer("outlet", outlet.outlet_id, outlet) for outlet in outlets),
        *(_answer("lead", lead.lead_id, lead) for lead in leads),
    )


def unseen_answers(
    session: SchemeSession, household_id: str, answers: Sequence[SafetyAnswer], *, account_id: str
) -> list[SafetyAnswer]:
    """Return the answers that differ from the last one this account saw of the same item."""
    newest = (
        select(
            ShownAnswer.item_kind.label("item_kind"),
            ShownAnswer.item_id.label("item_id"),
            func.max(ShownAnswer.shown_at).label("shown_at"),
        )
        .where(
            ShownAnswer.scheme_id == session.scheme_id,
            ShownAnswer.household_id == household_id,
            ShownAnswer.account_id == account_id,
        )
        .group_by(ShownAnswer.item_kind, ShownAnswer.item_id)
        .subquery()
    )
    rows = session.execute(
        select(ShownAnswer.item_kind, ShownAnswer.item_id, ShownAnswer.fingerprint)
        .join(
            newest,
            (newest.c.item_kind == ShownAnswer.item_kind)
            & (newest.c.item_id == ShownAnswer.item_id)
            & (newest.c.shown_at == ShownAnswer.shown_at),
        )
        .where(ShownAnswer.household_id == household_id, ShownAnswer.account_id == account_id)
    )
    seen = {(row[0], row[1], row[2]) for row in rows}
    return [one for one in answers if (one.item_kind, one.item_id, one.fingerprint) not in seen]


def note_shown(
    session: SchemeSession, household_id: str, answers: Sequence[SafetyAnswer], *, account_id: str, at: datetime
) -> int:
    """Append the answers that this account has not seen last, and return how many those were."""
    unseen = unseen_answers(session, household_id, answers, account_id=account_id)
    session.add_all(
        ShownAnswer(
            household_id=household_id, account_id=account_id, item_kind=one.item_kind, item_id=one.item_id,
            clearance=one.clearance, fingerprint=one.fingerprint, answer=one.answer, shown_at=at,
        )
        for one in unseen
    )
    return len(unseen)


def _answer(kind: str, item_id: str, found: OutletClearance | LeadClearance) -> SafetyAnswer:
    ends: datetime | None = getattr(found, "valid_until", None)
    return SafetyAnswer(
        kind,
        item_id,
        found.clearance.value,
        {
            "limit_a": found.limit_a,
            "valid_until": ends.isoformat() if ends else None,
            "evidence": found.evidence,
            "missing": list(found.missing),
            "next_step": found.next_step,
        },
    )
