"""Notes of what was read: which safety answers stood on whose screen, and who read an address."""

from __future__ import annotations

from typing import Any

from service.accounts.operations import audit_once_an_hour, is_audited_within_the_hour
from service.infrastructure.db.sessions import SchemeSession
from service.infrastructure.http.access import principal
from service.infrastructure.http.transactions import now, scheme_session, write_afterwards
from service.safety import operations
from service.safety.operations import HomeClearance


def note_shown(household_id: str, clearance: HomeClearance) -> None:
    """Keep what is shown now, where it differs from what this person saw last."""
    answers = operations.answers_to_show(clearance.outlets, clearance.leads)
    who, at = principal().account_id, now()

    def note(session: SchemeSession) -> None:
        operations.note_shown(session, household_id, answers, account_id=who, at=at)

    if operations.unseen_answers(scheme_session(), household_id, answers, account_id=who):
        write_afterwards(note)


def note_read(household_id: str, *fields: str) -> None:
    """Keep that somebody who does not live there read these fields of a home, once an hour for each."""
    caller, at = principal(), now()
    if caller.household_id == household_id:
        return
    line: dict[str, Any] = {
        "account_id": caller.account_id, "action": "read", "subject_kind": "household", "subject_id": household_id,
        "at": at, "fields": fields,
    }
    if not is_audited_within_the_hour(scheme_session(), **line):
        write_afterwards(lambda session: audit_once_an_hour(session, **line))
