"""One home with its parts and its evidence: what the page of a home shows."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from service.households.operations import HomeView, get_home_view
from service.infrastructure.db.sessions import SchemeSession
from service.safety.domain.clearance import OutletClearance
from service.safety.operations.clearances import household_clearances
from service.safety.operations.inspections import InspectionView, list_inspections
from service.safety.operations.rechecks import RecheckView, list_rechecks


@dataclass(frozen=True)
class HomeRecord:
    """A home, its evidence, and what that evidence says of each outlet now."""

    home: HomeView
    inspections: list[InspectionView]
    rechecks: list[RecheckView]
    clearances: tuple[OutletClearance, ...]


def get_home_record(session: SchemeSession, household_id: str, *, at: datetime) -> HomeRecord:
    """Return one home with its evidence; raises ``NotFound``."""
    return HomeRecord(
        home=get_home_view(session, household_id),
        inspections=list_inspections(session, household_id, at=at),
        rechecks=list_rechecks(session, household_id),
        clearances=household_clearances(session, household_id, at=at),
    )
