"""Record what a photo showed a lead to be set to: from then on it is what the lead lets a car draw."""

from __future__ import annotations

from datetime import datetime

from service.accounts.operations import audit
from service.households.models import Lead
from service.households.operations import get_lead, note_change
from service.infrastructure.db.sessions import SchemeSession
from service.safety.domain.lead_setting import SettingShown
from service.safety.operations.changes import CauseKind, follow_record
from service.safety.operations.clearances import home_clearance
from service.safety.operations.photos import check_photo


def record_setting_photo(
    session: SchemeSession,
    household_id: str,
    lead_id: str,
    file_id: str,
    shown_a: int,
    *,
    by: str | None,
    at: datetime,
) -> Lead:
    """Keep the photo of a lead's setting with the current it shows, and let plans reckon with that current.

    Raises
    ------
    NotFound, Rejected
        Rejected for another home's file, or a current that the lead cannot be set to.
    """
    lead = get_lead(session, household_id, lead_id)
    note_change(session, household_id, at=at)
    check_photo(session, household_id, file_id, "setting_photo", "photo")
    shown = SettingShown(shown_a, lead.rated_a, tuple(lead.settings_a))
    before = home_clearance(session, household_id, at=at)
    lead.set_a = lead.setting_shown_a = shown.shown_a
    lead.setting_shown_at, lead.setting_file_id = at, file_id
    session.flush()
    follow_record(session, household_id, before, cause=CauseKind.SETTING_PHOTO, cause_id=file_id, at=at)
    audit(
        session, account_id=by, action="photograph", subject_kind="lead", subject_id=lead_id, at=at,
        fields=("set_a", "setting_shown_a"),
    )
    return lead
