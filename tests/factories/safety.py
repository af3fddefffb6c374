"""Evidence for tests: inspections that count, supervised charges and checks, with which a car may charge."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from typing import Any

from sqlalchemy import select

from service.households.models import Lead, Outlet
from service.infrastructure.db.sessions import SchemeSession
from service.infrastructure.files import StoredFile
from service.safety import operations
from service.safety.domain.evidence import AcceptanceGround, InspectionSource
from service.safety.domain.inspection_details import InspectionDetails, ObservationDetails
from service.safety.models import Check, Inspection, SupervisedCharge
from service.safety.operations import InspectionView
from tests.factories.households import NOON, WRITING
from tests.factories.signs import GOOD_ANSWERS

CHECKED_AT = NOON - timedelta(days=1)


def inspection_details(outlet_id: str, *codes: str, **changes: Any) -> InspectionDetails:
    """Return an inspection of 1 June 2026, due again five years later, with open findings of these codes."""
    usual = {
        "outlet_id": outlet_id,
        "inspected_on": date(2026, 6, 1),
        "next_due_on": date(2031, 6, 1),
        "certificate_number": "C-1",
        "electrician": "Hollin Wiring (invented)",
        "observations": tuple(ObservationDetails(code) for code in codes),
    }
    return InspectionDetails(**{**usual, **changes})


def claim(session: SchemeSession, home_id: str, outlet_id: str, *codes: str, **changes: Any) -> InspectionView:
    """Record an inspection of an outlet as somebody types it: a claim."""
    return operations.record_inspection(session, home_id, inspection_details(outlet_id, *codes, **changes), **WRITING)


def inspect(session: SchemeSession, home_id: str, outlet_id: str, *codes: str, **changes: Any) -> InspectionView:
    """Record an inspection of an outlet that counts, known from its day on, and all else that a home needs to charge.

    Supervised charge and checks of the outlet and of every lead of the home are clear.
    """
    view = claim(session, home_id, outlet_id, *codes, **changes)
    make_counting(session, view.id)
    look_after(session, home_id, outlet_id)
    operations.refresh_status(session, home_id, at=NOON)
    return next(each for each in operations.list_inspections(session, home_id, at=NOON) if each.id == view.id)


def make_counting(session: SchemeSession, inspection_id: str) -> Inspection:
    """Let a recorded inspection count, as if it had come by a link on its day and been accepted at once."""
    inspection = session.get(Inspection, (session.scheme_id, inspection_id))
    assert inspection is not None
    known_at = min(datetime.combine(inspection.inspected_on, time(), tzinfo=UTC), NOON)
    inspection.source = InspectionSource.LINK.value
    inspection.file_id = document(session, inspection.household_id, at=known_at)
    inspection.was_tested = inspection.knew_use = "yes"
    inspection.answers = GOOD_ANSWERS.to_json()
    inspection.recorded_at = inspection.accepted_at = known_at
    inspection.acceptance_ground = AcceptanceGround.LISTED.value
    session.flush()
    return inspection


def look_after(
    session: SchemeSession, home_id: str, outlet_id: str | None = None, *, at: datetime = CHECKED_AT
) -> None:
    """Record a clear check of an outlet, and of every lead; of a socket a clear supervised charge before it.

    Without an outlet: of every outlet of the home.
    """
    outlets = session.scalars(select(Outlet).where(Outlet.household_id == home_id)).all()
    leads = session.scalars(select(Lead.id).where(Lead.household_id == home_id)).all()
    for outlet in outlets:
        if outlet_id in (None, outlet.id):
            session.add_all(_looks(session, outlet, leads, at))
    session.flush()


def _looks(session: SchemeSession, outlet: Outlet, leads: Any, at: datetime) -> list[Any]:
    accepted = session.scalars(
        select(Inspection.accepted_at).where(Inspection.outlet_id == outlet.id, Inspection.accepted_at.is_not(None))
    ).all()
    of_outlet = {"household_id": outlet.household_id, "outlet_id": outlet.id}
    rows: list[Any] = [
        Check(**of_outlet, lead_id=lead_id, made_at=at, answers=[], is_clear=True) for lead_id in (leads or [None])
    ]
    if outlet.kind == "socket_13a" and accepted:
        first = min(instant for instant in accepted if instant is not None)
        rows.append(
            SupervisedCharge(
                **of_outlet, lead_id=leads[0] if leads else None, started_at=first, current_a=10, first_felt_at=first,
                first_answer="cool", later_felt_at=first, later_answer="cool", ended_at=first, is_clear=True,
            )
        )
    return rows


def document(session: SchemeSession, home_id: str, *, at: datetime = NOON) -> str:
    """Return the id of a certificate's row, as if it had been uploaded."""
    file = StoredFile(
        household_id=home_id, purpose="certificate", sha256="0" * 64, media_type="application/pdf", size_bytes=1_000,
        name="certificate.pdf", uploaded_at=at,
    )
    session.add(file)
    session.flush()
    return file.id
