"""Consents as the member states them: appended, the newest of each kind counts."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo

from sqlalchemy import select

from service.common.errors import Fault, Rejected
from service.households.domain.ranges import refuse
from service.households.operations import get_household
from service.infrastructure.db.sessions import SchemeSession
from service.infrastructure.files import StoredFile
from service.safety.domain.survey_answers import ConsentDetails, later_than
from service.safety.domain.survey_steps import ConsentKind
from service.safety.models.survey import Consent


@dataclass(frozen=True)
class ConsentView:
    """The newest answer about one consent."""

    kind: ConsentKind
    answer: str
    given_on: date | None
    file_id: str | None
    recorded_at: datetime | None


def record_consent(
    session: SchemeSession, household_id: str, details: ConsentDetails, *, by: str | None, at: datetime
) -> ConsentView:
    """Append what somebody who may have a say answered; raises ``NotFound`` or ``Rejected``."""
    zone = ZoneInfo(get_household(session, household_id).zone)
    refuse(later_than(details, at.astimezone(zone).date()))
    if details.file_id is not None and purpose_of(session, household_id, details.file_id) != "consent":
        raise Rejected(Fault("file_id", details.file_id, "is not a document about a consent of this home"))
    session.add(
        Consent(
            household_id=household_id, kind=str(details.kind), answer=str(details.answer), given_on=details.given_on,
            file_id=details.file_id, recorded_at=at, recorded_by=by,
        )
    )  # fmt: skip
    session.flush()
    kind = ConsentKind(details.kind)
    return ConsentView(kind, str(details.answer), details.given_on, details.file_id, at)


def list_consents(
    session: SchemeSession, household_id: str, *, until: datetime | None = None
) -> tuple[ConsentView, ...]:
    """Return the newest answer of each kind; one that nobody asked for is not known."""
    rows = select(Consent).where(Consent.household_id == household_id).order_by(Consent.recorded_at, Consent.id)
    newest: dict[ConsentKind, ConsentView] = {
        kind: ConsentView(kind, ConsentDetails(kind).answer, None, None, None) for kind in ConsentKind
    }
    for row in session.scalars(rows if until is None else rows.where(Consent.recorded_at <= until)):
        kind = ConsentKind(row.kind)
        newest[kind] = ConsentView(kind, row.answer, row.given_on, row.file_id, row.recorded_at)
    return tuple(newest.values())


def purpose_of(session: SchemeSession, household_id: str, file_id: str) -> str | None:
    """Return what a file of the home is for, or None where the home has no such file."""
    stored = session.get(StoredFile, (session.scheme_id, file_id))
    return stored.purpose if stored and stored.household_id == household_id else None
