"""Read what the planner needs of many homes in a few statements, and ready each for solving."""

import logging
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from sqlalchemy import select

from service.common.errors import ServiceError
from service.common.slots import slot_start
from service.households.domain.homes import HomeInputs
from service.households.operations.planning_inputs import load_homes
from service.infrastructure.db.sessions import SchemeSession
from service.planning.domain.car_week import PlannedBefore, StoredReading
from service.planning.domain.home_week import HomeWeek, home_week
from service.planning.domain.household_week import HORIZON_DAYS
from service.planning.domain.price_book import PriceBook
from service.planning.domain.state_of_charge import READING_LASTS_SLOTS, ChargeBasis
from service.planning.models import CurrentPlan, Plan
from service.safety.operations import load_for_planning
from service.tariffs.domain.terms import TariffTerms
from service.tariffs.operations import load_terms

log = logging.getLogger(__name__)
HISTORY_SLOTS = 7 * 48
"""Half-hourly prices this far back count for the stand-ins of half-hours not priced yet."""


@dataclass(frozen=True)
class InForce:
    """The plan a home has now."""

    plan_id: str
    first_slot: int
    end_slot: int
    as_of_slot: int
    terms_fingerprint: str
    schedule: list[dict[str, object]]

    def by_vehicle(self) -> dict[str, PlannedBefore]:
        """Return what it says of each vehicle."""
        return {str(row["vehicle_id"]): _planned_before(self.first_slot, row) for row in self.schedule}


def _planned_before(first_slot: int, row: Mapping[str, object]) -> PlannedBefore:
    blocks = row["blocks"]
    assert isinstance(blocks, list)  # as plan_document.schedule writes it
    reading = row["reading"]
    return PlannedBefore(
        first_slot=first_slot,
        start_wh=int(str(row["start_wh"])),
        basis=ChargeBasis(str(row["basis"])),
        reading=StoredReading(reading[0], datetime.fromisoformat(reading[1])) if isinstance(reading, list) else None,
        efficiency_permille=int(str(row["efficiency_permille"])),
        blocks=tuple((first, tuple(energies)) for first, energies in blocks),
    )


@dataclass(frozen=True)
class Prepared:
    """A home ready to solve, and the plan it has now."""

    week: HomeWeek
    in_force: InForce | None


def prepare_homes(
    session: SchemeSession, household_ids: Sequence[str], *, as_of_slot: int, with_draft: str | None = None
) -> list[Prepared]:
    """Return the homes ready to solve from a half-hour on, in the order of their ids.

    ``with_draft`` names an unpublished tariff version to plan with as if it were published.
    """
    homes = load_homes(session, household_ids, from_at=slot_start(as_of_slot - READING_LASTS_SLOTS))
    clearances = load_for_planning(session, homes, at=slot_start(as_of_slot))
    book = PriceBook(load_home_terms(session, homes, as_of_slot, with_draft), as_of_slot)
    in_force = load_in_force(session, household_ids)
    prepared = []
    for home in sorted(homes, key=lambda home: home.id):
        zone = ZoneInfo(home.zone)
        now = in_force.get(home.id)
        try:
            week = home_week(
                home,
                book.for_home(home, zone),
                clearances[home.id].outlets,
                now.by_vehicle() if now else {},
                as_of_slot=as_of_slot,
                zone=zone,
                leads=clearances[home.id].leads,
            )
        except (ServiceError, ValueError):
            # One home's odd data must not stop the others; it keeps its old plan, and the chunk counts it.
            log.exception("a home could not be made ready", extra={"household": home.id})
            continue
        prepared.append(Prepared(week, now))
    return prepared


def load_home_terms(
    session: SchemeSession, homes: Sequence[HomeInputs], as_of_slot: int, with_draft: str | None = None
) -> Mapping[str, TariffTerms]:
    """Return the terms of every tariff the homes have a contract for."""
    tariff_ids = sorted({contract.tariff_id for home in homes for contract in home.contracts})
    # From a whole day on: stand-ins, and with them the terms, must not change from one half-hour to the next.
    first = as_of_slot // 48 * 48 - HISTORY_SLOTS
    count = HISTORY_SLOTS + (HORIZON_DAYS + 2) * 50
    return load_terms(session, tariff_ids, first_slot=first, count=count, with_draft=with_draft)


def load_in_force(session: SchemeSession, household_ids: Sequence[str]) -> dict[str, InForce]:
    """Return the current plan of each household that has one."""
    rows = session.execute(
        select(
            CurrentPlan.id,
            Plan.id,
            Plan.first_slot,
            Plan.end_slot,
            CurrentPlan.as_of_slot,
            Plan.terms_fingerprint,
            Plan.schedule,
        )
        .join(Plan, (Plan.id == CurrentPlan.plan_id) & (Plan.scheme_id == CurrentPlan.scheme_id))
        .where(CurrentPlan.id.in_(household_ids))
    )
    return {row[0]: InForce(*row[1:]) for row in rows}
