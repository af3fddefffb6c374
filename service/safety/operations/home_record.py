"""One home with its parts and its evidence: what the page of a home shows."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from service.households.operations import HomeView, get_home_view
from service.infrastructure.db.sessions import SchemeSession
from service.safety.domain.clearance import OutletClearance
from service.safety.domain.lead_clearance import LeadClearance
from service.safety.operations.clearances import home_clearance
from service.safety.operations.inspections import InspectionView, list_inspections
from service.safety.operations.rechecks import RecheckView, list_rechecks


@dataclass(frozen=True)
class HomeRecord:
    """A home, its evidence, and what that evidence says of each outlet and lead now."""

    home: HomeView
    inspections: list[InspectionView]
    rechecks: list[RecheckView]
    clearances: tuple[OutletClearance, ...]
    lead_clearances: tuple[LeadClearance, ...]


def get_home_record(session: SchemeSession, household_id: str, *, at: datetime) -> HomeRecord:
    """Return one home with its evidence; raises ``NotFound``."""
    home = get_home_view(session, household_id)
    clearance = home_clearance(session, household_id, at=at)
    return HomeRecord(
        home=home,
        inspections=list_inspections(session, household_id, at=at),
        rechecks=list_rechecks(session, household_id),
        clearances=clearance.outlets,
        lead_clearances=clearance.leads,
    )
