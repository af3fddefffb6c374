"""The safety file of one home at an instant: what was recorded, decided, shown and told by then."""

from __future__ import annotations

from datetime import datetime

from service.infrastructure.db.sessions import SchemeSession
from service.reporting.domain.safety_file import IS_NOT, LIMITS, SafetyFile
from service.reporting.operations import file_answers, file_evidence, file_home
from service.reporting.operations.file_context import open_context
from service.safety.operations import HomeClearance, home_clearance


def get_safety_file(session: SchemeSession, household_id: str, *, at: datetime) -> SafetyFile:
    """Return the safety file of a home as at an instant.

    Records that came in later are left out, and so are later ends of earlier ones: asked again for the same
    instant it is the same file, but where details that keep no history have been edited since, which it names.

    Raises
    ------
    NotFound
        If the scheme has no such home.
    """
    file = open_context(session, household_id, at=at)
    everything = home_clearance(session, household_id, at=at)
    clearance = HomeClearance(
        tuple(one for one in everything.outlets if one.outlet_id not in file.added_later),
        tuple(one for one in everything.leads if one.lead_id not in file.added_later),
    )
    answers = file_answers.answers_of(file, clearance)
    parts = (
        file_answers.clearance_part(file, answers),
        file_home.home_part(file),
        file_home.equipment_part(file),
        file_home.survey_part(file),
        file_evidence.inspections_part(file),
        file_evidence.visits_part(file),
        file_evidence.checks_part(file),
        file_evidence.reports_part(file),
        file_answers.rechecks_part(file, answers),
        file_answers.changes_part(file),
        file_answers.shown_part(file),
        file_answers.told_part(file),
        file_home.files_part(file),
        file_answers.rules_part(file),
    )
    home = file.home.household
    return SafetyFile(
        household_id=household_id,
        reference=home.reference,
        title=f"Safety file of {home.reference}",
        at=at,
        as_at=file.when(at),
        zone=home.zone,
        is_not=IS_NOT,
        parts=parts,
        limits=LIMITS,
    )
