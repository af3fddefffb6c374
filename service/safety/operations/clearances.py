"""Clearance from stored evidence: of many homes at once for planning, and of one to look at.

Two questions, not one.  What did evidence say at an instant: ``load_clearances``.  May a plan that starts at
a half-hour use this: ``load_for_planning``, which leaves out nothing that has been recorded by now, also
where the run was started before it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from service.households.domain.homes import HomeInputs
from service.households.operations import get_household
from service.households.operations.planning_inputs import load_homes
from service.infrastructure.db.sessions import SchemeSession
from service.safety.domain.clearance import Clearance, OutletClearance, outlet_clearance
from service.safety.domain.evidence import InspectionRecord, LeadTestRecord
from service.safety.domain.home_evidence import Evidence
from service.safety.domain.home_pairs import CarPair, home_pairs
from service.safety.domain.lead_clearance import LeadClearance, lead_clearance
from service.safety.domain.levels import worst_of
from service.safety.domain.sign_reports import SignReport, has_own_cable
from service.safety.operations.records import load_inspections, load_records


@dataclass(frozen=True)
class HomeEvidence:
    """One home with all that its clearances are derived from."""

    home: HomeInputs
    records: Evidence

    @property
    def inspections(self) -> tuple[InspectionRecord, ...]:
        """The home's inspections in the order they were recorded, corrected and refused ones included."""
        return self.records.inspections

    @property
    def signs(self) -> tuple[SignReport, ...]:
        """The home's reported signs in the order they were reported, withdrawn ones included."""
        return self.records.signs

    @property
    def tests(self) -> tuple[LeadTestRecord, ...]:
        """The recorded tests and replacements of the home's leads, in the order they were done."""
        return self.records.tests

    @property
    def zone(self) -> ZoneInfo:
        """The zone in which the home's dates are read."""
        return ZoneInfo(self.home.zone)

    def outlets_at(self, at: datetime) -> tuple[OutletClearance, ...]:
        """Return the clearance of each outlet at an instant, in the order of ``home.outlets``."""
        return tuple(outlet_clearance(outlet, self.records, at=at, zone=self.zone) for outlet in self.home.outlets)

    def leads_at(self, at: datetime) -> tuple[LeadClearance, ...]:
        """Return the clearance of each lead at an instant, in the order of ``home.leads``."""
        return tuple(lead_clearance(lead, self.records, at=at, zone=self.zone) for lead in self.home.leads)

    def clearance_at(self, at: datetime) -> HomeClearance:
        """Return what evidence says of everything in the home at an instant."""
        return HomeClearance(self.outlets_at(at), self.leads_at(at))

    def pairs(self, clearance: HomeClearance) -> tuple[CarPair, ...]:
        """Return each car with each outlet that may feed it, and whether it draws more than may flow there."""
        return home_pairs(self.home, clearance.outlets, clearance.leads)

    def with_all_records(self, at: datetime) -> datetime:
        """Return the instant, or that of the newest record if it is later: for plans nothing known is too new."""
        edited = (change.changed_at for outlet in self.home.outlets for change in outlet.changes)
        return max([at, *self.records.known_at(), *edited])


@dataclass(frozen=True)
class HomeClearance:
    """The clearance of each outlet and each lead of one home."""

    outlets: tuple[OutletClearance, ...] = ()
    leads: tuple[LeadClearance, ...] = ()

    def worst(self, home: HomeInputs) -> Clearance:
        """Return the home's standing: its worst outlet, or a stopped lead that a car of it charges with."""
        outlets = {outlet.id: outlet for outlet in home.outlets}
        in_use = {
            car.lead.id
            for car in home.cars
            if car.lead and not (car.outlet_id in outlets and has_own_cable(outlets[car.outlet_id]))
        }
        stopped = [lead for lead in self.leads if not lead.clearance.allows_charging and lead.lead_id in in_use]
        return worst_of([*(outlet.clearance for outlet in self.outlets), *(lead.clearance for lead in stopped)])


def load_clearances(
    session: SchemeSession, homes: Sequence[HomeInputs], *, at: datetime
) -> dict[str, tuple[OutletClearance, ...]]:
    """Return household id -> the clearance of each of its outlets, in the order of ``home.outlets``."""
    return {each.home.id: each.outlets_at(at) for each in load_home_evidence(session, homes)}


def load_for_planning(session: SchemeSession, homes: Sequence[HomeInputs], *, at: datetime) -> dict[str, HomeClearance]:
    """Return household id -> what a plan from an instant on may use; each record made so far counts."""
    return {
        each.home.id: each.clearance_at(each.with_all_records(at)) for each in load_home_evidence(session, homes)
    }


def load_home_evidence(session: SchemeSession, homes: Sequence[HomeInputs]) -> list[HomeEvidence]:
    """Return each home with its evidence, in the order given: a few statements however many homes."""
    records = load_records(session, homes)
    return [HomeEvidence(home, records[home.id]) for home in homes]


def get_home_evidence(session: SchemeSession, household_id: str, *, at: datetime) -> HomeEvidence:
    """Return one home with its evidence; raises ``NotFound``."""
    get_household(session, household_id)
    (evidence,) = load_home_evidence(session, load_homes(session, [household_id], from_at=at))
    return evidence


def household_clearances(
    session: SchemeSession, household_id: str, *, at: datetime
) -> tuple[OutletClearance, ...]:
    """Return the clearance of each outlet of one home; empty where the scheme has no such home."""
    homes = load_homes(session, [household_id], from_at=at)
    return load_clearances(session, homes, at=at).get(household_id, ())


def home_clearance(session: SchemeSession, household_id: str, *, at: datetime) -> HomeClearance:
    """Return the clearance of each outlet and lead of one home; raises ``NotFound``."""
    return get_home_evidence(session, household_id, at=at).clearance_at(at)


def load_evidence(session: SchemeSession, household_ids: Sequence[str]) -> dict[str, tuple[InspectionRecord, ...]]:
    """Return household id -> its inspections in the order they were recorded."""
    return load_inspections(session, household_ids)
