"""The demo scheme for tests: load it, plan it, and look at it home by home: rows, clearances, the plan."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from argon2 import PasswordHasher
from sqlalchemy import select

from service.accounts.models import Membership
from service.cli.seed import load_demo
from service.common.clock import FixedClock
from service.households import models as households
from service.infrastructure.db.base import Base
from service.infrastructure.db.sessions import Database, SchemeSession
from service.infrastructure.settings import Settings
from service.planning.models import CurrentPlan, Plan
from service.safety import models as safety
from service.safety.domain.clearance import OutletClearance
from service.safety.operations import household_clearances
from service.tariffs import models as tariffs
from service.tariffs.domain.terms import TariffTerms
from service.tariffs.operations import load_terms
from service.worker import create_worker

SEED = Path(__file__).parents[2] / "seed"
WEDNESDAY = datetime(2026, 11, 25, 12, 3, 4, tzinfo=UTC)
QUICK = PasswordHasher(time_cost=1, memory_cost=64, parallelism=1)


def load(database: Database, *, now: datetime = WEDNESDAY, folder: Path = SEED) -> str:
    """Load the demo with quick hashes and return its scheme's id."""
    return load_demo(database, now=now, hasher=QUICK, folder=folder).scheme_id


def plan(database: Database, folder: Path, *, now: datetime = WEDNESDAY) -> None:
    """Carry events and plan, as the demo does before it opens its doors; no mail leaves."""
    settings = Settings(database_url=str(database.engine.url), data_dir=str(folder))
    create_worker(settings, database=database, clock=FixedClock(now)).prepare_plans()


def contents(database: Database) -> dict[str, list[tuple[Any, ...]]]:
    """Return every row of every table, sorted, to compare databases with."""
    with database.engine.connect() as connection:
        return {
            table.name: sorted((tuple(row) for row in connection.execute(table.select())), key=repr)
            for table in Base.metadata.sorted_tables
        }


@dataclass(frozen=True)
class StoredHome:
    """Everything stored of one home; ``tariff`` is that of today's contract, ``plan`` the stored document."""

    now: datetime
    home: households.Household
    members: Sequence[Membership]
    supply: households.Supply
    outlets: Sequence[households.Outlet]
    leads: Sequence[households.Lead]
    cars: Sequence[households.Vehicle]
    routine: Sequence[households.RoutineDeparture]
    journeys: Sequence[households.Journey]
    diary: Sequence[households.DiaryDay]
    contracts: Sequence[households.Contract]
    inspections: Sequence[safety.Inspection]
    observations: Sequence[safety.Observation]
    rechecks: Sequence[safety.Recheck]
    standing: safety.ClearanceStatus
    clearances: Sequence[OutletClearance]
    tariff: TariffTerms | None
    plan: dict[str, Any]

    @property
    def today(self) -> date:
        """The local date of loading."""
        return self.now.astimezone(ZoneInfo(self.home.zone)).date()

    @property
    def open_codes(self) -> set[str]:
        """Codes of findings that nobody has closed."""
        return {finding.code for finding in self.observations if finding.closed_on is None}

    @property
    def causes(self) -> set[str]:
        """Causes of the plan's shortfalls."""
        return {short["cause"] for car in self.plan["vehicles"] for short in car["shortfalls"]}

    def lead_of(self, car: households.Vehicle) -> households.Lead | None:
        """The lead a car charges with."""
        return next((lead for lead in self.leads if lead.id == car.lead_id), None)


def stored_homes(database: Database, scheme_id: str, *, now: datetime) -> dict[str, StoredHome]:
    """Return every home of a scheme by reference; a home without a plan has an empty one."""
    with database.scheme(scheme_id, write=False) as session:
        terms = load_terms(session, session.scalars(select(tariffs.Tariff.id)).all(), first_slot=0, count=2**31 - 1)
        homes = session.scalars(select(households.Household).order_by(households.Household.reference)).all()
        return {home.reference: _stored_home(session, home, terms, now) for home in homes}


def _stored_home(
    session: SchemeSession, home: households.Household, terms: dict[str, TariffTerms], now: datetime
) -> StoredHome:
    def of_home(model: Any, *order: Any) -> Sequence[Any]:
        return session.scalars(select(model).where(model.household_id == home.id).order_by(*order)).all()

    inspections = of_home(safety.Inspection, safety.Inspection.inspected_on)
    contracts = of_home(households.Contract, households.Contract.starts_on)
    plan = session.scalar(
        select(Plan.document).join(CurrentPlan, CurrentPlan.plan_id == Plan.id).where(CurrentPlan.id == home.id)
    )
    return StoredHome(
        now=now,
        home=home,
        members=of_home(Membership),
        supply=of_home(households.Supply)[0],
        outlets=of_home(households.Outlet, households.Outlet.ordinal),
        leads=of_home(households.Lead),
        cars=of_home(households.Vehicle, households.Vehicle.ordinal),
        routine=of_home(households.RoutineDeparture, households.RoutineDeparture.weekday),
        journeys=of_home(households.Journey),
        diary=of_home(households.DiaryDay, households.DiaryDay.on_date),
        contracts=contracts,
        inspections=inspections,
        observations=session.scalars(
            select(safety.Observation).where(
                safety.Observation.inspection_id.in_([inspection.id for inspection in inspections])
            )
        ).all(),
        rechecks=of_home(safety.Recheck, safety.Recheck.due_on),
        standing=of_home(safety.ClearanceStatus)[0],
        clearances=household_clearances(session, home.id, at=now),
        tariff=_tariff_today(contracts, terms, now.astimezone(ZoneInfo(home.zone)).date()),
        plan=plan or {"vehicles": [], "missing_prices": []},
    )


def _tariff_today(
    contracts: Iterable[households.Contract], terms: dict[str, TariffTerms], today: date
) -> TariffTerms | None:
    for contract in contracts:
        if contract.starts_on <= today and (contract.ends_on is None or today < contract.ends_on):
            return terms[contract.tariff_id]
    return None


def charging_times(database: Database, scheme_id: str) -> dict[str, list[tuple[str, str]]]:
    """Return (start, end) of every block of every home's current plan, by household id."""
    with database.scheme(scheme_id, write=False) as session:
        rows = session.execute(
            select(CurrentPlan.id, Plan.document).join(
                Plan, (Plan.id == CurrentPlan.plan_id) & (Plan.scheme_id == CurrentPlan.scheme_id)
            )
        ).all()
    return {
        household_id: [
            (block["starts_at"], block["ends_at"])
            for car in document["vehicles"]
            for stay in car["stays"]
            for block in stay["blocks"]
        ]
        for household_id, document in rows
    }
