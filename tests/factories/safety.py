"""Evidence for tests: inspections that break no rule."""

from datetime import date
from typing import Any

from service.infrastructure.db.sessions import SchemeSession
from service.safety import operations
from service.safety.domain.inspection_details import InspectionDetails, ObservationDetails
from service.safety.operations import InspectionView
from tests.factories.households import WRITING


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


def inspect(session: SchemeSession, home_id: str, outlet_id: str, *codes: str, **changes: Any) -> InspectionView:
    """Record an inspection of an outlet."""
    return operations.record_inspection(session, home_id, inspection_details(outlet_id, *codes, **changes), **WRITING)
