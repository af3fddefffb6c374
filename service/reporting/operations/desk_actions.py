"""What an administrator does for many homes at once from the safety desk: all of it, or none."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from sqlalchemy import select

from service.accounts.operations import audit
from service.common.errors import Conflict, Fault, NotFound, Rejected
from service.households.models import Household
from service.infrastructure.db.sessions import SchemeSession
from service.infrastructure.mail.queue import Postmark
from service.reminders.operations import AskedPerson, ask_for_checks
from service.reminders.operations.check_now import RenderAsked
from service.reporting.operations.desk_details import load_details
from service.reporting.operations.safety_desk import DeskFilter, matching_ids
from service.safety.domain.visit_details import OUTLETS_MAX, VisitRequest
from service.safety.operations.visits import ask_visit

MOST_HOMES: Final = 500
"""Homes in one go: what is written holds others up for as long. Own bound."""


class OtherHomes(Conflict):
    """The filters no longer let through as many homes as the person saw."""

    title = "The list has changed"


@dataclass(frozen=True, slots=True)
class AskedVisits:
    """What became of the chosen homes."""

    asked: int
    had_visit: int
    had_nothing: int


def ask_visits(
    session: SchemeSession,
    household_ids: Sequence[str] | None,
    all_matching: DeskFilter | None,
    *,
    household_count: int,
    reason: str,
    by: str,
    at: datetime,
) -> AskedVisits:
    """Ask for an inspection of every outlet of the chosen homes that no car may charge from; see ``chosen_homes``."""
    chosen = chosen_homes(session, household_ids, all_matching, household_count=household_count, at=at)
    asked = had_visit = 0
    for household_id, details in load_details(session, chosen, now=at).items():
        if details.visit is not None:
            had_visit += 1
        elif details.not_clear:
            outlet_ids = tuple(outlet.id for outlet in details.not_clear[:OUTLETS_MAX])
            ask_visit(session, household_id, VisitRequest(outlet_ids, reason), by=by, at=at)
            asked += 1
    _note(session, "ask_visits", by=by, at=at)
    return AskedVisits(asked, had_visit, len(chosen) - asked - had_visit)


def send_check_reminders(
    session: SchemeSession,
    household_ids: Sequence[str] | None,
    all_matching: DeskFilter | None,
    *,
    household_count: int,
    by: str,
    at: datetime,
    render: RenderAsked,
    postmark: Postmark,
) -> list[AskedPerson]:
    """Ask the members of the chosen homes for the check now; return what became of each; see ``chosen_homes``."""
    chosen = chosen_homes(session, household_ids, all_matching, household_count=household_count, at=at)
    outcomes = ask_for_checks(session, chosen, at=at, render=render, postmark=postmark)
    _note(session, "ask_checks", by=by, at=at)
    return outcomes


def chosen_homes(
    session: SchemeSession,
    household_ids: Sequence[str] | None,
    all_matching: DeskFilter | None,
    *,
    household_count: int,
    at: datetime,
) -> list[str]:
    """Return the ids of the homes that a person at the desk chose, each once.

    Parameters
    ----------
    household_ids, all_matching : sequence of str, DeskFilter
        One of them: these homes, or all that the filter lets through.
    household_count : int
        How many the person was told it would be.

    Raises
    ------
    NotFound, Rejected, OtherHomes
        OtherHomes where it would not be that many.
    """
    if (household_ids is None) == (all_matching is None):
        raise Rejected(Fault("household_ids", household_ids, "must be given where all_matching is not, and only there"))
    chosen = list(dict.fromkeys(household_ids or ()))
    if all_matching is not None:
        chosen = matching_ids(session, all_matching, today=at.date())
    if len(chosen) > MOST_HOMES:
        raise Rejected(Fault("household_count", len(chosen), f"must be at most {MOST_HOMES}: narrow the filters"))
    if len(chosen) != household_count:
        raise OtherHomes(f"It would be {len(chosen)} homes now, not {household_count}. Look at the list again.")
    known = set(session.scalars(select(Household.id).where(Household.id.in_(chosen))))
    if known != set(chosen):
        raise NotFound("A chosen home is not of this scheme.")
    return chosen


def _note(session: SchemeSession, action: str, *, by: str, at: datetime) -> None:
    audit(session, account_id=by, action=action, subject_kind="safety_desk", subject_id=session.scheme_id, at=at)
