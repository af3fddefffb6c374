"""The table of signs as the form of a home asks it: with the words and the number of the home's nation."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from service.households.operations import get_household
from service.infrastructure.db.sessions import SchemeSession
from service.safety.domain.cold_check import QUESTIONS, Question
from service.safety.domain.first_steps import EmergencyNumber, emergency_number, first_steps
from service.safety.domain.signs import REPORTABLE, REVIEW, SIGNS, TABLE_EDITION, Sign


@dataclass(frozen=True)
class SignTable:
    """What a form needs: the check's questions in order, the signs, what to do now for each, whom to ring."""

    edition: str
    review: str
    nation: str
    emergency: EmergencyNumber
    questions: tuple[Question, ...]
    signs: tuple[tuple[Sign, tuple[str, ...]], ...]


def get_sign_table(session: SchemeSession, household_id: str, *, at: datetime) -> SignTable:
    """Return the table for one home; raises ``NotFound``."""
    household = get_household(session, household_id)
    nation, day = household.nation, at.astimezone(ZoneInfo(household.zone)).date()
    signs = tuple((SIGNS[name], first_steps([SIGNS[name]], nation=nation, on=day)) for name in REPORTABLE)
    return SignTable(TABLE_EDITION, REVIEW, nation, emergency_number(nation, on=day), QUESTIONS, signs)
